"""The separately mown parts of a loop: the machine goes from one to another only by hand."""

from __future__ import annotations

from collections import Counter
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.frozen import dataclass
from renderer.ground.area import obstacle_ground

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from renderer.ground.lay import LawnGround, Leg, LoopLay, Point, Ring, Side
    from renderer.plan.model import Plan


ALONG_M = 0.01  # of a setback, to be along a side


@dataclass(frozen=True, slots=True)
class MownPart:
    """A part of a loop's working area: its lawn's name, numbered where it has several; in m2."""

    name: str
    area_m2: float
    at_start: bool  # where the wire starts: the dock's or generator's part
    share: float  # of the loop's working area, and so of its hours
    ring: str  # the id of the wire round it
    lawn: str
    at: Point  # a place inside


@lru_cache(maxsize=16)
def mown_parts(loop: LoopLay) -> tuple[MownPart, ...]:
    """All parts of a loop, that of its start first, then the largest."""
    outer = [ring for ring in loop.rings if ring.kind == "outer"]
    if not outer:
        return ()
    start = shapely.Point(loop.start)
    home = int(np.argmin([shapely.distance(shapely.linestrings(r.points), start) for r in outer]))
    mown = _flat(loop.working)
    grounds = [shapely.intersection(_inside(ring), mown) for ring in outer]
    order = sorted(range(len(outer)), key=lambda k: (k != home, -grounds[k].area, outer[k].lawn))
    count = Counter(ring.lawn for ring in outer)
    told: Counter[str] = Counter()
    whole = sum(float(ground.area) for ground in grounds)
    parts = []
    for k in order:
        lawn, area = outer[k].lawn, float(grounds[k].area)
        told[lawn] += 1
        between = "." if lawn[-1:].isdigit() else " "
        name = f"{lawn}{between}{told[lawn]}" if count[lawn] > 1 else lawn
        share = area / whole if whole else 0.0
        inside = shapely.point_on_surface(grounds[k])
        at = loop.start if inside.is_empty else (float(inside.x), float(inside.y))
        parts.append(MownPart(name, area, k == home, share, outer[k].id, lawn, at))
    return tuple(parts)


@lru_cache(maxsize=16)
def part_names(loop: LoopLay) -> Mapping[str, str]:
    """What each ring is round and each pair leads to, by id: parts by own names, or obstacles."""
    named = {part.ring: part.name for part in mown_parts(loop)}
    rings = {ring.id: named.get(ring.id, ring.of) for ring in loop.rings}
    return rings | {lead.id: rings.get(lead.to_ring, lead.of) for lead in loop.leads}


def legs_named(loop: LoopLay, legs: Iterable[Leg]) -> list[str]:
    """What some legs of a loop are round or lead to, each name once, in the order of the legs."""
    named = part_names(loop)
    return list(dict.fromkeys(named.get(leg.part, leg.of) for leg in legs if leg.of))


def part_at(loop: LoopLay, lawn: str, at: Point) -> str:
    """What drawings call the part of a lawn that a place is in; a whole lawn is its own."""
    place = shapely.Point(at)
    rings = {
        ring.id: _inside(ring) for ring in loop.rings if ring.kind == "outer" and ring.lawn == lawn
    }
    near = min(rings, key=lambda each: float(shapely.distance(rings[each], place)), default="")
    return part_names(loop).get(near, lawn)


def sides_along(plan: Plan, loop: LoopLay, part: MownPart, lawn: LawnGround) -> tuple[Side, ...]:
    """The sides of a lawn that a part's wire keeps its setback from; in the lawn's order."""
    ring = next(each for each in loop.rings if each.id == part.ring)
    wire = shapely.linestrings(ring.points)
    return tuple(
        side
        for side in lawn.sides
        if shapely.distance(wire, shapely.linestrings(side.points))
        < plan.machine.setback[side.kind] + ALONG_M
    )


def along_edges(plan: Plan, loops: Sequence[LoopLay]) -> frozenset[str]:
    """Names of the obstacles that an edge's wire runs beside at their setback, as in a bay."""
    edges = [ring.points for loop in loops for ring in loop.rings if ring.kind == "outer"]
    if not edges:
        return frozenset()
    wire = shapely.union_all([shapely.linestrings(points) for points in edges])
    setbacks = plan.machine.setback
    return frozenset(
        each.name
        for each in plan.obstacles
        if each.kind in setbacks
        and shapely.distance(wire, obstacle_ground(each)) < setbacks[each.kind] + ALONG_M
    )


def _flat(working: shapely.MultiPolygon) -> shapely.Geometry:
    """A working area as ground that is counted once, where lawns of a loop lie on each other."""
    return working if working.is_valid else shapely.union_all(shapely.get_parts(working))


def _inside(ring: Ring) -> shapely.Geometry:
    return shapely.make_valid(shapely.Polygon(ring.points))
