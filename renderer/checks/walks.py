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
FOLD_M = 5e-3  # where a leg is back at once, its points were rounded to a tenth of a millimetre
MEET_M = 1e-3  # what interiors must share to be more than touching ends


def wire_crosses(case: Case) -> Iterator[Hit]:
    """Legs that meet anywhere but at their ends, the two wires of one pair left out."""
    told: list[Point] = []
    for loop, stations, at, length_m in _meetings(case):
        if any(np.hypot(at[0] - x, at[1] - y) < SAME_PLACE_M for x, y in told):
            continue
        told.append(at)
        first, second = sorted(stations)
        key = f"wire-crosses-itself.{'along' if length_m > MEET_M else 'found'}"
        facts = {"length_m": length_m, "here_m": first, "there_m": second}
        yield Hit(key, facts, at, loop, first, apart=("here_m", "there_m"))


def _meetings(case: Case) -> Iterator[tuple[str, tuple[float, float], Point, float]]:
    """A loop, two running distances at which it meets itself, where, and the length it shares."""
    for loop in case.lay.loops:
        legs = [each for each in case.walked if each.loop is loop]
        lines = np.array([each.line for each in legs])
        for each in legs:
            if not shapely.is_simple(each.line):
                yield from ((loop.name, *crossing, 0.0) for crossing in _own_crossings(each))
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
                    at = middle(part)
                    yield loop.name, (one.at_m(at), two.at_m(at)), at, float(part.length)


def _is_inside(point: shapely.Point, one: LaidLeg, two: LaidLeg) -> bool:
    """Whether a meeting point is an end of neither leg."""
    ends = [shapely.boundary(each.line) for each in (one, two)]
    return all(end.is_empty or shapely.distance(end, point) > 1e-6 for end in ends)


def _own_crossings(each: LaidLeg) -> Iterator[tuple[tuple[float, float], Point]]:
    """Where a leg meets itself, by the two running distances; a fold of the rounding is none."""
    points = shapely.get_coordinates(each.line)
    segments = shapely.linestrings(np.stack((points[:-1], points[1:]), axis=1))
    begins = each.leg.from_m + np.append(0.0, np.cumsum(shapely.length(segments)))
    one, two = shapely.STRtree(segments).query(segments, predicate="intersects")
    closed = bool(np.all(points[0] == points[-1]))
    for i, j in zip(one.tolist(), two.tolist(), strict=True):
        if i >= j:
            continue
        at = middle(shapely.intersection(segments[i], segments[j]))
        first, second = (
            float(begins[k] + shapely.line_locate_point(segments[k], shapely.Point(at)))
            for k in (i, j)
        )
        round_m = float(begins[-1] - begins[0])
        between_m = second - first
        if closed:
            between_m = min(between_m, round_m - between_m)
        if between_m > FOLD_M:
            yield (first, second), at


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
