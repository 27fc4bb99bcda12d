"""What a change comes to: wire, ohms, mown ground, pegs and splices before and after."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from renderer.ground.gauges import PRINTED_M
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

OHM_STEP = 0.01  # to which resistance is printed


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
    step = PRINTED_M[sheet.measure.units]
    yield wire, *lengths, _more(loop.old_m, loop.new_m, step, measure.length)
    ohms = ["–" if each is None else measure.ohms(each) for each in (loop.old_ohm, loop.new_ohm)]
    yield words("diff.ohms"), *ohms, _more(loop.old_ohm, loop.new_ohm, OHM_STEP, measure.ohms)


def _more(old: float | None, new: float | None, step: float, told: Callable[[float], str]) -> str:
    """The difference of two figures as they are printed, to ``step``, with its sign."""
    before, after = (round((each or 0.0) / step) for each in (old, new))
    sign = "+" if after > before else "−" if after < before else ""
    return f"{sign}{told(abs(after - before) * step)}"


def _things(sheet: Sheet) -> Iterator[tuple[str, ...]]:
    old, new = sheet.difference.old, sheet.difference.new
    areas = [job.working_area_m2 for job in (old, new)]
    area, step = sheet.measure.area, min(map(sheet.measure.area_step, areas))
    yield sheet.words("diff.mown"), *map(area, areas), _more(areas[0], areas[1], step, area)
    for key, before, after in (
        ("pegs", len(old.pegs), len(new.pegs)),
        ("splices", len(old.splices), len(new.splices)),
    ):
        yield (
            sheet.words(f"diff.{key}"),
            str(before),
            str(after),
            _more(before, after, 1.0, "{:.0f}".format),
        )
