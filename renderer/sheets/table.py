"""Tables: measured rows under column heads that the flow repeats on each page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from renderer.primitives import Anchor, Field, Primitive, shifted
from renderer.sheets.kit import rule, tick, upright
from renderer.sheets.piece import Piece
from renderer.sheets.type import (
    CELL,
    HEAVY,
    LABEL,
    RULE,
    SMALL_STRONG,
    SUBHEADING,
    TICK_MM,
    WRITE_ROW_MM,
    Style,
)

PAD_MM = 1.6  # between a cell's text and its column's edge
ROW_PAD_MM = 1.0  # above and below a row's text
TICK_GAP_MM = 2.0
WORD_GAP_MM = 1.0


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its head, its share of the table's width, how its cells stand.

    ``lined`` draws an upright line on both sides, as for a column to write in.
    """

    title: str
    share: float
    anchor: Anchor = "start"
    style: Style = CELL
    lined: bool = False


@dataclass(frozen=True, slots=True)
class Styled:
    """A cell in a style of its own."""

    text: str
    style: Style


@dataclass(frozen=True, slots=True)
class Ticks:
    """Boxes to tick, one a name, with a word beside each where there is one."""

    names: tuple[str, ...]
    tooltip: str = ""
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Write:
    """A space to write in by hand, with the unit at its end."""

    name: str
    unit: str = ""
    tooltip: str = ""


Cell = str | Styled | Ticks | Write


@dataclass(frozen=True, slots=True)
class Row:
    """Cells of one row; ``height_mm`` is the least it may have, ``strong`` sets a total apart."""

    cells: tuple[Cell, ...]
    height_mm: float = 0.0
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Group:
    """A line that names the rows after it; ``again`` is its text at the top of a next page."""

    text: str
    again: str = ""


def table(
    columns: Sequence[Column],
    rows: Sequence[Row | Group],
    width_mm: float,
    *,
    pad_mm: float = ROW_PAD_MM,
) -> tuple[Piece, ...]:
    """The table as pieces: its heads, then a piece a row with ``pad_mm`` above and below its text.

    The heads and a group line stay with the two rows after them, the last two
    rows of a group stay together, a total stays with what it sums, and each row
    carries the heads that are repeated above it at the top of a page.
    """
    if not rows:
        return ()
    edges = _edges(columns, width_mm)
    head = _head(columns, edges)
    pieces = [head]
    under = head
    for number, row in enumerate(rows):
        if isinstance(row, Group):
            piece = replace(_group(row.text, width_mm), keep=True, head=head)
            under = _stacked(head, _group(row.again or row.text, width_mm))
        else:
            piece = replace(
                _row(row, columns, edges, pad_mm), keep=_holds(rows, number), head=under
            )
        pieces.append(piece)
    return tuple(pieces)


def _holds(rows: Sequence[Row | Group], number: int) -> bool:
    """Whether a row stays with the next: the first two and the last two of a group, and a total."""
    after = _row_at(rows, number + 1)
    if after is None:
        return False
    is_first = _row_at(rows, number - 1) is None
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
        SMALL_STRONG.wrap(column.title, right - left - 2 * PAD_MM)
        for column, left, right in zip(columns, edges, edges[1:], strict=False)
    ]
    height = max(map(len, wrapped)) * SMALL_STRONG.pitch_mm + 2 * ROW_PAD_MM
    items: list[Primitive] = [rule(0.0, edges[-1], 0.0), rule(0.0, edges[-1], height, HEAVY)]
    for column, lines, left, right in zip(columns, wrapped, edges, edges[1:], strict=False):
        top = height - ROW_PAD_MM - len(lines) * SMALL_STRONG.pitch_mm
        x = _anchored(column.anchor, left, right)
        for number, line in enumerate(lines):
            y = top + number * SMALL_STRONG.pitch_mm
            items.append(SMALL_STRONG.line(line, x, y, column.anchor))
        if column.lined:
            items.extend(upright(edge, 0.0, height) for edge in (left, right))
    return Piece(height, tuple(items), gap_mm=2.0, keep=True)


def _group(text: str, width_mm: float) -> Piece:
    height = SUBHEADING.height_mm(text, width_mm - 2 * PAD_MM) + 2 * ROW_PAD_MM
    lines = SUBHEADING.lines(text, PAD_MM, ROW_PAD_MM, width_mm - 2 * PAD_MM)
    return Piece(height, (*lines, rule(0.0, width_mm, height)))


def _stacked(upper: Piece, lower: Piece) -> Piece:
    moved = tuple(shifted(item, 0.0, upper.height_mm) for item in lower.items)
    return replace(upper, height_mm=upper.height_mm + lower.height_mm, items=(*upper.items, *moved))


def _row(row: Row, columns: Sequence[Column], edges: Sequence[float], pad_mm: float) -> Piece:
    spans = list(zip(row.cells, columns, edges, edges[1:], strict=False))
    height = max(
        row.height_mm,
        *(_cell_height(cell, column, right - left, pad_mm) for cell, column, left, right in spans),
    )
    items: list[Primitive] = [rule(0.0, edges[-1], height, HEAVY if row.strong else RULE)]
    for cell, column, left, right in spans:
        items.extend(_cell(cell, column, left, right, height))
        if column.lined:
            items.extend(upright(edge, 0.0, height) for edge in (left, right))
    return Piece(height, tuple(_once(items)))


def _once(items: Sequence[Primitive]) -> Sequence[Primitive]:
    return tuple(dict.fromkeys(items))


def _style(cell: Cell, column: Column) -> tuple[str, Style]:
    if isinstance(cell, Styled):
        return cell.text, cell.style
    return (cell if isinstance(cell, str) else ""), column.style


def _cell_height(cell: Cell, column: Column, width_mm: float, pad_mm: float) -> float:
    if isinstance(cell, Ticks):
        return TICK_MM + 2 * ROW_PAD_MM
    if isinstance(cell, Write):
        return WRITE_ROW_MM
    text, style = _style(cell, column)
    return style.height_mm(text, width_mm - 2 * PAD_MM) + 2 * pad_mm


def _cell(
    cell: Cell, column: Column, left: float, right: float, height: float
) -> Sequence[Primitive]:
    if isinstance(cell, Ticks):
        return _ticks(cell, left, right, height)
    if isinstance(cell, Write):
        return _write(cell, left, right, height)
    text, style = _style(cell, column)
    inner = right - left - 2 * PAD_MM
    top = (height - style.height_mm(text, inner)) / 2
    return style.lines(text, _anchored(column.anchor, left, right), top, inner, column.anchor)


def _ticks(cell: Ticks, left: float, right: float, height: float) -> Sequence[Primitive]:
    words = cell.words or ("",) * len(cell.names)
    spans = [TICK_MM + (WORD_GAP_MM + LABEL.width_mm(word) if word else 0.0) for word in words]
    x = (left + right - sum(spans) - TICK_GAP_MM * (len(spans) - 1)) / 2
    y = (height - TICK_MM) / 2
    items: list[Primitive] = []
    for name, word, span in zip(cell.names, words, spans, strict=True):
        items.append(tick(x, y, name, cell.tooltip))
        if word:
            top = (height - LABEL.pitch_mm) / 2
            items.append(LABEL.line(word, x + TICK_MM + WORD_GAP_MM, top))
        x += span + TICK_GAP_MM
    return items


def ticks_mm(count: int) -> float:
    """The width of a column for so many boxes without words."""
    return count * TICK_MM + (count - 1) * TICK_GAP_MM + 2 * PAD_MM


def _write(cell: Write, left: float, right: float, height: float) -> Sequence[Primitive]:
    unit = LABEL.width_mm(cell.unit) + PAD_MM if cell.unit else 0.0
    space = Field((left, 0.0), right - left - unit, height, "text", cell.name, cell.tooltip)
    if not cell.unit:
        return (space,)
    top = height - LABEL.pitch_mm - ROW_PAD_MM
    return (space, LABEL.line(cell.unit, right - PAD_MM, top, "end"))


def _anchored(anchor: Anchor, left: float, right: float) -> float:
    if anchor == "start":
        return left + PAD_MM
    return right - PAD_MM if anchor == "end" else (left + right) / 2
