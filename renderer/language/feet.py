"""Feet and inches in writing: the one place that forms them, to a given fraction of an inch."""

from __future__ import annotations

import math
import re
from fractions import Fraction

from renderer.trade import TAPE_READ_INCH
from renderer.units import INCHES_PER_FOOT, M_PER_FOOT

SIGNS = {Fraction(1, 4): "¼", Fraction(1, 2): "½", Fraction(3, 4): "¾"}
TYPED = re.compile(r'(?:(?<=\d) |(?<![\d/]))(1/4|1/2|3/4)(?=")')
QUARTERS = 4  # the parts of an inch of a printed length


def feet_and_inches(
    length_m: float, parts: int = QUARTERS, *, gap: str = " ", typed: bool = False
) -> str:
    """A length as ``12' 6¼"`` to the nearest of ``parts`` of an inch; below a foot only inches.

    ``gap`` stands between feet and inches. ``typed`` writes ``6 1/4`` for what has no sign of its
    own on a keyboard; parts finer than quarters are always written so.
    """
    count = math.floor(abs(length_m) / M_PER_FOOT * INCHES_PER_FOOT * parts + 0.5)
    feet, rest = divmod(count, INCHES_PER_FOOT * parts)
    whole, part = divmod(rest, parts)
    inches = _inches(whole, Fraction(part, parts), typed=typed, feet=bool(feet))
    sign = "-" if length_m < 0 and count else ""
    return f"{sign}{feet}'{gap}{inches}\"" if feet else f'{sign}{inches}"'


def inches_up(length_m: float) -> str:
    """A length in whole inches, rounded up, as ``7"``."""
    return f'{math.ceil(length_m / M_PER_FOOT * INCHES_PER_FOOT)}"'


def _inches(whole: int, part: Fraction, *, typed: bool, feet: bool) -> str:
    if not part:
        return str(whole)
    if typed or part not in SIGNS:
        return f"{whole} {part}" if whole else str(part)
    return f"{whole}{SIGNS[part]}" if whole or feet else SIGNS[part]


def with_signs(text: str) -> str:
    """A text with typed fractions of an inch, ``6 1/4"``, as it is printed: ``6¼"``."""
    return TYPED.sub(lambda found: SIGNS[Fraction(found[1])], text)


def tape_parts(length_m: float) -> int:
    """The parts of an inch to which a tape of that length over grass is read."""
    return next(parts for up_to_m, parts in TAPE_READ_INCH if length_m < up_to_m)
