"""Breaks a text into lines of a given width."""

from __future__ import annotations

import re
from functools import lru_cache

from renderer.text.faces import FaceName
from renderer.text.measure import mm_per_unit, units_wide

# Two letters on each side: numbers, dates, fractions, job numbers and units stay whole.
_PIECES = re.compile(r"(?<=[^\W\d_]{2}[-/])(?=[^\W\d_]{2})")
# Feet and their inches, and a figure and its unit, stay together unless a line is too short for it.
_GLUED = re.compile(r"(?<=\d') (?=\d)|(?<=\d) (?=(?:mm|cm|m²?|ft|%|M?Ω|°C|min|h)(?![\w²]))")
_GLUE = "\x1f"
_TOLERANCE_MM = 1e-9
_Limit = tuple[float, float]  # the width of a line in mm, and of a unit of the face


@lru_cache(maxsize=2048)  # a cell is measured, then split, then printed
def wrap(text: str, face: FaceName, size_pt: float, width_mm: float) -> tuple[str, ...]:
    """The lines of a text that is not to be wider than ``width_mm``.

    Lines break at spaces, and after ``-`` and ``/`` between words; a word too long for a line is
    broken rather than allowed over the edge, at least one character a line. A line break in the
    text stays, a no-break space never breaks, nor does one between feet and inches or a figure and
    its unit where a line is long enough for both. An empty text is one empty line.
    """
    limit = (width_mm + _TOLERANCE_MM, mm_per_unit(face, size_pt))
    lines: list[str] = []
    for paragraph in text.split("\n"):
        if _fits(units_wide(paragraph, face), limit):
            lines.append(paragraph.strip(" "))
        else:
            lines.extend(_filled(paragraph, face, limit))
    return tuple(lines)


def _fits(units: int, limit: _Limit) -> bool:
    width_mm, mm_a_unit = limit
    return units * mm_a_unit <= width_mm


def _filled(paragraph: str, face: FaceName, limit: _Limit) -> list[str]:
    lines: list[str] = []
    line, used = "", 0
    for piece, glue in _pieces(paragraph, face, limit):
        own = units_wide(piece, face)
        joined = used + units_wide(glue, face) + own if line else own
        if _fits(joined, limit):
            line, used = line + glue + piece if line else piece, joined
            continue
        if line:
            lines.append(line)
        *whole, line = _chopped(piece, face, limit)
        lines.extend(whole)
        used = units_wide(line, face)
    return [*lines, line]


def words_of(text: str) -> list[str]:
    """The words between which a text may break, a figure with its unit as one of them."""
    return [word.replace(_GLUE, " ") for word in _GLUED.sub(_GLUE, text).split(" ") if word]


def _pieces(paragraph: str, face: FaceName, limit: _Limit) -> list[tuple[str, str]]:
    """Unbreakable pieces, each with what stands between it and the piece before it."""
    found = []
    for whole in words_of(paragraph):
        fits = " " not in whole or _fits(units_wide(whole, face), limit)
        for word in (whole,) if fits else whole.split(" "):
            first, *rest = _PIECES.split(word)
            found.append((first, " "))
            found.extend((piece, "") for piece in rest)
    return found


def _chopped(piece: str, face: FaceName, limit: _Limit) -> list[str]:
    parts = [""]
    for character in piece:
        if parts[-1] and not _fits(units_wide(parts[-1] + character, face), limit):
            parts.append("")
        parts[-1] += character
    return parts
