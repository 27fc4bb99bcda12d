"""How long the job takes two people: each count times its rate, and the sum."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.sheets.compact import FINE, FINE_STRONG, fitted, rows_of
from renderer.sheets.kit import paragraph
from renderer.sheets.piece import Piece, held_together
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Styled
from renderer.sheets.use import BlockUse
from renderer.units import M_PER_FOOT

if TYPE_CHECKING:
    from renderer.ground.minutes import Minutes

COUNTED = frozenset({"per_control", "per_island", "per_splice", "per_crossing", "dock"})


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A row per part of the estimate, with its count and rate, and where the rates come from."""
    words, measure = sheet.words, sheet.measure
    rows, total = sheet.job.minutes, sheet.job.work_minutes
    columns = (
        Column(words("time.part"), 84, style=FINE),
        Column(words("time.count"), 0, "end", FINE),
        Column(words("time.rate"), 0, "end", FINE),
        Column(words("time.minutes"), 0, "end", FINE),
    )
    told = [Row(_cells(sheet, row)) for row in rows]
    done = (words("time.total"), "", "", measure.minutes(total))
    told.append(Row(tuple(Styled(cell, FINE_STRONG) for cell in done), strong=True))
    note = paragraph(words("time.note"), sheet.width_mm, FINE)
    return held_together(
        (
            sheet.heading(use),
            *rows_of(fitted(columns, told, sheet.width_mm), told, sheet.width_mm),
            *note,
        )
    )


def _cells(sheet: Sheet, row: Minutes) -> tuple[str, str, str, str]:
    """What is counted, how many, minutes for each, and the product; wire in the plan's unit."""
    count, rate, numbers = "", "", sheet.measure.numbers
    if row.key == "per_m":
        unit = M_PER_FOOT if sheet.measure.units == "ft" else 1.0
        count, rate = sheet.measure.length(row.count), numbers.fixed(row.rate * unit, 2)
    elif row.key in COUNTED:
        count, rate = numbers.plain(row.count), numbers.plain(row.rate)
    part = sheet.words(f"time.{row.key}")
    return part, count, rate, numbers.fixed(row.minutes, 0)
