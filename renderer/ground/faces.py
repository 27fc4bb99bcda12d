"""Faces of a house as its corners tell them: survey points that are named as corners of one."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

import shapely

from renderer.ground.slope import feature_area
from renderer.trade import BUILDING_WORDS, CORNER_WORDS

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import LawnGround, Point
    from renderer.plan.model import Plan
    from renderer.plan.survey import ReferencePoint

ON_LAWN_M = 0.3  # a face that lies on a lawn for longer than this is none
ENOUGH_POINTS = 2  # to tape from
OWN_BUILDING_M = 0.5  # a corner this near to a building of the plan is drawn with that

BESIDE_M = 8.0  # a side of a lawn this near to a face tells how it stands
SIDE_LEAST_M = 1.0
SQUARE_DEG = 12.0


class Face(NamedTuple):
    """A wall from corner to corner in metres, the building behind it to its right."""

    a: Point
    b: Point
    of: int  # the row of ``BUILDING_WORDS`` that names it; 0 is the house


def faces(plan: Plan, lawns: Sequence[LawnGround]) -> tuple[Face, ...]:
    """The faces between corners of one building, in the order in which the survey has them.

    A face that would cross a lawn is left out, one that the plan draws as a building, and one that
    stands askew to every side of a lawn near it: that is no wall but the way across the building.
    """
    return tuple(_faces(plan, lawns))


def has_house_corners(plan: Plan) -> bool:
    """Whether there are two points to tape from that last: the survey's own, or a building's."""
    walls = any(each.kind == "building" and each.polygon for each in plan.features)
    return walls or len(plan.survey.points) >= ENOUGH_POINTS


def _faces(plan: Plan, lawns: Sequence[LawnGround]) -> Iterator[Face]:
    drawn = shapely.union_all(
        [feature_area(each) for each in plan.features if each.kind == "building"]
    )
    mown = shapely.union_all([lawn.outline for lawn in lawns])
    inner = mown.buffer(-ON_LAWN_M / 10)
    seen: set[tuple[str, str]] = set()
    for of, words in enumerate(BUILDING_WORDS):
        corners = [point for point in plan.survey.points if _is_corner(point, words)]
        for one, two in pairwise(corners):
            line = shapely.linestrings((one.at, two.at))
            if (one.name, two.name) in seen or _near(drawn, one.at, two.at):
                continue
            if shapely.intersection(line, inner).length > ON_LAWN_M:
                continue
            if not _square(one.at, two.at, lawns):
                continue
            seen.add((one.name, two.name))
            turned = _lawn_left(one.at, two.at, mown)
            yield Face(one.at, two.at, of) if turned else Face(two.at, one.at, of)


def _is_corner(point: ReferencePoint, words: Sequence[str]) -> bool:
    what = point.what.lower()
    return any(word in what for word in CORNER_WORDS) and any(word in what for word in words)


def _square(a: Point, b: Point, lawns: Sequence[LawnGround]) -> bool:
    """Whether a straight side near the line from a to b runs along it or square to it."""
    line = shapely.linestrings((a, b))
    way = math.atan2(b[1] - a[1], b[0] - a[0])
    for side in (side for lawn in lawns for side in lawn.sides if not side.arc):
        dx, dy = side.points[-1] - side.points[0]
        near = shapely.distance(line, shapely.linestrings(side.points)) <= BESIDE_M
        if near and math.hypot(dx, dy) >= SIDE_LEAST_M:
            off = abs((way - math.atan2(dy, dx) + math.pi / 4) % (math.pi / 2) - math.pi / 4)
            if off <= math.radians(SQUARE_DEG):
                return True
    return False


def _near(drawn: BaseGeometry, *corners: Point) -> bool:
    return all(shapely.distance(drawn, shapely.points(at)) < OWN_BUILDING_M for at in corners)


def _lawn_left(a: Point, b: Point, mown: BaseGeometry) -> bool:
    """Whether the lawns lie to the left of the line from a to b, by the nearest point of them."""
    near, far = shapely.get_coordinates(
        shapely.shortest_line(shapely.points((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), mown)
    )
    if shapely.distance(shapely.points(near), shapely.points(far)) < 1e-6:
        far = shapely.get_coordinates(mown.centroid)[0]
    return bool((b[0] - a[0]) * (far[1] - a[1]) - (b[1] - a[1]) * (far[0] - a[0]) > 0)
