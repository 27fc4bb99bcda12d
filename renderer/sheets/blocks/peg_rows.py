"""Rows of a list of control pegs that stand in a column: two lines each, by the width of a half."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from renderer.frozen import dataclass
from renderer.primitives import Anchor
from renderer.sheets.compact import LEAD
from renderer.sheets.piece import Piece
from renderer.sheets.setting_out import NONE, SetOut, spread_head
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import HEAD_PAD_MM, Cell, Column, Group, Row, Runs, Styled, table
from renderer.sheets.type import SMALL_STRONG, Style

TEXT = Style("condensed", 9.5, LEAD)
STRONG = Style("condensed_bold", 9.5, LEAD)
NUMBER = Style("condensed_bold", 11, LEAD)  # what a row is looked up by
LEAST_PAD_MM = 0.2  # above and below the text of a row in a brief list
SET_MM = 7.4  # the box to tick fills its cell
BESIDE_MM = 0.8  # between a text and its column's edge
ROUNDING_MM = 0.05
SIDE = 3  # the column of sides, which takes what the others leave,
HEADED = (1, 4, 5)  # those whose heads are of two parts or would be broken,
GIVING = (3, 4, 2)  # and those whose texts wrap where the width is too little, in this order


@dataclass(frozen=True, slots=True)
class Stop:
    """The wire at a peg: distances from the start and from the control peg before it, in words.

    ``where`` is there where the peg is set, ``built`` a space for where it came to stand.
    """

    peg: str
    reason: str
    along: str
    chained: str
    between: str = ""
    where: SetOut | None = None
    built: Cell = ""
    done: Cell = ""


def close_rows(sheet: Sheet, stops: Sequence[Stop | Group], *, surveyed: bool) -> tuple[Piece, ...]:
    """Distances above each other, and so the tapes; each column as wide as its texts need.

    What is left is given to the side; where there is too little all give way, and texts wrap.
    """
    words, unit = sheet.words, sheet.measure.unit
    hand, done = words("peg.hand"), words("peg.done")
    columns = (
        _column(words("peg.number"), "end", NUMBER),
        _column(_above(words("peg.at-close", unit=unit), words("peg.from-close"))),
        _column(_above(words("peg.reason"), words("peg.between-close")), "middle"),
        _column(words("peg.side", unit=unit)),
        _column(_above(words("peg.tie-1"), words("peg.tie-2")), "end"),
        _column(_above(hand, spread_head(sheet)) if surveyed else hand, "middle"),
        Column(done, max(SET_MM, SMALL_STRONG.width_mm(done) + 2 * HEAD_PAD_MM), "middle"),
    )
    rows = [each if isinstance(each, Group) else _row(each, surveyed) for each in stops]
    return table(_fitted(columns, rows, sheet.width_mm), rows, sheet.width_mm, pad_mm=LEAST_PAD_MM)


def _column(title: str, anchor: Anchor = "start", style: Style = TEXT) -> Column:
    return Column(title, 0.0, anchor, style, beside_mm=BESIDE_MM)


def _above(one: str, other: str) -> str:
    return f"{one}\n{other}"


def _row(stop: Stop, surveyed: bool) -> Row:
    """Two lines for a peg that is set; one where the wire only comes back to it."""
    new = stop.where is not None
    if not new and not stop.done:
        back = f"{stop.reason} {stop.chained}"
        return Row((Styled(stop.peg, TEXT), stop.along, stop.between, back), spans=True)
    where = stop.where or SetOut("", ("", ""), "", "")
    return Row(
        (
            stop.peg if new else Styled(stop.peg, TEXT),
            Runs(((stop.along, TEXT), (f"\n{stop.chained}", STRONG if new else TEXT))),
            _above(stop.reason, stop.between),
            where.side,
            _above(*where.ties) if new and where.ties != (NONE, NONE) else where.ties[0],
            _above(where.hand, where.spread) if new and surveyed else where.hand,
            stop.done,
        )
    )


def _fitted(
    columns: Sequence[Column], rows: Sequence[Row | Group], width_mm: float
) -> Sequence[Column]:
    listed = [row.cells[:-1] if row.spans else row.cells for row in rows if isinstance(row, Row)]
    cells = [[row[place] for row in listed if place < len(row)] for place in range(len(columns))]
    own = [
        column.share or _needed_mm(column, some)
        for column, some in zip(columns, cells, strict=True)
    ]
    left = width_mm - sum(own)
    for place in HEADED:  # heads in fewer lines where there is room
        more = max(0.0, _head_mm(columns[place]) - own[place])
        if more <= left:
            own[place] += more
            left -= more
    own[SIDE] += max(left, 0.0)
    for place in GIVING:
        given = min(max(-left, 0.0), own[place] - _least_mm(columns[place], cells[place]))
        own[place] -= given
        left += given
    return [replace(column, share=share) for column, share in zip(columns, own, strict=True)]


def _needed_mm(column: Column, cells: Sequence[Cell]) -> float:
    """So wide that no cell has more than two lines, and no word of the head is broken."""
    texts = [_two_lines_mm(text, style) for text, style in _texts(column, cells)]
    return max(_head_word_mm(column), *(text + 2 * BESIDE_MM for text in texts)) + ROUNDING_MM


def _least_mm(column: Column, cells: Sequence[Cell]) -> float:
    """So wide that no word is broken."""
    words = [style.width_mm(word) for text, style in _texts(column, cells) for word in text.split()]
    return max(_head_word_mm(column), *(word + 2 * BESIDE_MM for word in words)) + ROUNDING_MM


def _head_word_mm(column: Column) -> float:
    """What the longest word of a head takes; one in the middle may take nearly all of a column."""
    beside = HEAD_PAD_MM if column.anchor == "middle" else BESIDE_MM
    words = re.split(r"[ \n]", column.title)
    return max(map(SMALL_STRONG.width_mm, words)) + 2 * beside


def _head_mm(column: Column) -> float:
    """So wide that what stands above each other in a head has a line each."""
    return max(map(SMALL_STRONG.width_mm, column.title.split("\n"))) + 2 * BESIDE_MM + ROUNDING_MM


def _texts(column: Column, cells: Sequence[Cell]) -> Iterator[tuple[str, Style]]:
    for cell in cells:
        if isinstance(cell, Runs):
            yield from ((text.strip("\n"), style) for text, style in cell.parts)
        elif isinstance(cell, Styled):
            yield cell.text, cell.style
        elif isinstance(cell, str):
            yield cell, column.style


def _two_lines_mm(text: str, style: Style) -> float:
    """The least width at which a text has no more than two lines."""
    if "\n" in text:
        return max(map(style.width_mm, text.split("\n")))
    words = text.split(" ")
    return min(
        max(style.width_mm(" ".join(words[:cut])), style.width_mm(" ".join(words[cut:])))
        for cut in range(1, len(words) + 1)
    )
