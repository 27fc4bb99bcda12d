"""The log that is kept with the map: revisions, changes, breaks found and mended."""

from __future__ import annotations

from dataclasses import replace

from renderer.language.numbers import NO_BREAK
from renderer.plan import short_code
from renderer.sheets.compact import FINE, FINE_STRONG, beside_head_mm, head, spared
from renderer.sheets.layout import RowCount
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Cell, Column, Row, Styled, Write, table
from renderer.sheets.type import WRITE_ROW_MM
from renderer.sheets.use import BlockUse

COLUMNS = (
    ("date", 23), ("revision", 11), ("what", 56), ("start", 19), ("finish", 19), ("wire", 20),
    ("ties", 42),
)  # fmt: skip


KEPT_GAP_MM = 20.0
LEAST = 2  # with fewer lines than this a log is no use


class MapLogUse(BlockUse):
    """``rows`` is how many empty lines there are at the most; the page may have room for fewer."""

    rows: RowCount = 8


def build(sheet: Sheet, use: MapLogUse) -> tuple[Piece, ...]:
    """A line for the plan as it was drawn, then empty lines."""
    words = sheet.words
    columns = [Column(words(f"log.{key}"), share, lined=True) for key, share in COLUMNS]
    rows = [Row(_planned(sheet))]
    rows += [
        Row(tuple(Write(sheet.field_name("log", n, key)) for key, _ in COLUMNS), WRITE_ROW_MM)
        for n in range(use.rows)
    ]
    top, *lines = table(columns, rows, sheet.width_mm)
    return _head(sheet, use), top, *spared(lines, LEAST)


def _head(sheet: Sheet, use: MapLogUse) -> Piece:
    """The heading; on its line one writes where spare wire and photographs are kept."""
    above = head(sheet, use)
    kept, y = sheet.words("change.kept"), above.height_mm - 1.0
    right = sheet.width_mm - beside_head_mm(sheet, use) + KEPT_GAP_MM
    text = FINE.line(kept, right, y - FINE.pitch_mm - 0.4)
    return replace(above, items=(*above.items, text))


def _planned(sheet: Sheet) -> tuple[Cell, ...]:
    job = sheet.job.plan.job
    planned = sheet.words("log.planned", code=short_code(sheet.job.digest))
    day = sheet.measure.short_day(job.planned_for).replace(NO_BREAK, " ")  # may need two lines
    return Styled(day, FINE), Styled(job.revision, FINE_STRONG), Styled(planned, FINE), *[""] * 4
