"""The log that is kept with the map: revisions, changes, breaks found and mended."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from renderer.language.numbers import NO_BREAK
from renderer.plan import short_code
from renderer.sheets.compact import (
    FINE,
    FINE_STRONG,
    beside_head_mm,
    head,
    rows_of,
    spared,
    under_head,
)
from renderer.sheets.history import history
from renderer.sheets.layout import RowCount
from renderer.sheets.piece import Piece, height_of
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Cell, Column, Row, Styled, Write, table
from renderer.sheets.type import WRITE_ROW_MM
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from datetime import date


COLUMNS = (
    ("date", 22), ("revision", 11), ("what", 53), ("start", 19), ("finish", 20), ("wire", 23),
    ("ties", 42),
)  # fmt: skip


KEPT_GAP_MM = 20.0
HELD = 6  # so many entries stay with the heading, and with a line to write in,
HELD_MM = 60.0  # if they are no higher
LEAST = 2  # with fewer lines than this a log is no use, nor without one to write in


class MapLogUse(BlockUse):
    """``rows`` is how many empty lines there are at the most; the page may have room for fewer."""

    rows: RowCount = 8


def build(sheet: Sheet, use: MapLogUse) -> tuple[Piece, ...]:
    """Revisions, what was built and changed, else the plan as it was drawn; then empty lines."""
    words = sheet.words
    columns = [Column(words(f"log.{key}"), share, lined=True) for key, share in COLUMNS]
    known = [
        _line(sheet, each.date, each.revision, each.what, each.wire) for each in history(sheet)
    ]
    if not sheet.job.is_built:
        known.append(_planned(sheet))
    rows = [Row(line) for line in known]
    rows += [
        Row(tuple(Write(sheet.field_name("log", n, key)) for key, _ in COLUMNS), WRITE_ROW_MM)
        for n in range(use.rows)
    ]
    # what is known is only read; in the line of a plan the readings of the first day are written
    made = rows_of if sheet.job.is_built else table
    top, *lines = under_head(made(columns, rows, sheet.width_mm))
    told, empty = lines[: len(lines) - use.rows], lines[len(lines) - use.rows :]
    if len(told) <= HELD and height_of(told) <= HELD_MM:
        told = [replace(line, keep=True) for line in told]
    return _head(sheet, use), top, *told, *spared(empty, max(LEAST - len(known), 1))


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
    return _line(sheet, None, job.revision, planned)  # the day is written in when it is laid


def _line(
    sheet: Sheet, day: date | None, revision: str, what: str, wire: str = ""
) -> tuple[Cell, ...]:
    told = sheet.measure.short_day(day).replace(NO_BREAK, " ")  # may need two lines
    cells = (Styled(told, FINE), Styled(revision, FINE_STRONG), Styled(what, FINE))
    return *cells, "", "", Styled(wire, FINE), ""
