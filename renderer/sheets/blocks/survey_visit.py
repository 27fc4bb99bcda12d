"""What to ask and look at on the first visit: a row a matter, a box, room for the answer."""

from __future__ import annotations

from renderer.sheets.compact import TEXT
from renderer.sheets.kit import paragraph
from renderer.sheets.layout import BlockUse
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Ticks, Write, table
from renderer.sheets.type import SMALL

# Each matter and the height of its row: what is told at length has more room.
MATTERS = {
    "socket": 11.0,
    "network": 11.0,
    "slopes": 11.0,
    "gates": 11.0,
    "ground": 11.0,
    "old": 11.0,
    "digs": 11.0,
    "changes": 11.0,
    "children": 11.0,
    "animals": 11.0,
    "neighbour": 11.0,
    "keys": 11.0,
    "van": 11.0,
    "people": 11.0,
    "wishes": 22.0,
}


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """The matters in the order of a walk from the house round the garden and back."""
    words = sheet.words
    columns = (
        Column(words("survey.asked"), 18, "middle"),
        Column(words("visit.matter"), 76, style=TEXT),
        Column(words("visit.answer"), 96, lined=True),
    )
    rows = [
        Row(
            (
                Ticks((sheet.field_name("visit", matter, "asked"),), words(f"visit.of.{matter}")),
                words(f"visit.of.{matter}"),
                Write(sheet.field_name("visit", matter), tooltip=words(f"visit.of.{matter}")),
            ),
            height,
        )
        for matter, height in MATTERS.items()
    ]
    return (
        sheet.heading(use),
        *paragraph(words("visit.intro"), sheet.width_mm, SMALL, keep=True),
        *table(columns, rows, sheet.width_mm),
    )
