"""Local rules: whom to ask what before digging or connecting, and a space for each answer."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from renderer.sheets.compact import FINE, rows_of
from renderer.sheets.draft_notice import doubled, doubled_paragraph
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Ticks, Write
from renderer.sheets.type import TEXT
from renderer.sheets.use import BlockUse

# Each question, and the kinds of side and obstacle that call for it; empty: on every job.
QUESTIONS: dict[str, frozenset[str]] = {
    "dig": frozenset(),
    "services": frozenset(),
    "mains": frozenset(),
    "boundary": frozenset(),
    "road": frozenset({"road"}),  # and a crossing
    "water": frozenset({"water"}),
    "trees": frozenset({"tree", "hedge"}),
}
ANSWER_ROW_MM = 9.0


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """What comes before this sheet, then a question per row with space for the local rule."""
    words = sheet.words
    columns = (
        Column(words("rules.ask"), 52 if sheet.page_mm else 92, style=TEXT),
        Column(words("rules.rule"), 30 if sheet.page_mm else 82, lined=True),
        Column(words("rules.done"), 11 if sheet.page_mm else 16, "middle"),
    )
    rows = [
        Row(
            (
                doubled(sheet, partial(_question, question)),
                Write(sheet.field_name("rule", question), tooltip=words("rules.rule")),
                Ticks((sheet.field_name("rule", question, "done"),), words("rules.done")),
            ),
            ANSWER_ROW_MM,
        )
        for question in _asked(sheet)
    ]
    return (
        sheet.heading(use),
        *doubled_paragraph(sheet, lambda each: each.words("rules.first"), sheet.width_mm, FINE),
        *rows_of(columns, rows, sheet.width_mm),
    )


def _asked(sheet: Sheet) -> Iterator[str]:
    """The questions of this garden."""
    plan = sheet.job.plan
    there: set[str] = {vertex.side for lawn in plan.lawns for vertex in lawn.outline}
    there |= {obstacle.kind for obstacle in plan.obstacles}
    if sheet.job.crossings:
        there.add("road")
    yield from (key for key, kinds in QUESTIONS.items() if not kinds or kinds & there)


def _question(question: str, sheet: Sheet) -> str:
    return sheet.words(f"rules.question.{question}")
