"""Setbacks too small for what lies beyond: water, a drop, a road; and setbacks of nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.checks.fact import kind
from renderer.checks.rule import Hit, Rule
from renderer.trade import HAZARD_SETBACK_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case
    from renderer.checks.fact import Facts
    from renderer.ground.edges import Edge

LEAST_M = 1e-3
BARE = "flush"  # the one kind that a machine may run over


def _first_of_each(case: Case) -> dict[tuple[str, str], Edge]:
    """The first edge of each kind of each lawn, and each obstacle, by name and kind."""
    found: dict[tuple[str, str], Edge] = {}
    for edge in case.edges:
        found.setdefault((edge.of, edge.kind), edge)
    return found


def hazard_setback_low(case: Case) -> Iterator[Hit]:
    """Water, drops and roads whose setback is below common practice."""
    for edge in _first_of_each(case).values():
        practice = HAZARD_SETBACK_M.get(edge.kind, 0.0)
        if edge.setback_m < practice - LEAST_M:
            key = f"hazard-setback-low.{'obstacle' if edge.obstacle else 'side'}"
            facts: Facts = {
                "of": edge.of,
                "kind": kind(edge.kind),
                "setback_m": edge.setback_m,
                "usual_m": practice,
            }
            x, y = (edge.points[0] + edge.points[1]).tolist()
            yield Hit(key, facts, (x / 2, y / 2), edge.of, apart=("setback_m", "usual_m"))


def setback_of_nothing(case: Case) -> Iterator[Hit]:
    """Kinds other than level paving that the wire would lie right against."""
    edges = [
        edge
        for edge in _first_of_each(case).values()
        if edge.setback_m < LEAST_M and edge.kind not in (BARE, *HAZARD_SETBACK_M)
    ]
    for word in dict.fromkeys(edge.kind for edge in edges):
        edge = next(edge for edge in edges if edge.kind == word)
        x, y = (edge.points[0] + edge.points[1]).tolist()
        yield Hit("setback-of-nothing.found", {"kind": kind(word)}, (x / 2, y / 2), word)


RULES = (
    Rule("hazard-setback-low", "warn", hazard_setback_low),
    Rule("setback-of-nothing", "warn", setback_of_nothing),
)
