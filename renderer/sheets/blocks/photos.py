"""The table of places: what is photographed, where it is, where it was laid, the file's name."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby
from typing import TYPE_CHECKING

from renderer.sheets.compact import FINE, FINE_STRONG
from renderer.sheets.kit import paragraph
from renderer.sheets.layout import RowCount
from renderer.sheets.piece import Piece
from renderer.sheets.setting_out import along_means, pegs_mean, tied
from renderer.sheets.sheet import Sheet
from renderer.sheets.shots import Shot, shots
from renderer.sheets.table import Cell, Column, Row, Runs, Ticks, Write, table
from renderer.sheets.type import CELL_STRONG, TEXT, WRITE_ROW_MM
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.ground.tapes import Found

TAPE_MM = {"m": 18.0, "ft": 20.0}
PAD_MM = 0.2  # so that two lines of text are no higher than a row to write in
NO_TAPES = ("", "")


class PhotosUse(BlockUse):
    """``rows`` is how many empty rows come at the end, at the most; so many are for ``changes``.

    Rows for changes are there in any case, the others where the page has room.
    """

    rows: RowCount = 3
    changes: RowCount = 0


def build(sheet: Sheet, use: PhotosUse) -> tuple[Piece, ...]:
    """All shots in the order of the work, then empty rows where the page has room."""
    words = sheet.words
    tape = TAPE_MM[sheet.measure.units]
    columns = (
        Column(words("photo.taken"), 11, "middle"),
        Column(words("photo.number"), 9, "end", CELL_STRONG),
        Column(words("photo.what"), 89 - 2 * tape, style=FINE),
        Column(words("peg.at", unit=sheet.measure.unit), 18, "end", TEXT),
        Column(words("peg.tie-1"), tape, "end", TEXT),
        Column(words("peg.tie-2"), tape, "end", TEXT),
        Column(words("peg.hand"), 8, "middle", TEXT),
        Column(words("photo.laid", unit=sheet.measure.unit), 19, lined=True),
        Column(words("photo.file"), 36, lined=True),
    )
    taken = shots(sheet)
    ways = [_way(sheet, shot) for shot in taken]
    found = tuple(_rows(sheet, taken, ways, max(use.rows, use.changes)))
    rows = table(columns, found, sheet.width_mm, pad_mm=PAD_MM)
    needed = len(rows) - max(0, use.rows - use.changes)
    return (
        sheet.heading(use),
        *paragraph(_intro(sheet, use, ways), sheet.width_mm, FINE, keep=True),
        *rows[: needed - 1],
        *(replace(row, keep=False) for row in rows[needed - 1 : needed]),
        *(replace(row, keep=False, spare=True) for row in rows[needed:]),
    )


def _intro(sheet: Sheet, use: PhotosUse, ways: Sequence[Found | None]) -> str:
    """What to do; how places are taped too, where no list of control pegs has said it."""
    listed = sheet.has("peg-list")
    keys = ["intro"]
    keys += [] if listed else ["hand"]
    keys += ["changes"] if use.changes else []
    intro = " ".join(sheet.words(f"photo.{key}") for key in keys)
    return intro + along_means(sheet, ways, pegs_mean(sheet) if listed else "")


def _rows(
    sheet: Sheet, found: Sequence[Shot], ways: Sequence[Found | None], empty: int
) -> Iterator[Row]:
    tapes = dict(zip(map(id, found), _tapes(sheet, found, ways), strict=True))
    number = 0
    for group, some in groupby(found, key=lambda shot: shot.group):
        when = (sheet.words(f"photo.group.{group}"), FINE_STRONG)
        for shot in some:
            number += 1
            at = "" if shot.at_m is None else sheet.measure.bare(shot.at_m)
            what = Runs((when, (shot.text, FINE)) if when[0] else ((shot.text, FINE),))
            yield _row(sheet, number, what, at, tapes[id(shot)], placed=shot.at is not None)
            when = ("", FINE)
    for more in range(number + 1, number + 1 + empty):
        own, along, one, two = (
            Write(sheet.field_name("photo", more, part))
            for part in ("what", "at", "tie-1", "tie-2")
        )
        yield _row(sheet, more, own, along, ((one, two), ""), placed=True)


def _row(
    sheet: Sheet,
    number: int,
    what: Runs | Write,
    at: Cell,
    place: tuple[tuple[Cell, Cell], str],
    *,
    placed: bool,
) -> Row:
    """A row; what has a ``placed`` spot has a space for where it was laid."""
    tooltip = what.parts[-1][0] if isinstance(what, Runs) else ""
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


def _tapes(
    sheet: Sheet, found: Sequence[Shot], ways: Sequence[Found | None]
) -> Iterator[tuple[tuple[str, str], str]]:
    """Both tapes and their hand for each shot; nothing for a shot without a place."""
    for shot, way in zip(found, ways, strict=True):
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
