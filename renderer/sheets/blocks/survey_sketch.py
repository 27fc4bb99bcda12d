"""A page of squared paper to sketch on, over what is known of the garden already."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.plan.values import YesNo
from renderer.primitives import Drawing, Primitive
from renderer.sheets.blocks.furniture import drawing_words, moved, scale_aside
from renderer.sheets.kit import box, heading, rule, upright
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.type import GRID, GRID_STRONG, RULE, SMALL
from renderer.sheets.use import BlockUse
from renderer.units import M_PER_FOOT, MM_PER_INCH, MM_PER_M

if TYPE_CHECKING:
    from renderer.drawing import PlanDrawing

FIELD_MM = {False: 5.0, True: MM_PER_INCH / 4}  # squared paper as it is sold, metric and inch
WHOLE = (1, 2, 5, 10, 20, 50)  # lengths of a square, m or ft
PARTS = (0.5, 0.2, 0.1)  # of one, where a garden is so small that a whole one would fill the page
LEAST_MM = 4.0
MOST_MM = 22.0
STRONG_EVERY = 4
LONGEST_M = float(WHOLE[-1])  # a square whose length takes as much room to say as any
NOTE_GAP_MM = 0.8  # from the squares to the line under them
SHOWN = frozenset(
    {"obstacles", "features", "references", "survey-points", "unsure", "names", "sides"}
)


class SurveySketchUse(BlockUse):
    """The sketch has a page for itself; ``known`` draws what a plan has already."""

    new_page: YesNo = True
    known: YesNo = True


def build(sheet: Sheet, use: SurveySketchUse) -> tuple[Piece, ...]:
    """Squares over the page, a place for the north arrow, and what a square is on the ground."""
    title = use.title or sheet.words("heading.survey-sketch")
    drawn = _drawn(sheet, title) if use.known and sheet.known is not None else None
    aside = scale_aside(sheet, drawn.scale) if drawn else sheet.words("survey.scale-to-write")
    head = heading(title, sheet.width_mm, sheet.anchor("survey-sketch"), aside)
    field_m, field = _field(sheet, drawn.scale if drawn else None)
    note = _note(sheet, field_m)
    width, height = _whole_fields(sheet.width_mm, _room(sheet, title, note), field)
    items = [
        *_grid(width, height, field),
        *(_inside(drawn.drawing, width, height) if drawn else ()),
    ]
    below = SMALL.lines(note, 0.0, height + NOTE_GAP_MM, sheet.width_mm)
    taken = NOTE_GAP_MM + SMALL.height_mm(note, sheet.width_mm)
    return head, Piece(height + taken, (*items, *below))


def _note(sheet: Sheet, field_m: float) -> str:
    """What a square is on the ground; on an empty sketch what to write, tables take the figures."""
    if field_m:
        return sheet.words("survey.field", length=sheet.measure.length(field_m))
    return sheet.words(f"survey.{'field-to-write' if sheet.has('survey-table') else 'sketch-note'}")


def _field(sheet: Sheet, scale: float | None) -> tuple[float, float]:
    """Side of a square: a whole length on the ground in metres, and on paper in mm.

    Without a scale the squares are those of paper as it is sold, and mean nothing yet.
    """
    if scale is None:
        return 0.0, FIELD_MM[sheet.inch_paper]
    unit = M_PER_FOOT if sheet.measure.units == "ft" else 1.0
    one = unit * MM_PER_M / scale
    if one > MOST_MM:
        step = next((part for part in PARTS if part * one <= MOST_MM), PARTS[-1])
    else:
        step = next(whole for whole in WHOLE if whole * one >= LEAST_MM)
    return unit * step, step * one


def _room(sheet: Sheet, title: str, note: str) -> float:
    taken = heading(title, sheet.width_mm, "").height_mm
    return sheet.height_mm - taken - NOTE_GAP_MM - SMALL.height_mm(note, sheet.width_mm) - 0.2


def _whole_fields(width: float, height: float, field: float) -> tuple[float, float]:
    return width // field * field, height // field * field


def _drawn(sheet: Sheet, title: str) -> PlanDrawing:
    from renderer.drawing import plan_drawing

    return plan_drawing(
        sheet.job.plan,
        sheet.job.lay,
        (),
        box_mm=(sheet.width_mm, _room(sheet, title, _note(sheet, LONGEST_M))),
        inch_paper=sheet.inch_paper,
        words=drawing_words(sheet),
        show=SHOWN,
        setting=sheet.job.setting,
    )


def _inside(drawing: Drawing, width: float, height: float) -> tuple[Primitive, ...]:
    """The drawing in the middle of the squares, which leave a part of one free at each edge."""
    down = max(0.0, (height - drawing.height_mm) / 2)
    return moved(drawing.items, (width - drawing.width_mm) / 2, down)


def _grid(width: float, height: float, field: float) -> list[Primitive]:
    items: list[Primitive] = []
    for number in range(1, round(width / field)):
        pen = GRID if number % STRONG_EVERY else GRID_STRONG
        items.append(upright(number * field, 0.0, height, pen))
    for number in range(1, round(height / field)):
        pen = GRID if number % STRONG_EVERY else GRID_STRONG
        items.append(rule(0.0, width, number * field, pen))
    return [*items, box(0.0, 0.0, width, height, RULE)]
