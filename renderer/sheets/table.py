"""Tables: measured rows under column heads that the flow repeats on each page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import accumulate, zip_longest

from renderer.primitives import Link, Primitive, shifted
from renderer.sheets.cells import (
    KEY,
    PAD_MM,
    ROW_PAD_MM,
    Box,
    Cell,
    Column,
    Doubled,
    Group,
    Keyed,
    Row,
    Runs,
    Styled,
    Ticks,
    Write,
    anchored,
    cell_height,
    cell_items,
    parts_of,
    placed,
    ticks_mm,
)
from renderer.sheets.kit import rule, upright
from renderer.sheets.piece import Piece
from renderer.sheets.type import HEAVY, RULE, SMALL_STRONG, SUBHEADING, Style

HEAD_PAD_MM = 0.2
HIGH_ROW_MM = 12.0  # as high as two rows of one line with what is between them

__all__ = [
    "Box",
    "Cell",
    "Column",
    "Doubled",
    "Group",
    "Keyed",
    "Row",
    "Runs",
    "Styled",
    "Ticks",
    "Write",
    "abreast",
    "table",
    "ticks_mm",
]


def table(
    columns: Sequence[Column],
    rows: Sequence[Row | Group],
    width_mm: float,
    *,
    pad_mm: float = ROW_PAD_MM,
    heads_again: bool = True,
) -> tuple[Piece, ...]:
    """The table as pieces: its heads, then a piece a row with ``pad_mm`` above and below its text.

    The heads and a group line stay with the two rows after them, or one that is high, the last two
    rows of a group stay together, a total stays with what it sums, and each
    row carries the heads that are repeated above it at the top of a page, without ``heads_again``
    only the line of its group. A row whose text is very long goes on over several pieces.
    """
    if not rows:
        return ()
    edges = _edges(columns, width_mm)
    head = _head(columns, edges)
    pieces = [head]
    under: Piece | None = head if heads_again else None
    for number, row in enumerate(rows):
        if isinstance(row, Group):
            above = head if heads_again else None
            pieces.append(replace(_group(row.text, width_mm), keep=True, head=above))
            again = _group(row.again or row.text, width_mm)
            under = _stacked(head, again) if heads_again else again
            continue
        *upper, last = (
            replace(_row(part, columns, edges, pad_mm), head=under)
            for part in parts_of(row, columns, edges, pad_mm)
        )
        pieces += upper
        pieces.append(replace(last, keep=row.held or _holds(rows, number, last.height_mm)))
    return tuple(pieces)


def abreast(
    columns: Sequence[Column], cells: Sequence[tuple[Cell, ...]], width_mm: float, most: int
) -> tuple[Sequence[Column], tuple[Row, ...]]:
    """Columns and rows of a list set several times beside itself, down the first column first.

    As often as no word has to be broken, ``most`` times at the most.
    """
    for count in range(most, 0, -1):
        many = -(-len(cells) // count)
        parts = [cells[start : start + many] for start in range(0, len(cells), many)]
        gap: tuple[Cell, ...] = ("",) * len(columns)
        rows = tuple(
            Row(tuple(cell for part in one for cell in part))
            for one in zip_longest(*parts, fillvalue=gap)
        )
        heads = tuple(columns) * len(parts)
        if count == 1 or _unbroken(heads, rows, width_mm):
            return heads, rows
    return columns, ()


def _unbroken(columns: Sequence[Column], rows: Sequence[Row], width_mm: float) -> bool:
    """Whether each word of a table, its heads too, is narrower than its column."""
    edges = _edges(columns, width_mm)
    for place, (column, left, right) in enumerate(zip(columns, edges, edges[1:], strict=False)):
        if _widest(column.title, SMALL_STRONG) > _head_mm(column, left, right):
            return False
        for row in rows:
            cell = row.cells[place]
            text = cell.text if isinstance(cell, Styled) else cell
            style = cell.style if isinstance(cell, Styled) else column.style
            if isinstance(text, str) and _widest(text, style) > right - left - 2 * column.beside_mm:
                return False
    return True


def _widest(text: str, style: Style) -> float:
    return max((style.width_mm(word) for word in text.split(" ")), default=0.0)


def _head_mm(column: Column, left: float, right: float) -> float:
    """The room for a column's head; one in the middle of its column may take nearly all of it."""
    return right - left - 2 * (HEAD_PAD_MM if column.anchor == "middle" else column.beside_mm)


def _holds(rows: Sequence[Row | Group], number: int, height_mm: float) -> bool:
    """Whether a row stays with the next: the first two and the last two of a group, and a total.

    A high row may begin a group by itself.
    """
    after = _row_at(rows, number + 1)
    if after is None:
        return False
    is_first = _row_at(rows, number - 1) is None and height_mm < HIGH_ROW_MM
    is_before_last = _row_at(rows, number + 2) is None
    return is_first or is_before_last or after.strong


def _row_at(rows: Sequence[Row | Group], number: int) -> Row | None:
    row = rows[number] if 0 <= number < len(rows) else None
    return row if isinstance(row, Row) else None


def _edges(columns: Sequence[Column], width_mm: float) -> tuple[float, ...]:
    total = sum(column.share for column in columns)
    shares = accumulate((column.share for column in columns), initial=0.0)
    return tuple(share / total * width_mm for share in shares)


def _head(columns: Sequence[Column], edges: Sequence[float]) -> Piece:
    wrapped = [
        _head_lines(column, _head_mm(column, left, right))
        for column, left, right in zip(columns, edges, edges[1:], strict=False)
    ]
    height = max(map(_height_mm, wrapped)) + 2 * ROW_PAD_MM
    items: list[Primitive] = [rule(0.0, edges[-1], 0.0), rule(0.0, edges[-1], height, HEAVY)]
    for column, lines, left, right in zip(columns, wrapped, edges, edges[1:], strict=False):
        y = height - ROW_PAD_MM - _height_mm(lines)
        x = anchored(column, left, right)
        for style, line in lines:
            items.append(style.line(line, x, y, column.anchor))
            y += style.pitch_mm
        if column.lined:
            items.extend(upright(edge, 0.0, height) for edge in (left, right))
    return Piece(height, tuple(items), gap_mm=2.0, keep=True)


def _head_lines(column: Column, width_mm: float) -> list[tuple[Style, str]]:
    """The head in words, and under it the plan file's key where the column has one."""
    words = [(SMALL_STRONG, line) for line in SMALL_STRONG.wrap(column.title, width_mm)]
    if not column.key:
        return words
    return [*words, *((KEY, line) for line in KEY.wrap(column.key, width_mm))]


def _height_mm(lines: Sequence[tuple[Style, str]]) -> float:
    return sum(style.pitch_mm for style, _ in lines)


def _group(text: str, width_mm: float) -> Piece:
    height = SUBHEADING.height_mm(text, width_mm - 2 * PAD_MM) + 2 * ROW_PAD_MM
    lines = SUBHEADING.lines(text, PAD_MM, ROW_PAD_MM, width_mm - 2 * PAD_MM)
    return Piece(height, (*lines, rule(0.0, width_mm, height)))


def _stacked(upper: Piece, lower: Piece) -> Piece:
    moved = tuple(shifted(item, 0.0, upper.height_mm) for item in lower.items)
    return replace(upper, height_mm=upper.height_mm + lower.height_mm, items=(*upper.items, *moved))


def _row(row: Row, columns: Sequence[Column], edges: Sequence[float], pad_mm: float) -> Piece:
    spans = placed(row, columns, edges)
    height = max(
        row.height_mm,
        *(cell_height(cell, column, right - left, pad_mm) for cell, column, left, right in spans),
    )
    items: list[Primitive] = []
    if not row.goes_on:
        items.append(rule(0.0, edges[-1], height, HEAVY if row.strong else RULE))
    for cell, column, left, right in spans:
        items.extend(cell_items(cell, column, left, right, height))
        if column.lined:
            items.extend(upright(edge, 0.0, height) for edge in (left, right))
    if row.link:
        items.append(Link((0.0, 0.0), edges[-1], height, row.link))
    return Piece(height, tuple(_once(items)))


def _once(items: Sequence[Primitive]) -> Sequence[Primitive]:
    return tuple(dict.fromkeys(items))
