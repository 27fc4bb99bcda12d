"""A table of the survey form: heads in words, each with its key in the plan file under it."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Literal

from renderer.plan.values import word_of
from renderer.sheets.compact import FINE
from renderer.sheets.errors import SURVEY_TABLE
from renderer.sheets.kit import paragraph, subheading
from renderer.sheets.layout import RowCount
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.survey import TABLES, cells_of, known_rows
from renderer.sheets.table import Column, Row, table
from renderer.sheets.type import SMALL, WRITE_ROW_MM
from renderer.sheets.use import BlockUse

Of = Literal[
    "points", "ties", "offsets", "outline", "obstacles", "features", "sockets", "loops", "crossings"
]


class SurveyTableUse(BlockUse):
    """``of`` is the table, ``rows`` how many rows it has where the page has room for them.

    ``empty`` is how many of these are there in any case; after rows that a plan fills, empty ones
    are there only where the page has room, so that no page has nothing but them.
    """

    of: Annotated[Of, word_of(Of, SURVEY_TABLE)]
    rows: RowCount = 8
    empty: RowCount = 2


def build(sheet: Sheet, use: SurveyTableUse) -> tuple[Piece, ...]:
    """What the table holds and how to fill it in, then its rows."""
    words, entry = sheet.words, TABLES[use.of]
    columns = [
        Column(words(f"survey.column.{key.name}"), key.share, style=FINE, lined=True, key=key.key)
        for key in entry.keys
    ]
    known = known_rows(sheet, use.of)
    filled = sheet.known is not None and any(any(row[:-1]) for row in known)
    least = len(known) + (0 if filled else use.empty)
    cells = cells_of(sheet, use.of, known, max(use.rows, len(known) + use.empty))
    head, *rows = table(columns, [Row(each, WRITE_ROW_MM) for each in cells], sheet.width_mm)
    title = use.title or words(f"survey.title.{use.of}")
    aside = words("survey.in-file", path=entry.path)
    how = words(f"survey.how.{use.of}")
    if use.of == "points" and not filled:
        how = f"{how} {words('survey.how.first-points')}"
    return (
        subheading(title, sheet.width_mm, aside, SMALL),
        *paragraph(how, sheet.width_mm, FINE, gap_mm=0.0, keep=True),
        head,
        *rows[:least],
        *(replace(row, keep=False, spare=True) for row in rows[least:]),
    )
