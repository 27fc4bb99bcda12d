"""What a rule hands on instead of a sentence: a key of the catalogue, and plain values by name.

The name of a figure ends in its unit: ``width_m`` (metres), ``area_m2``, ``slope_percent``,
``angle_deg``, ``reads_ohm``, ``touch_mm``, ``current_a``, ``voltage_v``; what has no unit is a
count. ``x_m`` and ``y_m`` are a place in the plan.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from datetime import date
from typing import Union

from renderer.frozen import dataclass

# A name or word of the plan, a figure, a day, a phrase of the catalogue, or several names or
# phrases.
Fact = Union[str, float, date, "Phrase", tuple[str, ...], tuple["Phrase", ...]]
Facts = Mapping[str, Fact]


@dataclass(frozen=True, slots=True)
class Phrase:
    """A part of a sentence: its key in the catalogue of findings, and the facts that fill it.

    The lengths that ``apart`` names are written finely enough to be distinguished.
    """

    key: str
    facts: Facts = field(default_factory=dict)
    apart: tuple[str, ...] = ()


def kind(word: str) -> Phrase:
    """A kind of side or obstacle, such as ``wall``."""
    return Phrase(f"kind.{word}")


def moved_facts(facts: Facts, by: tuple[float, float]) -> Facts:
    """The same facts with the place among them moved by metres."""
    if "x_m" not in facts:
        return facts
    x, y = facts["x_m"], facts["y_m"]
    assert isinstance(x, float) and isinstance(y, float)
    return {**facts, "x_m": x + by[0], "y_m": y + by[1]}
