"""Boards that set the wire's distance from a side: cut to length, lettered, at most four a job."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

from renderer.trade import GAUGES_MOST

if TYPE_CHECKING:
    from collections.abc import Sequence

    from renderer.plan.model import Plan


@dataclass(frozen=True, slots=True)
class Gauge:
    """A board, its letter, and the kinds of side and obstacle it serves.

    It is cut to the longest of their setbacks; a shorter one is a mark sawn into it, so that each
    wire is set at its own setback and none nearer.
    """

    letter: str
    length_m: float
    kinds: tuple[str, ...]
    marks_m: tuple[float, ...] = ()  # shortest first


def setbacks_in_use(plan: Plan) -> dict[str, float]:
    """The setback of each kind of side or obstacle that the plan has, metres."""
    kinds: set[str] = {vertex.side for lawn in plan.lawns for vertex in lawn.outline}
    kinds |= {obstacle.kind for obstacle in plan.obstacles if obstacle.kind != "firm"}
    return {kind: plan.machine.setback[kind] for kind in sorted(kinds)}


def gauges(plan: Plan) -> tuple[Gauge, ...]:
    """The gauges of a job, shortest first, lettered from A. A setback of nothing needs none."""
    own = {kind: round(m, 4) for kind, m in setbacks_in_use(plan).items() if m > 0}
    lengths = _few(sorted(set(own.values())), list(own.values()))
    board = {kind: next(length for length in lengths if length >= m) for kind, m in own.items()}
    found = []
    for i, length in enumerate(lengths):
        kinds = tuple(kind for kind in board if board[kind] == length)
        marks = tuple(sorted({own[kind] for kind in kinds} - {length}))
        found.append(Gauge(chr(ord("A") + i), length, kinds, marks))
    return tuple(found)


def gauge_of(plan: Plan) -> dict[str, tuple[str, float]]:
    """Letter and length of the gauge for each kind in use."""
    return {kind: (gauge.letter, gauge.length_m) for gauge in gauges(plan) for kind in gauge.kinds}


def _few(lengths: Sequence[float], wanted: Sequence[float]) -> tuple[float, ...]:
    """At most four of the lengths, the longest among them, with marks least far down a board."""
    if len(lengths) <= GAUGES_MOST:
        return tuple(lengths)
    choices = [(*some, lengths[-1]) for some in combinations(lengths[:-1], GAUGES_MOST - 1)]
    return min(
        choices,
        key=lambda some: sum(next(x for x in some if x >= length) - length for length in wanted),
    )
