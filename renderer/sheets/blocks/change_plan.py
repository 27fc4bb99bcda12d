"""Both states of the wire on one plan: the new one solid, what goes dashed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.frozen import dataclass
from renderer.geometry.lines import stretch
from renderer.sheets.blocks import change_work
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
from renderer.sheets.piece import Piece, height_of, held_together
from renderer.sheets.sheet import Sheet
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from collections.abc import Iterable

    from renderer.compare.work import Piece as Laid
    from renderer.drawing import PlanDrawing
    from renderer.drawing.scene import Part, Scene
    from renderer.geometry.lines import Chain
    from renderer.job import Job

SHOWN = frozenset(
    {"obstacles", "features", "wire", "arrows", "splices", "dock", "references", "names"}
)
GAP_MM = 2.0
WIDE = 0.7  # of the width for the drawing, the rest for its legend
ASIDE_MM = 5.0
LEAST_MM = 45.0  # a drawing that is less high than this shows nothing


class ChangePlanUse(BlockUse):
    """``share`` is how much of a page, in percent, the drawing takes at the most."""

    share: PageShare = 60


def build(sheet: Sheet, use: ChangePlanUse) -> tuple[Piece, ...]:
    """The plan with its legend at its right, or under it where it is drawn larger so, and its bars.

    It is drawn smaller than its share where the work then follows on the same page. Nothing where
    all is as it was.
    """
    if sheet.difference.is_none:
        return ()
    high = sheet.height_mm * use.share / 100.0
    room = sheet.height_mm - _work_mm(sheet)
    whole = _built(sheet, use, high)
    low = _built(sheet, use, high, beneath=True)
    if low.scale < whole.scale and height_of(low.pieces) <= room:
        return low.pieces
    if height_of(whole.pieces) <= room:
        return whole.pieces
    for beneath, made in ((False, whole), (True, low)):
        rest = room - height_of(made.pieces) + made.drawn_mm
        if LEAST_MM <= rest < high:
            made = _built(sheet, use, rest, beneath=beneath)
        if height_of(made.pieces) <= room:
            return made.pieces
    return whole.pieces


def _work_mm(sheet: Sheet) -> float:
    """What the work of the same document takes of the page, with the gap above it."""
    own = next((each for each in sheet.layout.uses if each.block == "change-work"), None)
    if own is None:
        return 0.0
    work = change_work.build(sheet, own)
    return height_of(work) + work[0].gap_mm


@dataclass(frozen=True, slots=True)
class _Made:
    """The pieces, what the drawing itself takes of their height in mm, the N of its 1:N."""

    pieces: tuple[Piece, ...]
    drawn_mm: float
    scale: float


def _built(sheet: Sheet, use: ChangePlanUse, high_mm: float, *, beneath: bool = False) -> _Made:
    drawn = _drawn(sheet, high_mm, 1.0 if beneath else WIDE)
    title = use.title or sheet.words("heading.change-plan")
    below = bars(sheet, drawn, row=True)
    own, left = drawn.drawing, 0.0 if beneath else sheet.width_mm * WIDE + ASIDE_MM
    key = legend(sheet, drawn.used, sheet.width_mm - left)
    apart = own.height_mm + GAP_MM if beneath else 0.0
    items = (*own.items, *moved(key.items, left, apart))
    pieces = (
        plan_heading(sheet, title, use.block, drawn.scale),
        Piece(max(own.height_mm, apart + key.height_mm), items, gap_mm=1.0),
        Piece(below.height_mm, below.items, gap_mm=GAP_MM),
        *key_line(sheet, keyed(drawn)),
    )
    return _Made(held_together(pieces), own.height_mm, drawn.scale)


def _drawn(sheet: Sheet, high_mm: float, wide: float) -> PlanDrawing:
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
        box_mm=(sheet.width_mm * wide, high_mm),
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
