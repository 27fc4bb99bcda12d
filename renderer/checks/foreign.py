"""What disturbs the signal from outside: a neighbour's own wire, and metal in the ground."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.checks.case import where_nearest
from renderer.checks.rule import Hit, Rule
from renderer.trade import METAL_NEAR_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case
    from renderer.ground.lay import LoopLay, Point

LEAST_M = 1e-3


def neighbour_wire_crossed(case: Case) -> Iterator[Hit]:
    """Wires that meet the boundary wire of a neighbour."""
    for loop, name, distance, at in _near(case, "neighbour wire"):
        if distance == 0:
            message = case.words("neighbour-wire-crossed.found", name=name)
            yield Hit(message, at, name, case.station(at, loop))


def neighbour_wire_near(case: Case) -> Iterator[Hit]:
    """Wires nearer to a neighbour's than two loops may be."""
    needed = case.plan.machine.loop_gap
    for loop, name, distance, at in _near(case, "neighbour wire"):
        if 0 < distance < needed - LEAST_M:
            is_m, needed_m = case.show.lengths(distance, needed)
            facts = {"name": name, "distance": is_m, "needed": needed_m}
            message = case.words("neighbour-wire-near.found", **facts)
            yield Hit(message, at, name, case.station(at, loop))


def metal_near_wire(case: Case) -> Iterator[Hit]:
    """Wires that lie beside, over or under metal edging or mesh."""
    for loop, name, distance, at in _near(case, "metal"):
        if distance < METAL_NEAR_M - LEAST_M:
            is_m, needed_m = case.show.lengths(distance, METAL_NEAR_M)
            facts = {"name": name, "distance": is_m, "needed": needed_m}
            key = f"metal-near-wire.{'found' if distance else 'crossed'}"
            yield Hit(case.words(key, **facts), at, name, case.station(at, loop))


def _near(case: Case, kind: str) -> Iterator[tuple[LoopLay, str, float, Point]]:
    """Each loop and feature of a kind: how near they come, metres, and where on the wire."""
    for feature, shape in case.features(kind):
        for loop in case.lay.loops:
            distance, at = where_nearest(case.wires[loop.name], shape)
            yield loop, feature.name, distance, at


RULES = (
    Rule(
        "neighbour-wire-crossed",
        "stop",
        neighbour_wire_crossed,
        "Where two signals meet the machine can follow neither.",
    ),
    Rule(
        "neighbour-wire-near",
        "warn",
        neighbour_wire_near,
        "Two signals near each other disturb both machines.",
    ),
    Rule(
        "metal-near-wire",
        "warn",
        metal_near_wire,
        "Metal along the wire carries part of the signal away.",
    ),
)
