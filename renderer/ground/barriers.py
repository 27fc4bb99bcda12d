"""What no tape is taken across, and which places it reaches.

A tape is held straight at about a metre. It reaches no place behind a building, wall, fence or
hedge, a tree or another firm obstacle, or beyond water, a drop or a road.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.ground.area import obstacle_ground
from renderer.ground.slope import feature_area
from renderer.plan.kinds import BORDERS
from renderer.trade import TAPE_M

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import LawnGround, Points
    from renderer.plan.model import Plan

FACE_M = 0.02  # so near to its face a tape still lies along a wall
THICK_M = 0.10  # of the strip behind a side that stands for what the tape does not cross


def barriers(plan: Plan, lawns: Sequence[LawnGround]) -> BaseGeometry:
    """The ground that no tape may pass."""
    stops = shapely.union_all([*_solid(plan), *_behind_sides(lawns)])
    shapely.prepare(stops)
    return stops


def reached(places: Points, points: Points, blocked: BaseGeometry | None) -> NDArray[np.bool_]:
    """Which ``points`` (n, 2) a tape reaches from which ``places`` (k, 2), as shape (n, k)."""
    way = places[None] - points[:, None]
    near: NDArray[np.bool_] = np.hypot(way[..., 0], way[..., 1]) <= TAPE_M
    if blocked is not None:
        i, k = np.nonzero(near)
        tapes = shapely.linestrings(np.stack((places[k], points[i]), axis=1))
        near[i, k] = ~shapely.intersects(blocked, tapes)
    return near


def _solid(plan: Plan) -> Iterator[BaseGeometry]:
    """Buildings and obstacles in a tape's way, a bit smaller, so that it may touch their face."""
    for feature in plan.features:
        area = feature_area(feature) if feature.kind == "building" else None
        if area is not None:
            yield shapely.buffer(area, -FACE_M, join_style="mitre")
    for obstacle in plan.obstacles:
        if BORDERS[obstacle.kind].stops_tape:
            yield shapely.buffer(obstacle_ground(obstacle), -FACE_M, join_style="mitre")


def _behind_sides(lawns: Sequence[LawnGround]) -> Iterator[BaseGeometry]:
    """A strip close behind each run of sides that a tape does not cross."""
    for lawn in lawns:
        lines = [shapely.linestrings(s.points) for s in lawn.sides if BORDERS[s.kind].stops_tape]
        if not lines:
            continue
        own = shapely.buffer(lawn.outline, FACE_M, join_style="mitre")
        for run in shapely.get_parts(shapely.line_merge(shapely.union_all(lines))):
            if run.is_closed:
                run = shapely.LinearRing(run.coords)
            strip = shapely.buffer(run, THICK_M, cap_style="flat", join_style="mitre")
            yield shapely.difference(strip, own)
