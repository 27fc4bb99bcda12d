"""Several loops, and crossings from lawn to lawn."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

import shapely

from renderer.checks.case import middle, where_nearest
from renderer.checks.rule import Hit, Rule
from renderer.trade import LEAD_IN_WALL_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case
    from renderer.checks.fact import Facts
    from renderer.ground.lay import Lead, LoopLay

LEAST_M = 0.05  # of a crossing's way over ground where it should not be


def loops_cross(case: Case) -> Iterator[Hit]:
    """Wires of two loops that meet."""
    for one, two in combinations(case.lay.loops, 2):
        distance, at = where_nearest(case.wires[one.name], case.wires[two.name])
        if distance == 0:
            facts = {"one": one.name, "two": two.name}
            yield Hit("loops-cross.found", facts, at, two.name, case.station(at, two))


def loops_too_near(case: Case) -> Iterator[Hit]:
    """Wires of two loops that disturb each other."""
    needed = case.plan.machine.loop_gap
    for one, two in combinations(case.lay.loops, 2):
        distance, at = where_nearest(case.wires[two.name], case.wires[one.name])
        if 0 < distance < needed - 1e-3:
            facts: Facts = {
                "one": one.name,
                "two": two.name,
                "distance_m": distance,
                "needed_m": needed,
            }
            at_m, apart = case.station(at, two), ("distance_m", "needed_m")
            yield Hit("loops-too-near.found", facts, at, two.name, at_m, apart)


def crossing_idle(case: Case) -> Iterator[Hit]:
    """Crossings that the walk did not need or could not use."""
    for idle in case.lay.idle_crossings:
        one, two = idle.between
        key = "crossing-idle.no-way" if idle.no_way else "crossing-idle.found"
        yield Hit(key, {"one": one, "two": two, "loop": idle.loop}, about=idle.loop)


def _crossings(case: Case) -> Iterator[tuple[LoopLay, Lead, set[str]]]:
    for loop in case.lay.loops:
        lawn_of = {ring.id: ring.lawn for ring in loop.rings}
        for lead in loop.leads:
            if lead.kind == "crossing":
                yield loop, lead, {lawn_of[lead.from_ring], lawn_of[lead.to_ring]}


def crossing_over_lawn(case: Case) -> Iterator[Hit]:
    """Crossings that run over grass: another lawn's, or what the machine mows of their own."""
    for loop, lead, own in _crossings(case):
        line = shapely.linestrings(lead.points)
        for lawn in case.lay.lawns:
            inside = shapely.intersection(line, lawn.working if lawn.name in own else lawn.outline)
            if inside.length > LEAST_M:
                at = middle(shapely.get_parts(inside)[0])
                length = float(inside.length)
                key = f"crossing-over-lawn.{'mown' if lawn.name in own else 'found'}"
                facts: Facts = {"of": lead.of, "length_m": length, "lawn": lawn.name}
                yield Hit(key, facts, at, lead.of, case.station(at, loop))


def crossing_through_building(case: Case) -> Iterator[Hit]:
    """Crossings and lead pairs that would run through a building."""
    for loop in case.lay.loops:
        for lead in loop.leads:
            line = shapely.linestrings(lead.points)
            for feature, shape in case.features("building"):
                inside = shapely.intersection(line, shape)
                if inside.length > LEAD_IN_WALL_M:
                    at = middle(shapely.get_parts(inside)[0])
                    length = float(inside.length)
                    key = f"crossing-through-building.{lead.kind}"
                    facts: Facts = {"of": lead.of, "length_m": length, "name": feature.name}
                    yield Hit(key, facts, at, lead.of, case.station(at, loop))


RULES = (
    Rule("loops-cross", "stop", loops_cross),
    Rule("loops-too-near", "warn", loops_too_near),
    Rule("crossing-idle", "warn", crossing_idle),
    Rule("crossing-over-lawn", "warn", crossing_over_lawn),
    Rule("crossing-through-building", "stop", crossing_through_building),
)
