"""Both states of the wire on one plan: the new one solid, what goes dashed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.geometry.lines import stretch
from renderer.sheets.blocks.furniture import (
    bars,
    drawing_words,
    key_line,
    keyed,
    legend,
    moved,
    plan_heading,
)
from renderer.sheets.layout import PageShare
from renderer.sheets.piece import Piece, held_together
from renderer.sheets.sheet import Sheet
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from collections.abc import Iterable

    from renderer.compare.work import Piece as Laid
    from renderer.drawing import PlanDrawing
    from renderer.drawing.scene import Part, Scene
    from renderer.geometry.lines import Chain
    from renderer.job import Job

SHOWN = frozenset({"obstacles", "features", "wire", "splices", "dock", "references", "names"})
GAP_MM = 2.0
WIDE = 0.7  # of the width for the drawing, the rest for its legend
ASIDE_MM = 5.0


class ChangePlanUse(BlockUse):
    """``share`` is how much of a page, in percent, the drawing takes at the most."""

    share: PageShare = 60


def build(sheet: Sheet, use: ChangePlanUse) -> tuple[Piece, ...]:
    """The plan with its legend at its right, and its bars under it."""
    drawn = _drawn(sheet, use.share / 100.0)
    title = use.title or sheet.words("heading.change-plan")
    below = bars(sheet, drawn, row=True)
    left = sheet.width_mm * WIDE + ASIDE_MM
    key = legend(sheet, drawn.used, sheet.width_mm - left)
    items = (*drawn.drawing.items, *moved(key.items, left, 0.0))
    return held_together(
        (
            plan_heading(sheet, title, use.block, drawn.scale),
            Piece(max(drawn.drawing.height_mm, key.height_mm), items, gap_mm=1.0),
            Piece(below.height_mm, below.items, gap_mm=GAP_MM),
            *key_line(sheet, keyed(drawn)),
        )
    )


def _drawn(sheet: Sheet, share: float) -> PlanDrawing:
    from renderer.compare import work
    from renderer.drawing import plan_drawing
    from renderer.drawing.changed import changed

    found = sheet.difference
    task = work(found)
    new, gone = _lines(found.new, task.laid), _lines(found.old, task.taken_up)

    def extra(scene: Scene) -> Iterable[Part]:
        return changed(scene, new, gone)

    return plan_drawing(
        found.new.plan,
        found.new.lay,
        (),
        box_mm=(sheet.width_mm * WIDE, sheet.height_mm * share),
        inch_paper=sheet.inch_paper,
        words=drawing_words(sheet),
        scale=sheet.scale,
        show=SHOWN,
        extra=extra,
        setting=found.new.setting,
    )


def _lines(job: Job, pieces: Iterable[Laid]) -> list[Chain]:
    """The pieces of wire as lines on the ground."""
    found = []
    for piece in pieces:
        loop = job.loop_of(piece.loop)
        first, last = float(loop.at_m[0]), float(loop.at_m[-1])
        found.append(
            stretch(loop.path, loop.at_m, max(piece.from_m, first), min(piece.to_m, last))[0]
        )
    return found
