"""The proof: mown, kept-out and hand-trimmed ground shaded, and the verdict on the walk."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from renderer.drawing.cropped import cropped
from renderer.primitives import Drawing
from renderer.sheets.blocks.furniture import (
    cornered,
    drawing_words,
    legend,
    lying,
    moved,
    scale_aside,
)
from renderer.sheets.blocks.turn import plan_turn
from renderer.sheets.compact import FINE, stacked
from renderer.sheets.kit import paragraph
from renderer.sheets.piece import Piece, held_together
from renderer.sheets.sheet import Sheet
from renderer.sheets.type import CELL, SMALL
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.drawing import PlanDrawing

GAP_MM = 5.0
HALF_MM = 70.0  # the most for a picture with its legend at its right,
SMALL_SCALE = 250.0  # where 1:N is this or larger
COLUMN_BOX_MM = (82.0, 76.0)  # for the picture in a column of the page, blank paper round it
BESIDE_MM = 55.0  # a picture narrower than this has its legend at its right there
MOST_MM = 100.0  # the most for a picture that leaves room on its page
OTHERS_MM = 75.0  # for heading, legend and verdict beside a picture that does not


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """The shaded picture with its legend, the verdict of each loop, the ground to trim by hand."""
    if not sheet.job.lay.loops:
        return ()
    from renderer.drawing.proof import proof

    made = proof(
        sheet.job.plan,
        sheet.job.lay,
        box_mm=COLUMN_BOX_MM if sheet.page_mm else _box(sheet),
        inch_paper=sheet.inch_paper,
        words=drawing_words(sheet),
        turn=plan_turn(sheet),
        setting=sheet.job.setting,
    )
    trim_m2 = sum(lawn.trim.area for lawn in sheet.job.lay.lawns)
    texts = (*made.texts, sheet.words("proof.trim", area=sheet.measure.area(trim_m2)))
    if sheet.page_mm:
        return held_together((sheet.heading(use), *_in_column(sheet, made.plan, texts)))
    if made.plan.drawing.width_mm < sheet.width_mm / 2:
        return held_together((sheet.heading(use), _beside(sheet, made.plan, texts)))
    picture = _picture(sheet, made.plan, sheet.width_mm)
    key = legend(sheet, made.plan.used, sheet.width_mm)
    return held_together(
        (
            sheet.heading(use),
            replace(picture, gap_mm=1.0),
            Piece(key.height_mm, key.items, gap_mm=2.0),
            *_told(texts, sheet.width_mm),
        )
    )


def _told(texts: Sequence[str], width_mm: float) -> tuple[Piece, ...]:
    return tuple(piece for text in texts for piece in paragraph(text, width_mm, CELL))


def _picture(sheet: Sheet, made: PlanDrawing, width_mm: float) -> Piece:
    scale = SMALL.line(scale_aside(sheet, made.scale), width_mm, 0.0, "end")
    marks = (scale, *cornered(sheet, made, SMALL.pitch_mm + 0.5))
    return Piece(made.drawing.height_mm, (*made.drawing.items, *marks))


def _beside(sheet: Sheet, made: PlanDrawing, texts: Sequence[str]) -> Piece:
    """The picture, and at its right the legend and the verdict."""
    left = made.drawing.width_mm
    x = left + GAP_MM
    width = sheet.width_mm - x
    key = legend(sheet, made.used, width)
    told = stacked(_told(texts, width))
    picture = _picture(sheet, made, left)
    items = (
        *picture.items,
        *moved(key.items, x, 0.0),
        *moved(told.items, x, key.height_mm + GAP_MM),
    )
    return Piece(max(picture.height_mm, key.height_mm + GAP_MM + told.height_mm), items, 1.0)


def _in_column(sheet: Sheet, made: PlanDrawing, texts: Sequence[str]) -> tuple[Piece, ...]:
    """A small picture, its scale and legend at its right or under it, then the verdict."""
    drawing = cropped(made.drawing, sides=True)
    arrow = lying(sheet, made) or Drawing(0.0, 0.0, ())
    head = FINE.pitch_mm + arrow.height_mm
    under = legend(sheet, made.used, sheet.width_mm)
    x, y, key = 0.0, max(drawing.height_mm, head) + 1.0, under
    if drawing.width_mm <= BESIDE_MM:
        beside = legend(sheet, made.used, sheet.width_mm - drawing.width_mm - GAP_MM)
        if max(drawing.height_mm, head + beside.height_mm) <= y + under.height_mm:
            x, y, key = drawing.width_mm + GAP_MM, head, beside
    items = (
        *drawing.items,
        FINE.line(scale_aside(sheet, made.scale), sheet.width_mm, 0.0, "end"),
        *moved(arrow.items, sheet.width_mm - arrow.width_mm, FINE.pitch_mm),
        *moved(key.items, x, y),
    )
    height = max(drawing.height_mm, y + key.height_mm)
    told = (piece for text in texts for piece in paragraph(text, sheet.width_mm, FINE))
    return Piece(height, items, gap_mm=1.0), *told


def _box(sheet: Sheet) -> tuple[float, float]:
    """Half the width where that is enough, or half a page, or nearly all of one if it is needed."""
    from renderer.drawing.plan import fit_plan

    boxes = [
        ((sheet.width_mm - GAP_MM) / 2 - 0.1, HALF_MM),
        (sheet.width_mm, min(MOST_MM, sheet.height_mm / 2)),
        (sheet.width_mm, sheet.height_mm - OTHERS_MM),
    ]
    job, turn = sheet.job, plan_turn(sheet)
    half, middle, whole = (
        fit_plan(job.plan, job.lay, box, inch_paper=sheet.inch_paper, turn=turn).scale
        for box in boxes
    )
    if half <= max(SMALL_SCALE, whole):
        return boxes[0]
    return boxes[2] if whole < middle else boxes[1]
