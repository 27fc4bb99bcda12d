"""What goes in a table's rows: texts, boxes to tick, spaces to write in; their heights."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from renderer.frozen import dataclass
from renderer.primitives import Anchor, Field, Primitive
from renderer.sheets.kit import tick
from renderer.sheets.runs import Part, run_lines, run_texts, runs_height_mm
from renderer.sheets.type import CELL, LABEL, TICK_MM, WRITE_ROW_MM, Style

PAD_MM = 1.6  # between a cell's text and its column's edge
ROW_PAD_MM = 1.0  # above and below a row's text
TICK_GAP_MM = 2.0
TICK_PAD_MM = 0.5  # above and below a box to tick
WORD_GAP_MM = 1.0
ITALIC = Style("italic", 10)
KEY = Style("condensed", 8, 0.85)  # a key of the plan file
KEY_GAP_MM = 2.0  # between a text and the key behind it
FEW_SIGNS = 100  # up to this many characters are never too long for one piece
LONGEST_MM = 60.0  # a cell's text in one piece; a longer one may go on on the next page


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its head, its share of the table's width, how its cells stand.

    ``lined`` draws an upright line on both sides, as for a column to write in. ``key`` is the
    plan file's key for what the column holds; it stands small under the head. ``beside_mm`` is what
    is left free between a text and the column's edge.
    """

    title: str
    share: float
    anchor: Anchor = "start"
    style: Style = CELL
    lined: bool = False
    key: str = ""
    beside_mm: float = PAD_MM


@dataclass(frozen=True, slots=True)
class Styled:
    """A cell in a style of its own."""

    text: str
    style: Style


@dataclass(frozen=True, slots=True)
class Ticks:
    """Boxes to tick, one per name, with a word beside each where there is one."""

    names: tuple[str, ...]
    tooltip: str = ""
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Box:
    """A box to tick that fills its cell, for lists whose rows stand close together."""

    name: str
    tooltip: str = ""


@dataclass(frozen=True, slots=True)
class Write:
    """A space to write in by hand, with the unit at its end."""

    name: str
    unit: str = ""
    tooltip: str = ""


@dataclass(frozen=True, slots=True)
class Doubled:
    """A text in the column's style, and under it in italics the English that prevails."""

    text: str
    english: str


@dataclass(frozen=True, slots=True)
class Keyed:
    """A text in the column's style, and the plan file's key for it in small type."""

    text: str
    key: str


@dataclass(frozen=True, slots=True)
class Runs:
    """Texts in several styles in the same lines, and in italics the English that prevails."""

    parts: tuple[Part, ...]
    english: str = ""


Cell = str | Styled | Doubled | Keyed | Runs | Ticks | Box | Write


@dataclass(frozen=True, slots=True)
class Row:
    """Cells of one row; ``height_mm`` is the least it may have, ``strong`` sets a total apart.

    ``held`` keeps it on the page of the row after it. ``spans`` lets the last cell go
    over the columns after its own too.
    """

    cells: tuple[Cell, ...]
    height_mm: float = 0.0
    strong: bool = False
    link: str = ""  # where a tap on it leads
    held: bool = False
    spans: bool = False
    goes_on: bool = False  # no line under it, since the next row is more of the same


@dataclass(frozen=True, slots=True)
class Group:
    """A line that names the rows after it; ``again`` is its text at the top of a next page."""

    text: str
    again: str = ""


def parts_of(
    row: Row, columns: Sequence[Column], edges: Sequence[float], pad_mm: float
) -> Iterator[Row]:
    """The row, or several for one whose text is longer than a piece should be.

    What is no text stands in the first of them.
    """
    spans = [
        (cell, column, right - left) for cell, column, left, right in placed(row, columns, edges)
    ]
    if sum(map(_signs, row.cells)) <= FEW_SIGNS or all(
        cell_height(*span, pad_mm) <= LONGEST_MM for span in spans
    ):
        yield row
        return
    cut = [_cut(*span) for span in spans]
    count = max(map(len, cut))
    for number in range(count):
        cells = tuple(texts[number] if number < len(texts) else "" for texts in cut)
        height = row.height_mm if number == 0 else 0.0
        yield replace(row, cells=cells, height_mm=height, goes_on=number < count - 1)


def placed(
    row: Row, columns: Sequence[Column], edges: Sequence[float]
) -> Sequence[tuple[Cell, Column, float, float]]:
    """The cells of a row with the column of each, and where each begins and ends, in mm."""
    ends = list(edges[1 : len(row.cells) + 1])
    if row.spans:
        ends[-1] = edges[-1]
    return list(zip(row.cells, columns, edges, ends, strict=False))


def _signs(cell: Cell) -> int:
    """How many characters of text a cell has."""
    if isinstance(cell, Runs):
        return sum(len(text) for text, _ in cell.parts)
    text = cell.text if isinstance(cell, Styled) else cell
    return len(text) if isinstance(text, str) else 0


def _cut(cell: Cell, column: Column, width_mm: float) -> Sequence[Cell]:
    """A cell's text in parts of as many lines as a piece should have."""
    if isinstance(cell, Ticks | Box | Write | Doubled | Keyed):
        return (cell,)
    if isinstance(cell, Runs):
        return _cut_runs(cell, width_mm - 2 * column.beside_mm)
    text, style = _style(cell, column)
    lines = style.wrap(text, width_mm - 2 * column.beside_mm)
    many = int(LONGEST_MM / style.pitch_mm)
    parts = [lines[at : at + many] for at in range(0, len(lines), many)]
    return [Styled("\n".join(part), style) for part in parts] or ("",)


def _cut_runs(cell: Runs, width_mm: float) -> Sequence[Cell]:
    lines = run_lines(cell.parts, width_mm)
    many = int(LONGEST_MM / max(style.pitch_mm for _, style in cell.parts))
    found = [
        Runs(tuple(part for line in lines[at : at + many] for part in line))
        for at in range(0, len(lines), many)
    ]
    return [*found[:-1], replace(found[-1], english=cell.english)]


def _style(cell: Cell, column: Column) -> tuple[str, Style]:
    if isinstance(cell, Styled):
        return cell.text, cell.style
    if isinstance(cell, Doubled | Keyed):
        return cell.text, column.style
    return (cell if isinstance(cell, str) else ""), column.style


def cell_height(cell: Cell, column: Column, width_mm: float, pad_mm: float) -> float:
    """The height in mm that a cell needs in a column of ``width_mm``."""
    if isinstance(cell, Ticks):
        return TICK_MM + 2 * TICK_PAD_MM
    if isinstance(cell, Box):
        return TICK_MM
    if isinstance(cell, Write):
        return WRITE_ROW_MM
    inner = width_mm - 2 * column.beside_mm
    if isinstance(cell, Runs):
        english = ITALIC.height_mm(cell.english, inner) if cell.english else 0.0
        return runs_height_mm(cell.parts, inner) + english + 2 * pad_mm
    text, style = _style(cell, column)
    return style.height_mm(text, inner) + _under_mm(cell, style, inner) + 2 * pad_mm


def _under_mm(cell: Cell, style: Style, inner: float) -> float:
    """The height of what stands under a cell's own text."""
    if isinstance(cell, Doubled):
        return ITALIC.height_mm(cell.english, inner)
    under = isinstance(cell, Keyed) and not _key_fits_behind(cell, style, inner)
    return KEY.pitch_mm if under else 0.0


def _key_fits_behind(cell: Keyed, style: Style, inner: float) -> bool:
    """Whether text and key share one line; a key that is the text itself is not repeated."""
    needed = style.width_mm(cell.text) + KEY_GAP_MM + KEY.width_mm(cell.key)
    return cell.key in ("", cell.text) or needed <= inner


def cell_items(
    cell: Cell, column: Column, left: float, right: float, height: float
) -> Sequence[Primitive]:
    """What a cell draws between ``left`` and ``right`` in a row of ``height``, all in mm."""
    if isinstance(cell, Ticks):
        return _ticks(cell, left, right, height)
    if isinstance(cell, Box):
        return (Field((left, 0.0), right - left, height, "tick", cell.name, cell.tooltip),)
    if isinstance(cell, Write):
        return _write(cell, left, right, height)
    inner = right - left - 2 * column.beside_mm
    if isinstance(cell, Runs):
        return _runs(cell, left + column.beside_mm, inner, height)
    text, style = _style(cell, column)
    if isinstance(cell, Doubled):
        return _doubled(cell, style, left + column.beside_mm, inner, height)
    if isinstance(cell, Keyed):
        return _keyed(cell, style, left + column.beside_mm, inner, height)
    top = (height - style.height_mm(text, inner)) / 2
    return style.lines(text, anchored(column, left, right), top, inner, column.anchor)


def _runs(cell: Runs, x: float, width: float, height: float) -> Sequence[Primitive]:
    own = runs_height_mm(cell.parts, width)
    english = ITALIC.height_mm(cell.english, width) if cell.english else 0.0
    top = (height - own - english) / 2
    lower = ITALIC.lines(cell.english, x, top + own, width) if english else ()
    return (*run_texts(cell.parts, x, top, width), *lower)


def _doubled(
    cell: Doubled, style: Style, x: float, width: float, height: float
) -> Sequence[Primitive]:
    own = style.height_mm(cell.text, width)
    top = (height - own - ITALIC.height_mm(cell.english, width)) / 2
    lower = ITALIC.lines(cell.english, x, top + own, width)
    return (*style.lines(cell.text, x, top, width), *lower)


def _keyed(cell: Keyed, style: Style, x: float, width: float, height: float) -> Sequence[Primitive]:
    own = style.height_mm(cell.text, width)
    top = (height - own - _under_mm(cell, style, width)) / 2
    lines = style.lines(cell.text, x, top, width)
    if cell.key in ("", cell.text):
        return lines
    if not _key_fits_behind(cell, style, width):
        return (*lines, KEY.line(cell.key, x, top + own))
    return (*lines, KEY.line(cell.key, x + width, top + own - KEY.pitch_mm, "end"))


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


def anchored(column: Column, left: float, right: float) -> float:
    """Where text of a column starts between its two edges, in mm."""
    if column.anchor == "start":
        return left + column.beside_mm
    return right - column.beside_mm if column.anchor == "end" else (left + right) / 2
