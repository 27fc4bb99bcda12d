"""The garden of an exercise to scale, without its wire: the learner draws that."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.sheets.blocks.furniture import (
    GAP_MM,
    bars,
    beneath,
    drawing_words,
    keyed,
    moved,
    plan_heading,
)
from renderer.sheets.kit import heading
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.drawing import PlanDrawing
    from renderer.primitives import Drawing

BELOW_MM = 50.0  # first guess of what bars and legend take


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """The garden as large as it fits a page above its bars and legend, no higher than it needs."""
    title = use.title or sheet.words("heading.exercise-plan")
    room = sheet.height_mm - heading(title, sheet.width_mm, "").height_mm
    below = BELOW_MM
    while True:
        drawn = _drawn(sheet, room - below)
        foot = beneath((bars(sheet, drawn), _legend(sheet, drawn)))
        needed = foot.height_mm + GAP_MM
        if drawn.drawing.height_mm + needed <= room:
            break
        below = max(needed, below + 1.0)
    under = drawn.drawing.height_mm + GAP_MM
    items = (*drawn.drawing.items, *moved(foot.items, 0.0, under))
    height = under + foot.height_mm
    return plan_heading(sheet, title, use.block, drawn.scale), Piece(height, items)


def _drawn(sheet: Sheet, height: float) -> PlanDrawing:
    from renderer.drawing import plan_drawing
    from renderer.drawing.lessons import UNLAID, unlaid

    return plan_drawing(
        sheet.job.plan,
        sheet.job.lay,
        (),
        box_mm=(sheet.width_mm, height),
        inch_paper=sheet.inch_paper,
        words=drawing_words(sheet),
        scale=sheet.scale,
        show=UNLAID,
        extra=unlaid,
        setting=sheet.job.setting,
    )


def _legend(sheet: Sheet, drawn: PlanDrawing) -> Drawing:
    from renderer.drawing import legend

    note = {"legend.side.note": sheet.words("teach.side-note")}
    told = drawing_words(sheet).altered(note)
    return legend(drawn.used, sheet.width_mm, told, keyed(drawn))
