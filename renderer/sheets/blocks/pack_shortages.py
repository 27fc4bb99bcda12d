"""What is missing on the van before the crew leaves, against the stock that the day file states."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from renderer.job.pack import PackData
from renderer.sheets.kit import paragraph
from renderer.sheets.pack_words import pack_on, wire_words
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Cell, Column, Row, Styled, Ticks, table
from renderer.sheets.type import CELL_STRONG
from renderer.sheets.use import BlockUse

COUNTED = {
    "peg.order": "pegs",
    "connector.order": "connectors",
    "terminal.order": "terminals",
}


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A row per item that is missing, or a line that nothing is; and what nobody has counted."""
    words, pack = sheet.words, pack_on(sheet)
    rows = [*_wire(sheet, pack), *_counted(sheet, pack)]
    columns = (
        Column(words("pack-short.item"), 84),
        Column(words("pack-short.needed"), 30, "end"),
        Column(words("pack-short.stock"), 30, "end"),
        Column(words("pack-short.missing"), 30, "end"),
        Column(words("pack-short.loaded"), 16, "middle"),
    )
    uncounted = [words(f"pack-short.of.{item}") for item in _uncounted(pack)]
    pieces = [sheet.heading(use), *table(columns, rows, sheet.width_mm)]
    if not rows and len(uncounted) < len(COUNTED):
        pieces += paragraph(words("pack-short.fine"), sheet.width_mm)
    if uncounted:
        told = words("pack-short.not-stated", items=words("pack-load.join").join(uncounted))
        pieces += paragraph(told, sheet.width_mm)
    return tuple(pieces)


def _wire(sheet: Sheet, pack: PackData) -> Iterator[Row]:
    measure = sheet.measure
    for cutting in pack.cuttings:
        short = cutting.together.short_m
        if not short:
            continue
        needed = sum(pack.told[job].wire_m for job in cutting.jobs)
        item = sheet.words("pack-short.wire", kind=wire_words(sheet, cutting.kind))
        yield _row(sheet, item, (needed, needed - short, short), measure.length)


def _counted(sheet: Sheet, pack: PackData) -> Iterator[Row]:
    from renderer.ground.packload import pack_load, short_of

    lines = pack_load([each.taken for each in pack.told])
    for item, name in COUNTED.items():
        stock = getattr(pack.day.stock, name) if pack.day else None
        short = 0.0 if stock is None else short_of(lines, item, stock)
        if stock is not None and short:
            title = sheet.words(f"item.{item}", of="")
            yield _row(sheet, title, (stock + short, stock, short), sheet.measure.numbers.grouped)


def _row(
    sheet: Sheet, item: str, figures: tuple[float, float, float], told: Callable[[float], str]
) -> Row:
    needed, stock, missing = map(told, figures)
    cells: tuple[Cell, ...] = (
        item,
        needed,
        stock,
        Styled(missing, CELL_STRONG),
        Ticks((sheet.field_name("short", item),), sheet.words("pack-short.loaded")),
    )
    return Row(cells)


def _uncounted(pack: PackData) -> Iterator[str]:
    for item, name in COUNTED.items():
        if pack.day is None or getattr(pack.day.stock, name) is None:
            yield item
