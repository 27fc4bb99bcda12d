"""What to ask and look at on the first visit: a row per subject, a box, room for the answer."""

from __future__ import annotations

from renderer.sheets.compact import TEXT
from renderer.sheets.kit import paragraph
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Ticks, Write, table
from renderer.sheets.type import SMALL, WRITE_ROW_MM
from renderer.sheets.use import BlockUse

MATTERS = (
    "socket",
    "network",
    "slopes",
    "gates",
    "ground",
    "services",
    "old",
    "digs",
    "changes",
    "children",
    "animals",
    "neighbour",
    "keys",
    "van",
    "people",
    "wishes",
)
AT_LENGTH = "wishes"  # what takes a long answer has more room
ROW_MM = 11.0
LONG_ROW_MM = 22.0
LONG_SHORTENED_MM = 13.0  # where the notice of a draft stands above, so that it stays one leaf


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """The subjects in the order of a walk from the house round the garden and back."""
    words = sheet.words
    row, long = ROW_MM, LONG_ROW_MM
    if words.is_draft:
        row, long = WRITE_ROW_MM, LONG_SHORTENED_MM
    columns = (
        Column(words("survey.asked"), 18, "middle"),
        Column(words("visit.matter"), 90, style=TEXT),
        Column(words("visit.answer"), 82, lined=True),
    )
    rows = [
        Row(
            (
                Ticks((sheet.field_name("visit", matter, "asked"),), words(f"visit.of.{matter}")),
                words(f"visit.of.{matter}"),
                Write(sheet.field_name("visit", matter), tooltip=words(f"visit.of.{matter}")),
            ),
            long if matter == AT_LENGTH else row,
        )
        for matter in MATTERS
    ]
    return (
        sheet.heading(use),
        *paragraph(
            f"{words('visit.intro')} {words('rules.foot')}", sheet.width_mm, SMALL, keep=True
        ),
        *table(columns, rows, sheet.width_mm),
    )
