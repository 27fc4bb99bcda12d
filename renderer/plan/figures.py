"""Figures of findings as a plan states them: ``12.4 m``, ``9 ft 6 1/2 in``, ``35 m2``, ``22 %``."""

from __future__ import annotations

import re
from typing import Annotated, Literal, NamedTuple

from pydantic import BeforeValidator, WithJsonSchema

from renderer.plan.errors import refuse, shown
from renderer.plan.lengths import LENGTH_PATTERN, NUMBER_PATTERN, LengthError, metres, number
from renderer.plan.values import AREA_UNITS_M2

FigureUnit = Literal["m", "m2", "percent", "ohm", "deg", ""]
_SHARES: dict[str, FigureUnit] = {
    **dict.fromkeys(("%", "percent"), "percent"),
    **dict.fromkeys(("Ω", "ohm"), "ohm"),
    **dict.fromkeys(("°", "deg"), "deg"),
}
_AREAS = {unit: factor for unit, factor in AREA_UNITS_M2.items() if unit not in ("m", "ft")}
_WITH_UNIT = re.compile(rf"({NUMBER_PATTERN})\s*({'|'.join((*_SHARES, *_AREAS))})?")
FIGURE_PATTERN = rf"^\s*{_WITH_UNIT.pattern}\s*$|(?:{LENGTH_PATTERN})"
CURE = "write it as check does, such as 12.4 m, 9 ft 6 in, 35 m2, 22 % or 74"


class Figure(NamedTuple):
    """A number with its unit: metres, square metres, percent, ohm, degrees, or none."""

    value: float
    unit: FigureUnit


def figure_of(text: str) -> Figure | None:
    """The figure that a text states, or None where it states none. Nothing is taken from a file's
    unit: a bare number has none.
    """
    written = _WITH_UNIT.fullmatch(text.strip())
    if written is None:
        if text.strip()[-1:].isdigit():  # a fraction without a unit
            return None
        try:
            return Figure(metres(text), "m")
        except LengthError:
            return None
    value, unit = number(written[1]) or 0.0, written[2]
    if unit in _AREAS:
        return Figure(value * _AREAS[unit], "m2")
    return Figure(value, _SHARES[unit] if unit else "")


def to_figure(value: object) -> str:
    """The text of a figure, as it stands in the file. Raises Problems."""
    text = str(value).strip()
    fits = isinstance(value, str | int | float) and not isinstance(value, bool) and len(text) <= 40
    found = figure_of(text) if fits else None
    if found is None or not 0.0 <= found.value < 1e9:
        refuse(f"{shown(value)} is not a figure", CURE)
    return text


Stated = Annotated[str, BeforeValidator(to_figure), WithJsonSchema({"form": "Figure"})]
