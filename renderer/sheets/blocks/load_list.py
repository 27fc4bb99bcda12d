"""The load list: what goes into the van, and what came back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.job.practice import SIGN
from renderer.sheets.compact import FINE, FINE_STRONG, rows_of
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Box, Cell, Column, Row, Write, abreast
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from collections.abc import Sequence

    from renderer.ground.lay import Item

MATERIALS_ABREAST = 3  # the most items in a row,
TOOLS_ABREAST = 4  # and of those that are counted, not measured
BESIDE_MM = 0.8  # between the name of a tool and the boxes beside it
APART_MM = 1.4  # between the box for what is back and that of the next tool
CUT = "part.conduit"  # to length from a stock, so that some of it comes back
PIECES = ("gauge", "connector.", "terminal.", "part.", "tool.")
LOADED = ("spool", "gauge", "peg.order", "connector.order", "terminal.order")


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """Several items a row, each with a tick for loaded; materials first.

    Of materials there is a space for how much came back, of gauges, parts and tools a second tick.
    """
    words = sheet.words
    items = list(enumerate(_loaded(sheet), 1))
    if not items:
        return ()
    materials = [_cells(sheet, *each, counted=False) for each in items if not _is_counted(each[1])]
    tools = [_cells(sheet, *each, counted=True) for each in items if _is_counted(each[1])]
    return (
        sheet.heading(use, words("load.practice", star=SIGN)),
        *_rows(sheet, materials, MATERIALS_ABREAST, (10.5, 24.5, 18, 10), lined=True),
        *_rows(sheet, tools, TOOLS_ABREAST, (8.1, 21.2, 7.6, 8.9), lined=False),
    )


def _rows(
    sheet: Sheet,
    cells: Sequence[tuple[Cell, ...]],
    most: int,
    widths: Sequence[float],
    *,
    lined: bool,
) -> tuple[Piece, ...]:
    """A table of items; ``widths`` are of their columns where ``most`` stand in a row."""
    if not cells:
        return ()
    words = sheet.words
    out, item, quantity, back = widths
    loaded = Column(words("load.loaded"), out, "middle")
    returned = Column(words("load.back"), back, "middle", lined=lined)
    if lined:
        what = Column(words("load.item"), item, style=FINE)
        many = Column(words("load.quantity"), quantity, "end", FINE_STRONG)
        columns = [loaded, what, many, returned]
    else:
        what = Column(words("load.item"), item, style=FINE, beside_mm=BESIDE_MM)
        many = Column(words("load.count"), quantity, "middle", FINE_STRONG, beside_mm=BESIDE_MM)
        columns = [loaded, what, many, returned, Column("", APART_MM, beside_mm=0.0)]
        cells = [(*each, "") for each in cells]
    heads, rows = abreast(columns, cells, sheet.width_mm, most)
    if not lined:  # the gap after the last tool of a row keeps nothing apart
        heads, rows = heads[:-1], tuple(Row(row.cells[:-1]) for row in rows)
    return rows_of(heads, rows, sheet.width_mm)


def _is_counted(item: Item) -> bool:
    """Whether it comes by the piece, as gauges, parts with their leads, connectors and tools do."""
    return item.item != CUT and item.item.startswith(PIECES)


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


def _cells(sheet: Sheet, number: int, item: Item, *, counted: bool) -> tuple[Cell, ...]:
    words, measure = sheet.words, sheet.measure
    back = sheet.field_name("back", number)
    name = words(f"item.{item.item}", of=item.of)
    quantity = measure.quantity(item.quantity, item.unit)
    if item.item == "gauge" or (counted and item.unit == "m"):
        name, quantity = f"{name}, {quantity}", "1"
    if item.item.startswith("tool."):
        quantity += SIGN  # how many a crew carries
    return (
        Box(sheet.field_name("load", number), words("load.loaded")),
        name,
        quantity,
        Box(back, words("load.back")) if counted else Write(back, tooltip=words("load.back")),
    )
