"""Lengths as they are printed on drawings: metres with two decimals, or feet and inches."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from renderer.units import M_PER_FOOT

if TYPE_CHECKING:
    from renderer.language import Words

_QUARTERS = ("", "¼", "½", "¾")


def length_text(metres: float, units: str, words: Words) -> str:
    """``12.35`` in metres, or ``40' 6½"`` to a quarter inch; the unit is stated once elsewhere."""
    if units != "ft":
        return words.numbers.fixed(metres + 0.0, 2)
    quarters = math.floor(metres / M_PER_FOOT * 48 + 0.5)
    feet, rest = divmod(quarters, 48)
    inches, part = divmod(rest, 4)
    small = f"{inches or ''}{_QUARTERS[part]}" or "0"
    return f"{feet}' {small}\"" if feet else f'{small}"'
