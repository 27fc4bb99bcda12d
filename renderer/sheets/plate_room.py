"""How the fault plates of a garden stand on their pages: one or two, their lines below or aside."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from renderer.sheets.compact import stacked
from renderer.sheets.kit import rule, subheading
from renderer.sheets.piece import Piece, height_of
from renderer.sheets.plate_record import record
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Styled, Write, table
from renderer.sheets.type import SMALL_STRONG, WRITE_ROW_MM
from renderer.teaching.plate import Plate, unspoilt
from renderer.units import MM_PER_M

ASKED = ("found", "does", "mend")
GAP_MM = 6.0
EDGE_MM = 8.0  # between a plate's parts, and what its key numbers take
ASIDE_MM = 62.0  # a column of lines beside the drawing, each answer on three of them
ANSWER_MM = 2 * WRITE_ROW_MM
MOST_LINES = 3
# Two plates stand on a page where pegs are this far apart on paper, or where a page to itself
# makes a plate only so much larger.
CLEAR_MM = 5.0
GAIN = 1.3


class PlateRoom(NamedTuple):
    """The room of a plate's drawing, the N of its 1:N, and the width of the lines beside it.

    That is 0 where they stand below it. A plate ``alone`` has a page of its own.
    """

    width_mm: float
    height_mm: float
    scale: float
    aside_mm: float
    alone: bool = False


def room_of(sheet: Sheet) -> PlateRoom:
    """Two plates a page where they are as clear as one, and no mistake is lost; else one."""
    from renderer.teaching.mistakes import too_small

    whole, *two = _choices(sheet)
    clear = sheet.job.plan.machine.peg_spacing.final * MM_PER_M / CLEAR_MM
    most = max(clear, whole.scale * GAIN)
    fair = [each for each in two if each.scale <= most]
    for half in sorted(fair, key=lambda each: (each.scale, each.aside_mm)):
        lost = too_small(sheet.job, sheet.words, half.scale)
        if lost <= too_small(sheet.job, sheet.words, whole.scale):
            return half
    return whole


def _choices(sheet: Sheet) -> Iterator[PlateRoom]:
    """A plate on a page of its own, then those of which two fit; raises DrawError where none."""
    from renderer.drawing import DrawError

    full = sheet.width_mm
    title = subheading(sheet.words("plates.plate", number=1), full).height_mm + EDGE_MM
    below = title + height_of(lines(sheet, 1, unspoilt(sheet.job)))
    half = (sheet.height_mm - GAP_MM) / 2.0
    yield _room(sheet, full, sheet.height_mm - below, 0.0)._replace(alone=True)
    for width, height, aside in (
        (full, half - below, 0.0),
        (full - ASIDE_MM - GAP_MM, half - title, ASIDE_MM),
    ):
        try:
            yield _room(sheet, width, height, aside)
        except DrawError:
            continue


def _room(sheet: Sheet, width: float, height: float, aside: float) -> PlateRoom:
    from renderer.drawing.plan import fit_plan

    plan, lay = sheet.job.plan, sheet.job.lay
    box, known = (width, height), scales(sheet)
    fit = fit_plan(plan, lay, box, inch_paper=sheet.inch_paper, scales=known)
    return PlateRoom(width, height, fit.scale, aside)


def scales(sheet: Sheet) -> tuple[float, ...]:
    """The N of the scales 1:N that plates are drawn at."""
    from renderer.drawing.scale import picture_series

    return picture_series(inch_paper=sheet.inch_paper, units=sheet.job.plan.units)


def lines(sheet: Sheet, number: int, plate: Plate, room_mm: float = 0.0) -> tuple[Piece, ...]:
    """What was measured, and lines for what is wrong, across the page.

    They share what is left of ``room_mm``, up to three lines an answer.
    """
    least = _across(sheet, number, plate, WRITE_ROW_MM)
    spare = (room_mm - height_of(least) - least[0].gap_mm) / len(ASKED)
    if spare <= 0:
        return least
    return _across(sheet, number, plate, min(WRITE_ROW_MM + spare, MOST_LINES * WRITE_ROW_MM))


def _across(sheet: Sheet, number: int, plate: Plate, each_mm: float) -> tuple[Piece, ...]:
    words = sheet.words
    columns = (Column("", 54, style=SMALL_STRONG, lined=True), Column("", 136, lined=True))
    told = record(sheet, plate.key, plate.of)
    rows = [Row((words("lesson.plate.measured"), told))]
    rows += [
        Row((words(f"plates.{name}"), Write(sheet.field_name("plate", number, name))), each_mm)
        for name in ASKED
    ]
    top = Piece(0.0, (rule(0.0, sheet.width_mm, 0.0),), gap_mm=2.5)
    return (top, *table(columns, rows, sheet.width_mm)[1:])


def lines_aside(sheet: Sheet, number: int, plate: Plate) -> Piece:
    """The same in a column beside the drawing, each under what it is for."""
    words = sheet.words
    rows = [
        Row((Styled(words("lesson.plate.measured"), SMALL_STRONG),), goes_on=True),
        Row((record(sheet, plate.key, plate.of),)),
    ]
    for name in ASKED:
        write = Write(sheet.field_name("plate", number, name))
        rows.append(Row((Styled(words(f"plates.{name}"), SMALL_STRONG),), goes_on=True))
        rows.append(Row((write,), height_mm=ANSWER_MM))
    top = Piece(0.0, (rule(0.0, ASIDE_MM, 0.0),))
    return stacked((top, *table((Column("", 1, lined=True),), rows, ASIDE_MM)[1:]))
