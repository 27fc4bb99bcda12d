"""What has to hold before anyone leaves the garden with the survey form."""

from __future__ import annotations

from renderer.sheets.compact import TEXT
from renderer.sheets.piece import Piece, held_together
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Ticks, Write, table
from renderer.sheets.use import BlockUse

CHECKS = ("closure", "third", "kinds", "slopes", "socket", "services", "passages", "photos", "back")


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A row per check, with what was found and a box to tick."""
    words = sheet.words
    columns = (
        Column(words("survey.check"), 130, style=TEXT),
        Column(words("survey.found"), 44, lined=True),
        Column(words("survey.done"), 16, "middle"),
    )
    rows = [
        Row(
            (
                words(f"survey.checks.{check}"),
                Write(sheet.field_name("survey", "check", check)),
                Ticks((sheet.field_name("survey", "check", check, "done"),)),
            )
        )
        for check in CHECKS
    ]
    return held_together((sheet.heading(use), *table(columns, rows, sheet.width_mm)))
