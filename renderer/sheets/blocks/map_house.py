"""Where a plan has no corner that lasts: lines on which two corners of the house are tied to it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from renderer.ground.faces import has_house_corners
from renderer.primitives import Mark
from renderer.sheets.compact import CLOSE
from renderer.sheets.kit import BOOKMARK_LEVEL, rule
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.type import LIGHT
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.primitives import Primitive

ROW_MM = 7.0
GAP_MM = 0.3
# Each space to write in by its word, and its share of the width.
SPACES = (
    ("corner", 0.36), ("from", 0.12), ("tape", 0.15), ("from", 0.12), ("tape", 0.15), ("hand", 0.1),
)  # fmt: skip


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """Two lines to fill in; nothing where the plan has points that last."""
    if has_house_corners(sheet.job.plan):
        return ()
    line = tuple(_line(sheet))
    title = use.title or sheet.words("heading.map-house")
    first = Piece(ROW_MM, line, GAP_MM, keep=True)
    mark = Mark(sheet.anchor(use.block), 0.0, title, BOOKMARK_LEVEL)
    return replace(first, marks=(mark,)), replace(first, keep=False)


def _line(sheet: Sheet) -> Iterator[Primitive]:
    """Words, each with a line behind it to write on."""
    x, foot = 0.0, ROW_MM - 0.6
    for key, share in SPACES:
        text = sheet.words(f"house.{key}")
        yield CLOSE.line(text, x, foot - CLOSE.pitch_mm)
        end = x + share * sheet.width_mm
        yield rule(x + CLOSE.width_mm(text) + 1.5, end - 2.0, foot, LIGHT)
        x = end
