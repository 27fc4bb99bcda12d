"""Dense setting for papers that have to stay short: small faces, lists, two columns abreast."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import repeat

from renderer.primitives import Mark, Primitive, shifted
from renderer.sheets.cells import PAD_MM
from renderer.sheets.kit import BOOKMARK_LEVEL, rule
from renderer.sheets.piece import Piece, height_of
from renderer.sheets.runs import Part, run_texts, runs_height_mm
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import (
    Box,
    Cell,
    Column,
    Group,
    Row,
    Styled,
    Ticks,
    Write,
    table,
    ticks_mm,
)
from renderer.sheets.type import HEAVY, LIGHT, SMALL_STRONG, SUBHEADING, Style
from renderer.sheets.use import BlockUse

LEAD = 0.88  # of the face's own height: 12 pt for 10 pt type, as books are set
TEXT = Style("condensed", 10, LEAD)
TEXT_STRONG = Style("condensed_bold", 10, LEAD)
FINE = Style("condensed", 9, LEAD)
FINE_STRONG = Style("condensed_bold", 9, LEAD)
CLOSE = Style("condensed", 8.5, LEAD)  # in long tables
CLOSE_STRONG = Style("condensed_bold", 8.5, LEAD)

GAP_MM = 7.0  # between two columns
HEAD_GAP_MM = 2.0
UNDER_HEAD_MM = 0.8  # of a table, whose upper edge is a line of its own
ROW_PAD_MM = 0.35
LONGEST_MM = 17.5  # a longer text goes on in a second line where its column has its own width
LEAST_TO_WRITE_MM = 16.0
BOX_MM = 9.0  # the least width of a box that fills its cell
LEAST_MM = 18.0  # of the columns that take what the others leave
ROUNDING_MM = 0.01
WRITE_MM = 9.0
ITEM_GAP_MM = 0.9
SHARES = tuple(share / 100 for share in range(34, 71, 2))  # of the width, tried for a left column
MOST_OF_PAGE = 0.8  # columns that take more of a page than this follow each other instead

# Makes pieces of a given width in mm.
Build = Callable[[float], tuple[Piece, ...]]


def head(sheet: Sheet, use: BlockUse, aside: str = "") -> Piece:
    """A block's heading, smaller than on other papers, over a line, with a bookmark.

    ``aside`` is a line at its right end, for which ``beside_head_mm`` gives the room.
    """
    title = use.title or sheet.words(f"heading.{use.block}")
    bottom = SUBHEADING.pitch_mm + 0.4
    items: list[Primitive] = [SUBHEADING.line(title, 0.0, 0.0)]
    if aside:
        top = SUBHEADING.pitch_mm - FINE_STRONG.pitch_mm
        items.append(FINE_STRONG.line(aside, sheet.width_mm, top, "end"))
    items.append(rule(0.0, sheet.width_mm, bottom, HEAVY))
    mark = Mark(sheet.anchor(use.block), 0.0, title, BOOKMARK_LEVEL)
    return Piece(bottom + 1.0, tuple(items), HEAD_GAP_MM, keep=True, marks=(mark,))


def beside_head_mm(sheet: Sheet, use: BlockUse) -> float:
    """What a heading leaves free at its right."""
    title = use.title or sheet.words(f"heading.{use.block}")
    return sheet.width_mm - SUBHEADING.width_mm(title) - HEAD_GAP_MM


def rows_of(
    columns: Sequence[Column], rows: Sequence[Row | Group], width_mm: float
) -> tuple[Piece, ...]:
    """A table with its rows close together."""
    return table(columns, rows, width_mm, pad_mm=ROW_PAD_MM)


def under_head(pieces: Sequence[Piece]) -> tuple[Piece, ...]:
    """The pieces of a table, if it has any, close under what stands above it."""
    return tuple(replace(piece, gap_mm=UNDER_HEAD_MM) for piece in pieces[:1]) + tuple(pieces[1:])


def fitted(
    columns: Sequence[Column], rows: Sequence[Row | Group], width_mm: float
) -> tuple[Column, ...]:
    """The columns as wide as their texts and the words of their heads; the rest to wide ones.

    A column with a share keeps that share of what is left; a share of 0 asks for its own width.
    """
    texts = [row.cells for row in rows if isinstance(row, Row)]
    own = [
        0.0 if column.share else _own_mm(column, [cells[number] for cells in texts])
        for number, column in enumerate(columns)
    ]
    left = max(width_mm - sum(own), LEAST_MM)
    whole = sum(column.share for column in columns)
    return tuple(
        replace(column, share=width or column.share / whole * left)
        for column, width in zip(columns, own, strict=True)
    )


def _own_mm(column: Column, cells: Iterable[Cell]) -> float:
    """What a column needs for each text in one line, and for the longest word of its head."""
    widths = [SMALL_STRONG.width_mm(word) for word in column.title.split(" ")]
    for cell in cells:
        text, style = (cell.text, cell.style) if isinstance(cell, Styled) else (cell, column.style)
        if isinstance(text, Ticks):
            widths.append(ticks_mm(len(text.names)) - 2 * PAD_MM)
        if isinstance(text, Box):
            widths.append(BOX_MM - 2 * PAD_MM)
        if isinstance(text, Write):
            widths.append(LEAST_TO_WRITE_MM)
        if isinstance(text, str):
            widths.append(min(style.width_mm(text), LONGEST_MM))
            widths += map(style.width_mm, text.split(" "))
    return max(widths) + 2 * column.beside_mm + ROUNDING_MM


def to_write(text: str, width_mm: float) -> Piece:
    """A label, and a line behind it to write on."""
    top = WRITE_MM - FINE.pitch_mm - 0.4
    line = rule(FINE.width_mm(text) + 2.0, width_mm, WRITE_MM - 0.6, LIGHT)
    return Piece(WRITE_MM, (FINE.line(text, 0.0, top), line), 0.5)


def abreast(
    sheet: Sheet, left: Build, right: Build, shares: Sequence[float] = SHARES
) -> tuple[Piece, ...]:
    """Two columns as one piece, the width parted so that they are least high.

    ``shares`` of the width are tried for the left one. One under the other, at full width, where
    they would take most of a page.
    """
    width = sheet.width_mm - GAP_MM
    tried = ((left(width * share), right(width * (1 - share)), share) for share in shares)
    *columns, share = min(tried, key=lambda each: max(height_of(each[0]), height_of(each[1])))
    height = max(map(height_of, columns))
    if height > MOST_OF_PAGE * sheet.height_mm:
        return *left(sheet.width_mm), *right(sheet.width_mm)
    one, other = (stacked(column) for column in columns)
    moved = tuple(shifted(item, width * share + GAP_MM, 0.0) for item in other.items)
    gap = max(column[0].gap_mm for column in columns if column)
    return (Piece(height, (*one.items, *moved), gap, marks=(*one.marks, *other.marks)),)


def stacked(pieces: Sequence[Piece]) -> Piece:
    """Pieces one under the other as one."""
    items: list[Primitive] = []
    marks: list[Mark] = []
    y = 0.0
    for number, piece in enumerate(pieces):
        y += piece.gap_mm if number else 0.0
        items.extend(shifted(item, 0.0, y) for item in piece.items)
        marks.extend(replace(mark, y_mm=mark.y_mm + y) for mark in piece.marks)
        y += piece.height_mm
    return Piece(y, tuple(items), marks=tuple(marks))


def listed(
    texts: Iterable[str], width_mm: float, signs: Iterable[str], style: Style = TEXT
) -> tuple[Piece, ...]:
    """A list whose texts hang behind their signs, such as numbers or dashes."""
    pairs = list(zip(signs, texts, strict=False))
    hang = max((style.width_mm(sign) for sign, _ in pairs), default=0.0) + 2.0
    return tuple(
        Piece(
            style.height_mm(text, width_mm - hang),
            (style.line(sign, 0.0, 0.0), *style.lines(text, hang, 0.0, width_mm - hang)),
            ITEM_GAP_MM,
        )
        for sign, text in pairs
    )


def summed(parts: Sequence[Part], width_mm: float) -> Piece:
    """A sum written out as a paragraph over a thin rule, its parts in types of their own."""
    height = runs_height_mm(parts, width_mm) + 2 * ROW_PAD_MM
    texts = run_texts(parts, 0.0, ROW_PAD_MM, width_mm)
    return Piece(height, (*texts, rule(0.0, width_mm, height)))


def spared(rows: Sequence[Piece], least: int) -> Iterator[Piece]:
    """A table's rows: the first ``least`` hold together, the others follow where there is room."""
    for number, row in enumerate(rows):
        yield replace(row, keep=number < min(least, len(rows)) - 1, spare=number >= least)


def dashes() -> Iterator[str]:
    """The sign of a list, as often as it is asked for."""
    return repeat("–")
