"""What disturbs the signal from outside: a neighbour's own wire, and metal in the ground."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.checks.case import where_nearest
from renderer.checks.rule import Hit, Rule
from renderer.trade import METAL_NEAR_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case
    from renderer.checks.fact import Facts
    from renderer.ground.lay import LoopLay, Point

LEAST_M = 1e-3


def neighbour_wire_crossed(case: Case) -> Iterator[Hit]:
    """Wires that meet the boundary wire of a neighbour."""
    for loop, name, distance, at in _near(case, "neighbour wire"):
        if distance == 0:
            key, at_m = "neighbour-wire-crossed.found", case.station(at, loop)
            yield Hit(key, {"name": name}, at, name, at_m)


def neighbour_wire_near(case: Case) -> Iterator[Hit]:
    """Wires nearer to a neighbour's than two loops may be."""
    needed = case.plan.machine.loop_gap
    for loop, name, distance, at in _near(case, "neighbour wire"):
        if 0 < distance < needed - LEAST_M:
            facts: Facts = {"name": name, "distance_m": distance, "needed_m": needed}
            key, at_m = "neighbour-wire-near.found", case.station(at, loop)
            yield Hit(key, facts, at, name, at_m, apart=("distance_m", "needed_m"))


def metal_near_wire(case: Case) -> Iterator[Hit]:
    """Wires that lie beside, over or under metal edging or mesh."""
    for loop, name, distance, at in _near(case, "metal"):
        if distance < METAL_NEAR_M - LEAST_M:
            facts: Facts = {"name": name, "distance_m": distance, "needed_m": METAL_NEAR_M}
            key = f"metal-near-wire.{'found' if distance else 'crossed'}"
            at_m = case.station(at, loop)
            yield Hit(key, facts, at, name, at_m, apart=("distance_m", "needed_m"))


def _near(case: Case, kind: str) -> Iterator[tuple[LoopLay, str, float, Point]]:
    """Each loop with each feature of a kind: how near they come, metres, and where on the wire."""
    for feature, shape in case.features(kind):
        for loop in case.lay.loops:
            distance, at = where_nearest(case.wires[loop.name], shape)
            yield loop, feature.name, distance, at


RULES = (
    Rule("neighbour-wire-crossed", "stop", neighbour_wire_crossed),
    Rule("neighbour-wire-near", "warn", neighbour_wire_near),
    Rule("metal-near-wire", "warn", metal_near_wire),
)
