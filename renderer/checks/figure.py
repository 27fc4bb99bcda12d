"""The figure of a finding, and whether it is the one that an acceptance states, as printed."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from renderer.plan.figures import figure_of
from renderer.units import (
    INCHES_PER_FOOT,
    M_PER_FOOT,
    WRITTEN_DECIMALS_M,
    WRITTEN_PARTS_INCH,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from renderer.checks.fact import Facts
    from renderer.checks.rule import Rule
    from renderer.plan.values import Units

# Facts that a figure is held against, and places: none of them is the figure of a finding.
LIMITS = ("needed", "limit", "least", "most", "allowed", "usual", "strip", "passage", "x", "y")
UNITS = ("m", "m2", "percent", "ohm", "deg")
EQUAL = 0.01  # of a printed step, for what falls half way between two


def figure_name(rule: Rule, facts: Facts) -> str:
    """The name of the fact that an acceptance of the rule may state; empty where there is none."""
    names = (rule.figure,) if rule.figure else tuple(facts)
    return next((name for name in names if _is_measured(name, facts.get(name))), "")


def _is_measured(name: str, fact: object) -> bool:
    number = isinstance(fact, int | float) and not isinstance(fact, bool)
    if fact == 0 and figure_unit(name) != "m":
        return False  # a count or share of nothing; a distance of nothing is one
    return number and name.partition("_")[0] not in LIMITS


def figure_unit(name: str) -> str:
    """The unit of a fact by its name; empty for a count."""
    unit = name.rpartition("_")[2]
    return unit if unit in UNITS else ""


def states(text: str, name: str, facts: Facts, apart: Sequence[str], units: Units) -> bool:
    """Whether a stated figure reads like the fact of that name in a plan shown in ``units``."""
    stated, fact = figure_of(text), facts.get(name)
    if stated is None or not isinstance(fact, int | float):
        return False
    unit = figure_unit(name)
    if stated.unit != unit and (stated.unit or unit in ("m", "m2")):
        return False
    lengths = [each for each in map(facts.get, apart) if isinstance(each, int | float)]
    step = _step(fact, unit, lengths if name in apart else [], units)
    return abs(stated.value - fact) <= step * (0.5 + EQUAL)


def _step(fact: float, unit: str, apart: Sequence[float], units: Units) -> float:
    """The last place in which a fact is printed, in the unit that it has here."""
    if unit == "m":
        return _length_step(apart, units)
    if unit == "m2":
        size = M_PER_FOOT**2 if units == "ft" else 1.0
        return size * (0.1 if fact < 10 * size else 1.0)
    if unit == "percent":
        return float(10.0 ** (math.floor(math.log10(abs(fact))) - 2))
    return 0.01 if unit == "ohm" else EQUAL


def _length_step(apart: Sequence[float], units: Units) -> float:
    """The step of lengths, metres: the coarsest in which those that must differ do."""
    if units == "ft":
        steps = [M_PER_FOOT / INCHES_PER_FOOT / parts for parts in WRITTEN_PARTS_INCH]
    else:
        steps = [10.0**-decimals for decimals in WRITTEN_DECIMALS_M]
    different = len({round(length, 4) for length in apart})
    fine = (step for step in steps if len({round(each / step) for each in apart}) == different)
    return next(fine, steps[-1])
