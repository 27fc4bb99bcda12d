"""Buried services on the survey form: asked of whom, what was answered, where they run."""

from __future__ import annotations

from renderer.sheets.compact import FINE
from renderer.sheets.kit import paragraph
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.survey import yes_no
from renderer.sheets.table import Column, Row, Write, table
from renderer.sheets.type import CELL, WRITE_ROW_MM
from renderer.sheets.use import BlockUse

SERVICES = ("power", "gas", "water", "drain", "telecom", "irrigation", "heat", "neighbour-loop")


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """What the enquiry gave so far, then a row per kind of service."""
    words = sheet.words
    columns = (
        Column(words("survey.service"), 46, style=CELL),
        Column(words("survey.asked"), 36, "middle", lined=True),
        Column(words("survey.answer"), 58, lined=True),
        Column(words("survey.located"), 50, lined=True),
    )
    rows = [
        Row(
            (
                words(f"survey.services.{name}"),
                yes_no(sheet, "", "services", name),
                Write(sheet.field_name("survey", "services", name, "answer")),
                Write(sheet.field_name("survey", "services", name, "located")),
            ),
            WRITE_ROW_MM,
        )
        for name in SERVICES
    ]
    answered = sheet.known.plan.job.services_asked if sheet.known else ""
    known = words("survey.answered", answer=answered) if answered else words("survey.not-asked")
    return (
        sheet.heading(use),
        *paragraph(words("survey.how-services"), sheet.width_mm, FINE, keep=True),
        *paragraph(known, sheet.width_mm, CELL, gap_mm=0.8, keep=True),
        *table(columns, rows, sheet.width_mm),
    )
