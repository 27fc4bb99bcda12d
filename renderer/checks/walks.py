"""The walk itself: no leg crosses another, none runs twice, nothing firm is in its way."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.checks.case import middle
from renderer.checks.rule import Hit, Rule

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case, LaidLeg
    from renderer.ground.lay import Point

SAME_PLACE_M = 0.10  # crossings of both wires of a pair are one place
MEET_M = 1e-3  # what interiors must share to be more than touching ends


def wire_crosses(case: Case) -> Iterator[Hit]:
    """Legs that meet anywhere but at their ends, the two wires of one pair left out."""
    told: list[Point] = []
    for one, two, at, length_m in _meetings(case):
        if any(np.hypot(at[0] - x, at[1] - y) < SAME_PLACE_M for x, y in told):
            continue
        told.append(at)
        first, second = sorted((one.at_m(at), two.at_m(at)))
        key = f"wire-crosses-itself.{'along' if length_m > MEET_M else 'found'}"
        facts = {"length_m": length_m, "here_m": first, "there_m": second}
        yield Hit(key, facts, at, one.loop.name, first, apart=("here_m", "there_m"))


def _meetings(case: Case) -> Iterator[tuple[LaidLeg, LaidLeg, Point, float]]:
    """Two legs of a loop, a place where they meet, and the length they share there."""
    for loop in case.lay.loops:
        legs = [each for each in case.walked if each.loop is loop]
        lines = np.array([each.line for each in legs])
        for each in legs:
            if not shapely.is_simple(each.line):
                yield each, each, _own_crossing(each), 0.0
        first, second = shapely.STRtree(lines).query(lines, predicate="intersects")
        upper = first < second
        first, second = first[upper], second[upper]
        inner = shapely.relate_pattern(lines[first], lines[second], "T********")
        for i, j in zip(first[inner].tolist(), second[inner].tolist(), strict=True):
            one, two = legs[i], legs[j]
            if one.leg.part == two.leg.part and one.leg.kind in ("lead", "crossing"):
                continue
            for part in shapely.get_parts(shapely.intersection(one.line, two.line)):
                if part.geom_type == "LineString" or _is_inside(part, one, two):
                    yield one, two, middle(part), float(part.length)


def _is_inside(point: shapely.Point, one: LaidLeg, two: LaidLeg) -> bool:
    """Whether a meeting point is an end of neither leg."""
    ends = [shapely.boundary(each.line) for each in (one, two)]
    return all(end.is_empty or shapely.distance(end, point) > 1e-6 for end in ends)


def _own_crossing(each: LaidLeg) -> Point:
    """A place where a leg meets itself."""
    points = shapely.get_coordinates(each.line)
    segments = shapely.linestrings(np.stack((points[:-1], points[1:]), axis=1))
    one, two = shapely.STRtree(segments).query(segments, predicate="intersects")
    closed = bool(np.all(points[0] == points[-1]))
    last = len(segments) - 1
    for i, j in zip(one.tolist(), two.tolist(), strict=True):
        follows = j - i == 1 or (closed and i == 0 and j == last)
        if i < j and (not follows or shapely.crosses(segments[i], segments[j])):
            return middle(shapely.intersection(segments[i], segments[j]))
    x, y = points[0].tolist()
    return (x, y)


def wire_through_firm(case: Case) -> Iterator[Hit]:
    """Legs that run into a firm obstacle."""
    for obstacle, ground in case.grounds:
        if obstacle.kind != "firm":
            continue
        for each in case.walked:
            inside = shapely.intersection(each.line, ground)
            if inside.length > MEET_M:
                at = middle(shapely.get_parts(inside)[0])
                facts = {"name": obstacle.name}
                key = "wire-through-firm-obstacle.found"
                yield Hit(key, facts, at, obstacle.name, each.at_m(at))
                break


RULES = (
    Rule("wire-crosses-itself", "stop", wire_crosses),
    Rule("wire-through-firm-obstacle", "stop", wire_through_firm),
)
