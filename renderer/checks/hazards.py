"""Setbacks too small for what lies beyond: water, a drop, a road; and setbacks of nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.checks.rule import Hit, Rule
from renderer.trade import HAZARD_SETBACK_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case
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
            is_m, usual = case.show.lengths(edge.setback_m, practice)
            key = f"hazard-setback-low.{'obstacle' if edge.obstacle else 'side'}"
            kind = case.words(f"kind.{edge.kind}")
            message = case.words(key, of=edge.of, kind=kind, setback=is_m, usual=usual)
            x, y = (edge.points[0] + edge.points[1]).tolist()
            yield Hit(message, (x / 2, y / 2), edge.of)


def setback_of_nothing(case: Case) -> Iterator[Hit]:
    """Kinds other than level paving that the wire would lie right against."""
    edges = [
        edge
        for edge in _first_of_each(case).values()
        if edge.setback_m < LEAST_M and edge.kind not in (BARE, *HAZARD_SETBACK_M)
    ]
    for kind in dict.fromkeys(edge.kind for edge in edges):
        edge = next(edge for edge in edges if edge.kind == kind)
        x, y = (edge.points[0] + edge.points[1]).tolist()
        message = case.words("setback-of-nothing.found", kind=case.words(f"kind.{kind}"))
        yield Hit(message, (x / 2, y / 2), kind)


RULES = (
    Rule(
        "hazard-setback-low",
        "warn",
        hazard_setback_low,
        "The machine turns some way beyond the wire; beyond it there is no second chance.",
    ),
    Rule(
        "setback-of-nothing",
        "warn",
        setback_of_nothing,
        "The machine turns some way beyond the wire and meets what stands there.",
    ),
)
