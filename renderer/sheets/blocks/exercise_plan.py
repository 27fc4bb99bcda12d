"""The garden of an exercise to scale, without its wire: the learner draws that."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from renderer.drawing.pens import THIN
from renderer.primitives import Line
from renderer.sheets.blocks.furniture import (
    GAP_MM,
    bars,
    beneath,
    drawing_words,
    keyed,
    moved,
    plan_heading,
)
from renderer.sheets.blocks.plan import ROW_OF_BARS_MM
from renderer.sheets.kit import heading, paragraph, subheading
from renderer.sheets.piece import Piece, height_of
from renderer.sheets.sheet import Sheet
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from renderer.drawing import PlanDrawing
    from renderer.drawing.scene import Part, Scene
    from renderer.drawing.view import View
    from renderer.primitives import Drawing

BELOW_MM = 40.0  # first guess of what bars and legend take
PART_BELOW_MM = 22.0  # for the bars below an enlarged part, and what its key numbers stand for


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """The garden as large as it fits a page above its bars, no higher than it needs.

    Its legend stands below them, or on another page where the garden is larger for that.
    """
    title = use.title or sheet.words("heading.exercise-plan")
    room = sheet.height_mm - heading(title, sheet.width_mm, "").height_mm
    page = _fitted(sheet, room, BELOW_MM, _bars_and_legend)
    apart: tuple[Piece, ...] = ()
    wider = _fitted_apart(sheet, room, page.drawn.scale)
    if wider is not None:
        page, apart = wider, _legend_apart(sheet, wider.drawn)
    drawn = page.drawn
    part, others = _part(sheet, drawn)
    if part is not None:
        drawn = _drawn(sheet, page.height_mm, part)
    under = drawn.drawing.height_mm + GAP_MM
    items = (*drawn.drawing.items, *moved(page.foot.items, 0.0, under))
    height = under + page.foot.height_mm
    head = plan_heading(sheet, title, use.block, drawn.scale)
    return head, Piece(height, items), *others, *apart


class _Page(NamedTuple):
    """The garden as drawn, what stands below it, and the height it was drawn for."""

    drawn: PlanDrawing
    foot: Drawing
    height_mm: float


def _fitted(
    sheet: Sheet, room: float, below: float, foot_of: Callable[[Sheet, PlanDrawing], Drawing]
) -> _Page:
    """The garden as large as it can be above its foot, ``below`` being a first guess at that."""
    while True:
        drawn = _drawn(sheet, room - below)
        foot = foot_of(sheet, drawn)
        needed = foot.height_mm + GAP_MM
        if drawn.drawing.height_mm + needed <= room:
            return _Page(drawn, foot, room - below)
        below = max(needed, below + 1.0)


def _fitted_apart(sheet: Sheet, room: float, scale: float) -> _Page | None:
    """The page without its legend, where the garden is larger by that than at 1:``scale``."""
    from renderer.drawing.plan import fit_plan

    job, box = sheet.job, (sheet.width_mm, room - ROW_OF_BARS_MM - GAP_MM)
    if sheet.scale is not None:
        return None
    if fit_plan(job.plan, job.lay, box, inch_paper=sheet.inch_paper).scale >= scale:
        return None
    page = _fitted(sheet, room, ROW_OF_BARS_MM + GAP_MM, _bars)
    return page if page.drawn.scale < scale else None


def _bars(sheet: Sheet, drawn: PlanDrawing) -> Drawing:
    return bars(sheet, drawn, row=True, reckoned=True)


def _bars_and_legend(sheet: Sheet, drawn: PlanDrawing) -> Drawing:
    return beneath((_bars(sheet, drawn), _legend(sheet, drawn)))


def _legend_apart(sheet: Sheet, drawn: PlanDrawing) -> tuple[Piece, ...]:
    """The legend by itself, which may fill the rest of the page before the garden."""
    told = _legend(sheet, drawn)
    head = subheading(drawing_words(sheet)["legend.title"], sheet.width_mm)
    return replace(head, fills=True), Piece(told.height_mm, told.items, gap_mm=GAP_MM, fills=True)


def _part(sheet: Sheet, whole: PlanDrawing) -> tuple[View | None, tuple[Piece, ...]]:
    """A part of a garden too large to draw its wire on, and the page that shows it enlarged."""
    from renderer.drawing import legend
    from renderer.drawing.closeup import closeup
    from renderer.drawing.lessons import UNLAID, drawing_part, unlaid, unnumbered
    from renderer.drawing.scale import Fit, series
    from renderer.drawing.scene import Scene

    job, words = sheet.job, drawing_words(sheet)
    title = sheet.words("heading.exercise-part")
    head = heading(title, sheet.width_mm, "")
    note = [
        replace(each, keep=True) for each in paragraph(sheet.words("teach.part"), sheet.width_mm)
    ]
    known = series(inch_paper=sheet.inch_paper, units=job.plan.units)
    taken = head.height_mm + sum(piece.height_mm for piece in note) + GAP_MM + PART_BELOW_MM
    while True:
        box = (sheet.width_mm, sheet.height_mm - taken)
        view = drawing_part(job.plan, job.lay, box, Fit(whole.scale, whole.rotation_deg), known)
        if view is None or sheet.scale is not None:
            return None, ()
        scene = Scene(job.plan, job.lay, (), view, words, job.setting, UNLAID)
        drawn = closeup(scene, words["title.plan"].format(title=job.plan.job.title), unlaid(scene))
        border = Line(view.frame.corners(), THIN, closed=True, role="part")
        below = [_bars(sheet, drawn)]
        missed = unnumbered(job.lay, drawn, view)
        if keyed(drawn) or missed:
            below.append(legend((), sheet.width_mm, words, keyed(drawn), missed))
        foot = beneath(below)
        items = (*drawn.drawing.items, border, *moved(foot.items, 0.0, box[1] + GAP_MM))
        top = plan_heading(sheet, title, "exercise-part", drawn.scale)
        page = (top, *note, Piece(box[1] + GAP_MM + foot.height_mm, items, gap_mm=GAP_MM))
        over = height_of(page) - sheet.height_mm
        if over <= 0:
            return view, page
        taken += max(over, 1.0)  # what the key numbers need more than was guessed


def _drawn(sheet: Sheet, height: float, part: View | None = None) -> PlanDrawing:
    """The whole garden, with a frame about a part of it."""
    from renderer.drawing import plan_drawing
    from renderer.drawing.lessons import UNLAID, framed, unlaid
    from renderer.geometry.lines import chain

    extra: Callable[[Scene], Iterable[Part]] = unlaid
    if part is not None:
        extra = framed(chain(part.back(corner) for corner in part.frame.corners()))
    return plan_drawing(
        sheet.job.plan,
        sheet.job.lay,
        (),
        box_mm=(sheet.width_mm, height),
        inch_paper=sheet.inch_paper,
        words=drawing_words(sheet),
        scale=sheet.scale,
        show=UNLAID,
        extra=extra,
        setting=sheet.job.setting,
    )


def _legend(sheet: Sheet, drawn: PlanDrawing) -> Drawing:
    from renderer.drawing import legend
    from renderer.drawing.lessons import unnumbered

    note = {"legend.side.note": sheet.words("teach.side-note")}
    told = drawing_words(sheet).altered(note)
    missed = unnumbered(sheet.job.lay, drawn)
    return legend(drawn.used, sheet.width_mm, told, keyed(drawn), missed)
