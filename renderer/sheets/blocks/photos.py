"""The table of places: what is photographed, where it is, where it was laid, the file's name."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby
from typing import TYPE_CHECKING

from renderer.sheets.kit import paragraph
from renderer.sheets.layout import RowCount
from renderer.sheets.piece import Piece
from renderer.sheets.setting_out import tied
from renderer.sheets.sheet import Sheet
from renderer.sheets.shots import Shot, shots
from renderer.sheets.table import Column, Group, Row, Ticks, Write, table
from renderer.sheets.type import CELL_STRONG, CLOSE_PAD_MM, SMALL, TEXT, WRITE_ROW_MM
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.ground.tapes import Found

TAPE_MM = {"m": 20.0, "ft": 23.0}
NO_TAPES = ("", "")


class PhotosUse(BlockUse):
    """``rows`` is how many empty rows for more photographs come at the end, at the most."""

    rows: RowCount = 3


def build(sheet: Sheet, use: PhotosUse) -> tuple[Piece, ...]:
    """All shots in the order of the work, then empty rows where the page has room."""
    words = sheet.words
    tape = TAPE_MM[sheet.measure.units]
    columns = (
        Column(words("photo.taken"), 11, "middle"),
        Column(words("photo.number"), 10, "end", CELL_STRONG),
        Column(words("photo.what"), 88 - 2 * tape, style=TEXT),
        Column(words("peg.at", unit=sheet.measure.unit), 18, "end", TEXT),
        Column(words("peg.tie-1"), tape, "end", TEXT),
        Column(words("peg.tie-2"), tape, "end", TEXT),
        Column(words("peg.hand"), 8, "middle", TEXT),
        Column(words("photo.laid", unit=sheet.measure.unit), 19, lined=True),
        Column(words("photo.file"), 36, lined=True),
    )
    rows = table(columns, tuple(_rows(sheet, use.rows)), sheet.width_mm, pad_mm=CLOSE_PAD_MM)
    needed = len(rows) - use.rows
    return (
        sheet.heading(use),
        *paragraph(words("photo.intro"), sheet.width_mm, SMALL, keep=True),
        *rows[: needed - 1],
        *(replace(row, keep=False) for row in rows[needed - 1 : needed]),
        *(replace(row, keep=False, spare=True) for row in rows[needed:]),
    )


def _rows(sheet: Sheet, empty: int) -> Iterator[Row | Group]:
    found = shots(sheet)
    tapes = dict(zip(map(id, found), _tapes(sheet, found), strict=True))
    number = 0
    for group, some in groupby(found, key=lambda shot: shot.group):
        name = sheet.words(f"photo.group.{group}")
        yield Group(name, sheet.words("table.again", text=name))
        for shot in some:
            number += 1
            at = "" if shot.at_m is None else sheet.measure.bare(shot.at_m)
            yield _row(sheet, number, shot.text, at, tapes[id(shot)], placed=shot.at is not None)
    for more in range(number + 1, number + 1 + empty):
        what = Write(sheet.field_name("photo", more, "what"))
        yield _row(sheet, more, what, "", (NO_TAPES, ""), placed=True)


def _row(
    sheet: Sheet,
    number: int,
    what: str | Write,
    at: str,
    place: tuple[tuple[str, str], str],
    *,
    placed: bool,
) -> Row:
    """A row; what has a ``placed`` spot has a space for where it was laid."""
    tooltip = what if isinstance(what, str) else ""
    cells = (
        Ticks((sheet.field_name("photo", number),), tooltip),
        str(number),
        what,
        at,
        *place[0],
        place[1],
        Write(sheet.field_name("photo", number, "laid"), tooltip=tooltip) if placed else "",
        Write(sheet.field_name("photo", number, "file"), tooltip=tooltip),
    )
    return Row(cells, WRITE_ROW_MM)


def _tapes(sheet: Sheet, found: Sequence[Shot]) -> Iterator[tuple[tuple[str, str], str]]:
    """Both tapes and their hand for each shot; nothing for a shot without a place."""
    for shot in found:
        way = _way(sheet, shot)
        if way is not None:
            yield tied(sheet, way)
        else:
            yield NO_TAPES if shot.at is None else (sheet.words("photo.on-plan"), ""), ""


def _way(sheet: Sheet, shot: Shot) -> Found | None:
    import numpy as np

    from renderer.ground.tapes import found_by_pegs

    if shot.at is None:
        return None
    at = np.array([shot.at])
    if shot.loop is None or shot.at_m is None:
        return sheet.tapes.found(at)[0]
    return found_by_pegs(sheet.tapes, shot.loop, at, [max(shot.at_m, shot.loop.tail_m)])[0]
