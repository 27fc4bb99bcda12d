"""What a change comes to: wire, ohms, mown ground, pegs and splices before and after."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from renderer.sheets.change_words import state_of
from renderer.sheets.kit import paragraph
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, table
from renderer.sheets.type import CELL, CLOSE_PAD_MM, TEXT, TEXT_STRONG
from renderer.sheets.use import BlockUse
from renderer.trade import MOVED_M

if TYPE_CHECKING:
    from renderer.compare.difference import LoopChange


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A row for the wire of each loop and one for its ohms, then what there is of other things."""
    found, words = sheet.difference, sheet.words
    columns = (
        Column(words("diff.what"), 60, style=TEXT),
        Column(state_of(sheet, found.old), 45, "end", TEXT),
        Column(state_of(sheet, found.new), 45, "end", TEXT_STRONG),
        Column(words("diff.more"), 40, "end", TEXT),
    )
    rows = [Row(row) for loop in found.loops for row in _loop(sheet, loop)]
    rows += [Row(row) for row in _things(sheet)]
    said = words("diff.nothing" if found.is_none else "diff.intro", least=_least(sheet))
    return (
        sheet.heading(use),
        *paragraph(said, sheet.width_mm, CELL, keep=True),
        *table(columns, rows, sheet.width_mm, pad_mm=CLOSE_PAD_MM),
    )


def _least(sheet: Sheet) -> str:
    return sheet.measure.small(MOVED_M)


def _loop(sheet: Sheet, loop: LoopChange) -> Iterator[tuple[str, ...]]:
    words, measure = sheet.words, sheet.measure
    several = len(sheet.difference.loops) > 1
    name = words("loop.named", name=loop.name) if several else ""
    lengths = ["–" if each is None else measure.length(each) for each in (loop.old_m, loop.new_m)]
    wire = " ".join(part for part in (words("diff.wire"), name) if part)
    yield wire, *lengths, _signed(sheet, loop.more_m)
    ohms = ["–" if each is None else measure.ohms(each) for each in (loop.old_ohm, loop.new_ohm)]
    more = (loop.new_ohm or 0.0) - (loop.old_ohm or 0.0)
    sign = "+" if more >= 0.0 else "−"
    yield words("diff.ohms"), *ohms, f"{sign}{measure.ohms(abs(more))}"


def _signed(sheet: Sheet, metres: float) -> str:
    return f"{'+' if metres >= 0.0 else '−'}{sheet.measure.length(abs(metres))}"


def _things(sheet: Sheet) -> Iterator[tuple[str, ...]]:
    old, new = sheet.difference.old, sheet.difference.new
    areas = [job.working_area_m2 for job in (old, new)]
    more = areas[1] - areas[0]
    sign = "+" if more >= 0.0 else "−"
    mown = [sheet.measure.area(each) for each in (*areas, abs(more))]
    yield sheet.words("diff.mown"), *mown[:2], f"{sign}{mown[2]}"
    for key, before, after in (
        ("pegs", len(old.pegs), len(new.pegs)),
        ("splices", len(old.splices), len(new.splices)),
    ):
        yield (
            sheet.words(f"diff.{key}"),
            str(before),
            str(after),
            f"{after - before:+d}".replace("-", "−"),
        )
