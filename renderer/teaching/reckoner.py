"""Makes steps in the plan's unit, metres or decimal feet, and keeps what agrees with the lay."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from renderer.teaching.arithmetic import Number, Step, number
from renderer.units import M_PER_FOOT

LENGTH_DECIMALS = 3  # finer than anyone measures, so that a long sum is right to the centimetre
ANGLE_DECIMALS = 2
LENGTH_WITHIN_M = 0.003  # of a piece: arcs are laid as chords, points on a grid of 0.1 mm
SUM_WITHIN_M = 0.010
NO_FACTS: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Reckoner:
    """Numbers and steps in ``m`` or ``ft``."""

    units: Literal["m", "ft"]

    @property
    def metres(self) -> float:
        """Metres of one printed unit."""
        return M_PER_FOOT if self.units == "ft" else 1.0

    def length(self, length_m: float) -> Number:
        return number(length_m / self.metres, LENGTH_DECIMALS)

    def step(
        self,
        key: str,
        formula: str,
        put_in: Mapping[str, Number],
        laid_m: float,
        facts: Mapping[str, str] = NO_FACTS,
        within_m: float = LENGTH_WITHIN_M,
    ) -> Step:
        """A step that gives a length."""
        laid, within = laid_m / self.metres, within_m / self.metres
        return Step(key, formula, put_in, laid, LENGTH_DECIMALS, self.units, within, facts)

    def read(self, key: str, laid_m: float, facts: Mapping[str, str] = NO_FACTS) -> Step:
        """A length that no short formula gives: read off the lay."""
        return self.step(key, "", {}, laid_m, facts)

    def first_right(self, *steps: Step) -> Step:
        """The first of several ways to a figure whose arithmetic agrees with the lay."""
        return next(step for step in steps if step.agrees)

    def sum(
        self,
        key: str,
        terms: Sequence[tuple[int, Number]],
        laid_m: float,
        facts: Mapping[str, str] = NO_FACTS,
    ) -> Step:
        """The sum of lengths, each taken a number of times."""
        formula, put_in = added(terms)
        within = (SUM_WITHIN_M + 0.0005 * len(terms)) / self.metres
        laid = laid_m / self.metres
        return Step(key, formula, put_in, laid, LENGTH_DECIMALS, self.units, within, facts, False)


def angle(degrees: float) -> Number:
    return number(degrees, ANGLE_DECIMALS)


def whole(count: float) -> Number:
    return number(count, 0)


def counted(
    key: str,
    formula: str,
    put_in: Mapping[str, Number],
    laid: int,
    facts: Mapping[str, str] = NO_FACTS,
) -> Step:
    """A step that gives a whole number; it agrees only where it is the lay's own."""
    return Step(key, formula, put_in, laid, 0, "", 0.0, facts)


def added(terms: Sequence[tuple[int, Number]]) -> tuple[str, dict[str, Number]]:
    """The formula of a sum, and its numbers; what is taken once has no factor."""
    put_in: dict[str, Number] = {}
    parts = []
    for index, (times, each) in enumerate(terms):
        put_in[f"a{index}"] = each
        parts.append(f"{times} × {{a{index}}}" if times != 1 else f"{{a{index}}}")
    return " + ".join(parts) or "0", put_in
