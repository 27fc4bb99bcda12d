"""What a reading may have been before it was misread, miscalled or miswritten.

The list and its order are common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from renderer.survey.network import Reading, Unit
from renderer.units import M_PER_FOOT

Slip = Literal[
    "digits", "whole", "ten", "hook", "six-nine", "one-seven", "wrong-end", "wrong-point",
    "back", "other-way", "minute",
]  # fmt: skip

# How much less likely a slip is than the usual ones, as squared deviations.
_RARER: dict[Slip, float] = {
    "digits": 0.0,
    "whole": 0.0,
    "hook": 1.0,
    "ten": 1.0,
    "six-nine": 1.0,
    "one-seven": 1.0,
    "back": 1.0,
    "other-way": 1.0,
    "minute": 1.0,
    "wrong-end": 3.0,
    "wrong-point": 3.0,
}
_TAPES = {"m": (20.0, 30.0, 50.0), "ft": (50.0, 100.0, 165.0)}
_HOOK = {"m": 0.1, "ft": 1.0 / 3.0}
_LIKE: dict[Slip, dict[str, str]] = {
    "six-nine": {"6": "9", "9": "6"},
    "one-seven": {"1": "7", "7": "1"},
}
_NEAR = 1e-6


@dataclass(frozen=True, slots=True)
class Misreading:
    """What a reading may have been, in metres or degrees, by which slip; ``rarer`` counts."""

    slip: Slip
    value: float

    @property
    def rarer(self) -> float:
        """How much less likely than the usual slips, as squared deviations."""
        return _RARER[self.slip]


def misreadings(reading: Reading, unit: Unit) -> list[Misreading]:
    """All that the reading may have been, each value once, by its likeliest slip."""
    found: dict[int, Misreading] = {}
    factor = 1.0 if unit == "m" or not reading.is_length else M_PER_FOOT
    raw = _lengths(reading.reads / factor, unit) if reading.is_length else _turns(reading.reads)
    for slip, value in raw:
        if reading.kind == "tape" and value <= 0:
            continue
        each = Misreading(slip, round(value * factor, 6))
        key = round(each.value * 1000)
        if abs(each.value - reading.reads) > _NEAR and (
            key not in found or each.rarer < found[key].rarer
        ):
            found[key] = each
    return list(found.values())


def _lengths(value: float, unit: Unit) -> Iterator[tuple[Slip, float]]:
    yield "whole", value + 1.0
    yield "whole", value - 1.0
    for text, read in _written(value, unit):
        yield from ((slip, read(each)) for slip, each in _digits(text))
    yield "hook", value + _HOOK[unit]
    yield "hook", value - _HOOK[unit]
    yield "ten", value + 10.0
    yield "ten", value - 10.0
    for tape in _TAPES[unit]:
        if value < tape:
            yield "wrong-end", tape - value


def _turns(value: float) -> Iterator[tuple[Slip, float]]:
    for step in (1.0, -1.0):
        yield "whole", (value + step) % 360.0
        yield "ten", (value + 10.0 * step) % 360.0
        yield "minute", (value + step / 60.0) % 360.0
    for slip, each in _digits(f"{value % 360.0:.1f}"):  # no sign among the digits
        yield slip, float(each) % 360.0
    yield "back", (value + 180.0) % 360.0
    yield "other-way", (360.0 - value) % 360.0


def _written(value: float, unit: Unit) -> Iterator[tuple[str, Callable[[str], float]]]:
    """The reading as it may have been written: with two decimals, or as feet before the inches."""
    sized = abs(value)
    if unit == "m" or abs(sized * 100 - round(sized * 100)) < 1e-4:
        yield f"{sized:.2f}", float
    if unit == "ft" and abs(sized * 96 - round(sized * 96)) < 1e-3:
        feet = int(sized + _NEAR)
        yield str(feet), lambda text: float(text) + sized - feet


def _digits(text: str) -> Iterator[tuple[Slip, str]]:
    """Neighbouring digits exchanged across the point too, and one digit taken for another."""
    places = [index for index, char in enumerate(text) if char != "."]
    for one, two in pairwise(places):
        if text[one] != text[two]:
            swapped = list(text)
            swapped[one], swapped[two] = swapped[two], swapped[one]
            yield "digits", "".join(swapped)
    for slip, like in _LIKE.items():
        for index in places:
            if text[index] in like:
                yield slip, text[:index] + like[text[index]] + text[index + 1 :]
