"""The plan on one page at whatever scale it takes, with its whole legend: a drawing by itself."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from renderer.plan.values import YesNo
from renderer.sheets.blocks.furniture import drawing_words, scale_aside
from renderer.sheets.blocks.plan import PlanPage, best_scale, whole_page
from renderer.sheets.compact import listed
from renderer.sheets.kit import heading, paragraph
from renderer.sheets.piece import Piece, height_of, held_together
from renderer.sheets.sheet import Sheet
from renderer.sheets.type import SMALL
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.drawing import PlanDrawing

GAP_MM = 1.0  # over the findings under a drawing


class FigureUse(BlockUse):
    """``ellipses`` draws how sure surveyed points are."""

    ellipses: YesNo = False


def build(sheet: Sheet, use: FigureUse) -> tuple[Piece, ...]:
    """The page; raises DrawError where the plan does not fit it, or not at the scale asked for."""
    return drawn(sheet, use)[1]


def foreseen_scale(sheet: Sheet, use: FigureUse) -> float:
    """The N of the largest scale 1:N that the plan can have; infinite where it has none."""
    page, _ = _page(sheet, use)
    return best_scale(sheet, replace(page, least=math.inf)) or math.inf


def drawn(sheet: Sheet, use: FigureUse) -> tuple[PlanDrawing, tuple[Piece, ...]]:
    """The drawing, and the page that it stands on; raises as ``build`` does."""
    page, title = _page(sheet, use)
    plan, picture = whole_page(sheet, page)
    told = _told(sheet) if page.findings else ()
    note = sheet.words("drawing.overview") if _is_overview(sheet, plan) else ""
    aside = scale_aside(sheet, plan.scale)
    head = heading(title, sheet.width_mm, sheet.anchor("plan"), aside)
    return plan, held_together((head, *_facts(sheet, note), picture, *told))


def _told(sheet: Sheet) -> tuple[Piece, ...]:
    """What the numbers in frames stand for: the findings that the drawing marks."""
    marked = {
        drawing_words(sheet)["label.finding"].format(number=number): each.message
        for number, each in enumerate(sheet.findings, 1)
        if each.at is not None and each.level != "note"
    }
    return listed(marked.values(), sheet.width_mm, marked)


def _is_overview(sheet: Sheet, drawn: PlanDrawing) -> bool:
    """Whether the drawing is too small to lay from, or for all that a crew has to find on it."""
    from renderer.drawing.plan import left_out
    from renderer.drawing.scale import close_scales, readable_scale

    plan, inch = sheet.job.plan, sheet.inch_paper
    if drawn.scale in close_scales(plan, inch_paper=inch):
        return bool(left_out(sheet.job.lay, (drawn,)))
    return drawn.scale > readable_scale(plan, inch_paper=inch)


def _page(sheet: Sheet, use: FigureUse) -> tuple[PlanPage, str]:
    """What the page shows, and its heading; no findings where to tell them makes it smaller."""
    from renderer.drawing import LAYERS

    title = use.title or sheet.words("heading.plan")
    above = [heading(title, sheet.width_mm, sheet.anchor("plan"), "1:1"), *_facts(sheet, "")]
    show = LAYERS | {"ellipses"} if use.ellipses else LAYERS
    room, told = sheet.height_mm - height_of(above), _told(sheet)
    page = PlanPage(room, show, sheet.scale, whole_legend=True)
    if not told:
        return page, title
    marked = replace(page, findings=sheet.job.findings, room_mm=room - height_of(told) - GAP_MM)
    scales = [best_scale(sheet, replace(each, least=math.inf)) for each in (page, marked)]
    return marked if scales[0] == scales[1] else page, title


def _facts(sheet: Sheet, note: str) -> tuple[Piece, ...]:
    """Where the garden is and the unit of the dimensions, in one line."""
    job = sheet.job.plan
    facts = (", ".join(job.job.site), sheet.words(f"drawing.units-{job.units}"), note)
    text = "   ".join(filter(None, facts))
    return paragraph(text, sheet.width_mm, SMALL, gap_mm=0.0, keep=True)
