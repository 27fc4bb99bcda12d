"""Boards that set the wire's distance from a side: cut to length, numbered, at most four a day.

The jobs of a day share their boards, so that one number means one length on every sheet of a pack.
"""

from __future__ import annotations

import math
from itertools import combinations
from typing import TYPE_CHECKING

from renderer.frozen import dataclass
from renderer.trade import GAUGES_MOST
from renderer.units import MM_PER_INCH, MM_PER_M

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from renderer.plan.model import Plan
    from renderer.plan.values import Units

PRINTED_M = {"m": 0.01, "ft": MM_PER_INCH / MM_PER_M / 4}  # to which a length is printed


@dataclass(frozen=True, slots=True)
class Gauge:
    """A board, its name (G1, G2 ...), and the kinds of side and obstacle it serves.

    It is cut to the longest of the setbacks that it serves; a shorter one is a mark sawn into it,
    so that each wire is set at its own setback and none nearer.
    """

    name: str
    length_m: float
    kinds: tuple[str, ...]
    marks_m: tuple[float, ...] = ()  # shortest first

    def is_mark(self, setback_m: float) -> bool:
        """Whether a setback that the board serves is one of its marks, not its whole length."""
        return any(mark >= _rounded(setback_m) for mark in self.marks_m)


@dataclass(frozen=True, slots=True)
class Board:
    """A board as it is cut for one job or for all jobs of a day; lengths in metres."""

    name: str
    length_m: float
    marks_m: tuple[float, ...] = ()


def setbacks_in_use(plan: Plan) -> dict[str, float]:
    """The setback of each kind of side or obstacle that the plan has, metres."""
    kinds: set[str] = {vertex.side for lawn in plan.lawns for vertex in lawn.outline}
    kinds |= {obstacle.kind for obstacle in plan.obstacles if obstacle.kind != "firm"}
    return {kind: plan.machine.setback[kind] for kind in sorted(kinds)}


def boards(jobs: Iterable[Iterable[float]], units: Units) -> tuple[Board, ...]:
    """The boards for the setbacks of some jobs, shortest first, numbered from G1.

    ``jobs`` are the setbacks of each, metres, one for each kind of edge. Those that are printed
    alike in ``units`` are one, the longest of them. More than four different ones become marks on
    a longer board, those of a whole day as those of one job.
    """
    all_m = sorted(m for setbacks in jobs for m in map(_rounded, setbacks) if m > 0)
    longest = {_printed(m, units): m for m in all_m}
    wanted = [longest[_printed(m, units)] for m in all_m]
    lengths = _few(sorted(set(wanted)), wanted)
    found = []
    for number, length in enumerate(lengths, 1):
        shorter = lengths[number - 2] if number > 1 else 0.0
        marks = tuple(sorted({m for m in wanted if shorter < m < length}))
        found.append(Board(f"G{number}", length, marks))
    return tuple(found)


def gauges(plan: Plan, shared: Sequence[Board] = ()) -> tuple[Gauge, ...]:
    """The gauges of a job, shortest first. A setback of zero needs none.

    ``shared`` are the boards of all jobs of a day; a job without is a day by itself.
    """
    own = {kind: _rounded(m) for kind, m in setbacks_in_use(plan).items() if m > 0}
    cut = tuple(shared) or boards([own.values()], plan.units)
    serving = {kind: next(b for b in cut if b.length_m >= m) for kind, m in own.items()}
    return tuple(
        Gauge(board.name, board.length_m, kinds, board.marks_m)
        for board in cut
        if (kinds := tuple(kind for kind, serves in serving.items() if serves is board))
    )


def gauge_of(plan: Plan, shared: Sequence[Board] = ()) -> dict[str, tuple[str, float]]:
    """Name and length of the gauge for each kind in use."""
    found = gauges(plan, shared)
    return {kind: (gauge.name, gauge.length_m) for gauge in found for kind in gauge.kinds}


def _rounded(setback_m: float) -> float:
    return round(setback_m, 4)


def _printed(length_m: float, units: Units) -> int:
    """The figure that is printed of a length, in its least steps."""
    return math.floor(length_m / PRINTED_M[units] + 0.5)


def _few(lengths: Sequence[float], wanted: Sequence[float]) -> tuple[float, ...]:
    """At most four of the lengths, the longest among them, with marks least far down a board."""
    if len(lengths) <= GAUGES_MOST:
        return tuple(lengths)
    choices = [(*some, lengths[-1]) for some in combinations(lengths[:-1], GAUGES_MOST - 1)]
    return min(
        choices,
        key=lambda some: sum(next(x for x in some if x >= length) - length for length in wanted),
    )
