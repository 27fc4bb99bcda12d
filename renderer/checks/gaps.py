"""Gaps between wires: too near for the machine to pass, too far to cancel each other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.checks.rule import Hit, Rule
from renderer.ground import limits
from renderer.ground.stations import pairs
from renderer.trade import TOUCH_M
from renderer.units import MM_PER_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shapely.geometry.base import BaseGeometry

    from renderer.checks.case import Case
    from renderer.checks.fact import Facts
    from renderer.ground.lay import LoopLay, Point

TOLERANCE_M = 2e-3  # beyond the width tolerance of the necks
SIGHT_M = 1e-3  # a sight line may leave the ground by this at its ends


def enclosed(loop: LoopLay) -> list[tuple[BaseGeometry, list[BaseGeometry]]]:
    """The ground inside each outer ring without its islands, and the rings that border it."""
    islands = [shapely.Polygon(ring.points) for ring in loop.rings if ring.kind == "island"]
    found = []
    for ring in loop.rings:
        if ring.kind != "outer":
            continue
        ground = shapely.make_valid(shapely.Polygon(ring.points))
        inner = [hole for hole in islands if shapely.intersects(hole, ground)]
        open_ground = ground.difference(shapely.union_all(shapely.make_valid(inner)))
        rings = [shapely.linestrings(ring.points), *(hole.exterior for hole in inner)]
        found.append((open_ground, rings))
    return found


def dead_gap(case: Case) -> Iterator[Hit]:
    """Two rings, or two banks of one ring, nearer to each other than the least passage."""
    for loop in case.lay.loops:
        for ground, rings in enclosed(loop):
            for width, at in (*_between_rings(case, ground, rings), *_pinches(case, ground)):
                facts = {"width_m": width, "needed_m": case.plan.machine.passage_min}
                at_m, apart = case.station(at, loop), ("width_m", "needed_m")
                yield Hit("gap-too-narrow.found", facts, at, loop.name, at_m, apart)


def _between_rings(
    case: Case, ground: BaseGeometry, rings: list[BaseGeometry]
) -> Iterator[tuple[float, Point]]:
    least = case.plan.machine.passage_min - limits.WIDTH_M - TOLERANCE_M
    lines = np.array(rings)
    one, two = shapely.STRtree(lines).query(lines, predicate="dwithin", distance=least)
    sights = shapely.shortest_line(lines[one], lines[two])
    for k in np.flatnonzero((one < two) & (shapely.length(sights) > TOUCH_M)).tolist():
        if shapely.length(shapely.difference(sights[k], ground)) > SIGHT_M:
            continue
        x, y = shapely.get_coordinates(sights[k]).mean(axis=0).tolist()
        yield float(sights[k].length), (x, y)


def _pinches(case: Case, ground: BaseGeometry) -> Iterator[tuple[float, Point]]:
    """Places that part the ground for a disc as wide as the least passage."""
    passage = case.plan.machine.passage_min
    coarse = shapely.simplify(ground, limits.WIDTH_M / 2)
    half = (passage - limits.WIDTH_M - TOLERANCE_M) / 2
    parts = shapely.get_parts(coarse.buffer(-half))
    roomy = coarse.buffer(-passage / 2)
    rooms = [part for part in parts if shapely.intersects(part, roomy)]
    for k, room in enumerate(rooms[1:], 1):
        sight = shapely.shortest_line(room, shapely.union_all(rooms[:k]))
        x, y = shapely.get_coordinates(sight).mean(axis=0).tolist()
        border = shapely.distance(coarse.boundary, shapely.Point(x, y))
        yield 2 * float(border), (x, y)


def pair_apart(case: Case) -> Iterator[Hit]:
    """Lead pairs and crossings whose two wires do not touch."""
    for loop in case.lay.loops:
        lines = {(each.leg.part, each.leg.back): each for each in case.walked if each.loop is loop}
        for part, (out, _) in pairs(loop.legs).items():
            there, back = lines.get((part, False)), lines.get((part, True))
            if there is None or back is None:
                continue
            apart = float(shapely.hausdorff_distance(there.line, back.line))
            if apart > TOUCH_M:
                x, y = shapely.get_coordinates(there.line).mean(axis=0).tolist()
                facts: Facts = {
                    "of": out.of,
                    "apart_m": apart,
                    "touch_mm": round(TOUCH_M * MM_PER_M),
                }
                yield Hit("pair-apart.found", facts, (x, y), out.of, there.at_m((x, y)))


RULES = (
    Rule("pair-apart", "stop", pair_apart),
    Rule("gap-too-narrow", "stop", dead_gap),
)
