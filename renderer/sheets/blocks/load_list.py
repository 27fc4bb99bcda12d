"""The load list: what goes into the van, and what came back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.job.practice import SIGN
from renderer.sheets.compact import FINE, FINE_STRONG, rows_of
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Cell, Column, Ticks, Write, abreast
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from collections.abc import Sequence

    from renderer.ground.lay import Item

ABREAST = 3  # the most items in a row
LOADED = ("spool", "gauge", "peg.order", "connector.order", "terminal.order")


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """Up to three items a row, each with a tick for loaded and a space for what came back."""
    words = sheet.words
    item = (
        Column(words("load.loaded"), 9.5, "middle"),
        Column(words("load.item"), 25.5, style=FINE),
        Column(words("load.quantity"), 18, "end", FINE_STRONG),
        Column(words("load.back"), 10, "middle", lined=True),
    )
    cells = [_cells(sheet, number, item) for number, item in enumerate(_loaded(sheet), 1)]
    columns, rows = abreast(item, cells, sheet.width_mm, ABREAST)
    head = sheet.heading(use, words("load.practice", star=SIGN))
    return (head, *rows_of(columns, rows, sheet.width_mm)) if rows else ()


def _loaded(sheet: Sheet) -> list[Item]:
    """Wire, pegs and small parts as they are packed, then the parts of the job and the tools.

    Where the plan names no spools the wire to order stands in their place.
    """
    from renderer.ground.lay import Item

    items: Sequence[Item] = sheet.job.lay.takeoff
    kinds = LOADED if sheet.job.plan.wire.spools else ("wire.order", *LOADED)
    own = [Item("gauge", gauge.length_m, "m", gauge.name) for gauge in sheet.gauges]
    items = [*own, *(item for item in items if item.item != "gauge")]
    packed = [item for kind in kinds for item in items if item.item == kind and item.quantity]
    return packed + [item for item in items if item.item.startswith(("part.", "tool."))]


def _cells(sheet: Sheet, number: int, item: Item) -> tuple[Cell, ...]:
    words, measure = sheet.words, sheet.measure
    quantity = measure.quantity(item.quantity, item.unit)
    if item.item.startswith("tool."):
        quantity += SIGN  # how many a crew carries
    return (
        Ticks((sheet.field_name("load", number),), words("load.loaded")),
        words(f"item.{item.item}", of=item.of),
        quantity,
        Write(sheet.field_name("back", number), tooltip=words("load.back")),
    )
