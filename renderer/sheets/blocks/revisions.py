"""The history of the plan: its revisions, the day it was laid, what was changed since."""

from __future__ import annotations

from renderer.sheets.history import history
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, table
from renderer.sheets.type import CLOSE_PAD_MM, TEXT, TEXT_STRONG
from renderer.sheets.use import BlockUse


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A row per revision and record; nothing where the plan tells of none."""
    words = sheet.words
    columns = (
        Column(words("diff.revision"), 20, style=TEXT_STRONG),
        Column(words("diff.date"), 32, style=TEXT),
        Column(words("diff.history"), 108, style=TEXT),
        Column(words("diff.wire-added"), 30, "end", TEXT),
    )
    rows = [
        Row((each.revision, sheet.measure.short_day(each.date), each.what, each.wire))
        for each in history(sheet)
    ]
    if not rows:
        return ()
    return sheet.heading(use), *table(columns, rows, sheet.width_mm, pad_mm=CLOSE_PAD_MM)
