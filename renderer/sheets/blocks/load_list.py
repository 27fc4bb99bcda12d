"""The load list: what goes into the van, and what came back."""

from __future__ import annotations

from renderer.sheets.layout import LoadListBlock
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Styled, Ticks, Write, table
from renderer.sheets.type import CELL_STRONG


def build(sheet: Sheet, use: LoadListBlock) -> tuple[Piece, ...]:
    """A row an item of the take-off, with a tick for loaded and a space for what came back."""
    words = sheet.words
    columns = (
        Column(words("load.loaded"), 16, "middle"),
        Column(words("load.item"), 88),
        Column(words("load.quantity"), 28, "end"),
        Column(words("load.for"), 30),
        Column(words("load.back"), 28, "middle", lined=True),
    )
    rows = [
        Row(
            (
                Ticks((sheet.field_name("load", number),), words("load.loaded")),
                words(f"item.{item.item}"),
                Styled(_quantity(sheet, item.quantity, item.unit), CELL_STRONG),
                item.of,
                Write(sheet.field_name("back", number), tooltip=words("load.back")),
            )
        )
        for number, item in enumerate(sheet.job.lay.takeoff, 1)
    ]
    return (sheet.heading(use), *table(columns, rows, sheet.width_mm)) if rows else ()


def _quantity(sheet: Sheet, quantity: float, unit: str) -> str:
    if unit == "m":
        return sheet.measure.length(quantity)
    return f"{quantity:g}"
