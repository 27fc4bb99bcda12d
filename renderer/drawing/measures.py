"""Lengths as they are printed on drawings: metres with two decimals, or feet and inches."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.language.feet import QUARTERS, feet_and_inches, tape_parts

if TYPE_CHECKING:
    from renderer.language import Words


def length_text(metres: float, units: str, words: Words) -> str:
    """``12.35`` in metres, or ``40' 6½"`` to a quarter inch; the unit is stated once elsewhere."""
    return _text(metres, units, words, QUARTERS)


def tape_text(metres: float, units: str, words: Words, parts: int = 1) -> str:
    """A length by tape over grass, as far as that is read, or to ``parts`` of an inch."""
    return _text(metres, units, words, max(parts, tape_parts(metres)))


def _text(metres: float, units: str, words: Words, parts: int) -> str:
    if units == "ft":
        return feet_and_inches(metres, parts)
    return words.numbers.fixed(metres + 0.0, 2)
