"""Breaks a text into lines of a given width."""

from __future__ import annotations

import re

from renderer.text.faces import FaceName
from renderer.text.measure import width_mm as _width

# Two letters on each side: numbers, dates, fractions, job numbers and units stay whole.
_PIECES = re.compile(r"(?<=[^\W\d_]{2}[-/])(?=[^\W\d_]{2})")
_TOLERANCE_MM = 1e-9


def wrap(text: str, face: FaceName, size_pt: float, width_mm: float) -> tuple[str, ...]:
    """The lines of a text that is not to be wider than ``width_mm``.

    Lines break at spaces, and after ``-`` and ``/`` between words; a word too long for a line is
    broken rather than allowed over the edge, at least one character a line. A line break in the
    text stays, a no-break space never breaks. An empty text is one empty line.
    """
    lines: list[str] = []
    for paragraph in text.split("\n"):
        if _width(paragraph, face, size_pt) <= width_mm + _TOLERANCE_MM:
            lines.append(paragraph.strip(" "))
        else:
            lines.extend(_filled(paragraph, face, size_pt, width_mm + _TOLERANCE_MM))
    return tuple(lines)


def _filled(paragraph: str, face: FaceName, size_pt: float, limit: float) -> list[str]:
    lines: list[str] = []
    line = ""
    for piece, glue in _pieces(paragraph):
        joined = line + glue + piece if line else piece
        if _width(joined, face, size_pt) <= limit:
            line = joined
            continue
        if line:
            lines.append(line)
        *whole, line = _chopped(piece, face, size_pt, limit)
        lines.extend(whole)
    return [*lines, line]


def _pieces(paragraph: str) -> list[tuple[str, str]]:
    """Unbreakable pieces, each with what stands between it and the piece before it."""
    found = []
    for word in paragraph.split(" "):
        if word:
            first, *rest = _PIECES.split(word)
            found.append((first, " "))
            found.extend((piece, "") for piece in rest)
    return found


def _chopped(piece: str, face: FaceName, size_pt: float, limit: float) -> list[str]:
    parts = [""]
    for character in piece:
        if parts[-1] and _width(parts[-1] + character, face, size_pt) > limit:
            parts.append("")
        parts[-1] += character
    return parts
