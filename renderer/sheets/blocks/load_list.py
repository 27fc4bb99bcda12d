"""The load list: what goes into the van, and what came back."""

from __future__ import annotations

from itertools import zip_longest
from typing import TYPE_CHECKING

from renderer.job.practice import SIGN
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Cell, Column, Row, Styled, Ticks, Write, table
from renderer.sheets.type import CELL_STRONG
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from collections.abc import Sequence

    from renderer.ground.lay import Item

GAP: tuple[Cell, ...] = ("", "", "", "")
LOADED = ("spool", "gauge", "peg.order", "connector.order", "terminal.order")


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """Two items a row, each with a tick for loaded and a space for what came back."""
    words = sheet.words
    half = (
        Column(words("load.loaded"), 18, "middle"),
        Column(words("load.item"), 44),
        Column(words("load.quantity"), 22, "end"),
        Column(words("load.back"), 20, "middle", lined=True),
    )
    cells = [_cells(sheet, number, item) for number, item in enumerate(_loaded(sheet), 1)]
    left = (len(cells) + 1) // 2
    rows = [
        Row((*one, *other)) for one, other in zip_longest(cells[:left], cells[left:], fillvalue=GAP)
    ]
    head = sheet.heading(use, words("load.practice", star=SIGN))
    return (head, *table((*half, *half), rows, sheet.width_mm)) if rows else ()


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
        Styled(quantity, CELL_STRONG),
        Write(sheet.field_name("back", number), tooltip=words("load.back")),
    )
