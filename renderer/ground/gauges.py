"""Cut lengths that set the wire's distance from a side, lettered, at most four a job."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

from renderer.units import MM_PER_INCH, MM_PER_M

if TYPE_CHECKING:
    from collections.abc import Sequence

    from renderer.plan.model import Plan

# Gauges are cut to a multiple of this, by the plan's unit; common practice, no published source.
STEP_M = {"m": 0.05, "ft": MM_PER_INCH / MM_PER_M}
MOST = 4  # gauges a crew keeps apart on one job; common practice, no published source


@dataclass(frozen=True, slots=True)
class Gauge:
    """A length to cut, its letter, and the kinds of side and obstacle it serves.

    It is never shorter than their setbacks, so that no wire comes too near; it may be a little
    longer.
    """

    letter: str
    length_m: float
    kinds: tuple[str, ...]


def setbacks_in_use(plan: Plan) -> dict[str, float]:
    """The setback of each kind of side or obstacle that the plan has, metres."""
    kinds: set[str] = {vertex.side for lawn in plan.lawns for vertex in lawn.outline}
    kinds |= {obstacle.kind for obstacle in plan.obstacles if obstacle.kind != "firm"}
    return {kind: plan.machine.setback[kind] for kind in sorted(kinds)}


def gauges(plan: Plan) -> tuple[Gauge, ...]:
    """The gauges of a job, shortest first, lettered from A. A setback of nothing needs none."""
    step = STEP_M[plan.units]
    cut = {kind: _rounded_up(setback, step) for kind, setback in setbacks_in_use(plan).items()}
    cut = {kind: length for kind, length in cut.items() if length > 0}
    lengths = _few(sorted(set(cut.values())), list(cut.values()))
    served = {
        kind: next(length for length in lengths if length >= own) for kind, own in cut.items()
    }
    return tuple(
        Gauge(chr(ord("A") + i), length, tuple(kind for kind in served if served[kind] == length))
        for i, length in enumerate(lengths)
    )


def gauge_of(plan: Plan) -> dict[str, tuple[str, float]]:
    """Letter and length of the gauge for each kind in use."""
    return {kind: (gauge.letter, gauge.length_m) for gauge in gauges(plan) for kind in gauge.kinds}


def _rounded_up(length_m: float, step_m: float) -> float:
    return round(math.ceil(length_m / step_m - 1e-6) * step_m, 4)


def _few(lengths: Sequence[float], wanted: Sequence[float]) -> tuple[float, ...]:
    """At most four of the lengths, the longest among them, that add least to those wanted."""
    if len(lengths) <= MOST:
        return tuple(lengths)
    choices = [(*some, lengths[-1]) for some in combinations(lengths[:-1], MOST - 1)]
    return min(
        choices,
        key=lambda some: sum(next(x for x in some if x >= length) - length for length in wanted),
    )
