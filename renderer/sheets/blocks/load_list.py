"""The load list: what goes into the van, and what came back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.sheets.layout import BlockUse
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Styled, Ticks, Write, table
from renderer.sheets.type import CELL_STRONG

if TYPE_CHECKING:
    from renderer.ground.lay import Item

LOADED = ("spool", "gauge", "peg.order", "connector.order", "terminal.order")


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A row an item, with a tick for loaded and a space for what came back."""
    words = sheet.words
    columns = (
        Column(words("load.loaded"), 20, "middle"),
        Column(words("load.item"), 98),
        Column(words("load.quantity"), 36, "end"),
        Column(words("load.back"), 36, "middle", lined=True),
    )
    rows = [_row(sheet, number, item) for number, item in enumerate(_loaded(sheet), 1)]
    return (sheet.heading(use), *table(columns, rows, sheet.width_mm)) if rows else ()


def _loaded(sheet: Sheet) -> list[Item]:
    """Wire, pegs and small parts as they are packed, then gauges and tools.

    Where the plan names no spools the wire to order stands in their place.
    """
    items = sheet.job.lay.takeoff
    kinds = LOADED if sheet.job.plan.wire.spools else ("wire.order", *LOADED)
    packed = [item for kind in kinds for item in items if item.item == kind and item.quantity]
    return packed + [item for item in items if item.item.startswith("tool.")]


def _row(sheet: Sheet, number: int, item: Item) -> Row:
    words, measure = sheet.words, sheet.measure
    quantity = measure.length(item.quantity) if item.unit == "m" else f"{item.quantity:g}"
    return Row(
        (
            Ticks((sheet.field_name("load", number),), words("load.loaded")),
            words(f"item.{item.item}", of=item.of),
            Styled(quantity, CELL_STRONG),
            Write(sheet.field_name("back", number), tooltip=words("load.back")),
        )
    )
