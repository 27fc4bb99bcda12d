"""A text in several styles that run on in the same lines, as a step with its limit in bold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby
from typing import NamedTuple

from renderer.primitives import Text
from renderer.sheets.type import Style
from renderer.text import cap_height_mm, words_of

Part = tuple[str, Style]
GLUE = " "
BETWEEN = "  "  # between two parts on a line
TOLERANCE_MM = 1e-6


class _Word(NamedTuple):
    text: str
    style: Style
    glue: str  # what stands between it and the word before it on the same line
    starts_line: bool = False


def run_lines(parts: Sequence[Part], width_mm: float) -> tuple[tuple[Part, ...], ...]:
    """The lines of the parts, no wider than ``width_mm``, each as parts of one style.

    A line break in a part stays. A word too long for a line is broken.
    """
    lines: list[list[_Word]] = [[]]
    used = 0.0
    for word in _words(parts, width_mm):
        glue = word.style.width_mm(word.glue) if lines[-1] else 0.0
        needed = glue + word.style.width_mm(word.text)
        if lines[-1] and (word.starts_line or used + needed > width_mm + TOLERANCE_MM):
            lines.append([])
            used, needed = 0.0, word.style.width_mm(word.text)
        lines[-1].append(word if lines[-1] else word._replace(glue=""))
        used += needed
    return tuple(tuple(_joined(line)) for line in lines)


def runs_height_mm(parts: Sequence[Part], width_mm: float) -> float:
    """The height of the parts in lines of ``width_mm``."""
    return len(run_lines(parts, width_mm)) * pitch_mm(parts)


def pitch_mm(parts: Sequence[Part]) -> float:
    """From line to line: that of the style with the highest lines."""
    return max((style.pitch_mm for _, style in parts), default=0.0)


def run_texts(parts: Sequence[Part], x: float, top: float, width_mm: float) -> Iterator[Text]:
    """The lines below ``top``, all words of a line on the base line of the first style."""
    if not parts:
        return
    main, pitch = parts[0][1], pitch_mm(parts)
    cap = cap_height_mm(main.face, main.size_pt)
    for number, line in enumerate(run_lines(parts, width_mm)):
        base = top + number * pitch + (pitch + cap) / 2
        at = x
        for text, style in line:
            own = text.lstrip(GLUE)
            lead = style.width_mm(text[: len(text) - len(own)])
            yield replace(style.line(own, 0.0, 0.0), at=(at + lead, base))
            at += style.width_mm(text)


def _words(parts: Sequence[Part], width_mm: float) -> Iterator[_Word]:
    for text, style in parts:
        glue, starts = BETWEEN, False
        for number, line in enumerate(text.split("\n")):
            starts = number > 0
            for word in words_of(line):
                for piece in style.wrap(word, width_mm):
                    yield _Word(piece, style, glue, starts)
                    glue, starts = GLUE, False


def _joined(line: Sequence[_Word]) -> Iterator[Part]:
    for style, some in groupby(line, key=lambda word: word.style):
        yield "".join(word.glue + word.text for word in some), style
