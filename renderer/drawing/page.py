"""One whole page with the plan on it: what ``pegline draw`` makes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from renderer.drawing.errors import DrawError
from renderer.drawing.furniture import check_bar, north_arrow, scale_bar, text_at
from renderer.drawing.legends import legend
from renderer.drawing.paper import Paper, papers
from renderer.drawing.pens import MIDDLE, NAME_TEXT, TITLE_TEXT
from renderer.drawing.plan import PlanDrawing, plan_drawing
from renderer.drawing.scale import scale_text
from renderer.drawing.words import drawing_words
from renderer.primitives import Drawing, Line, Primitive, shifted

if TYPE_CHECKING:
    from renderer.checks.finding import Finding
    from renderer.drawing.geometry import Rect
    from renderer.ground.lay import Lay
    from renderer.plan.model import Plan

HEAD_MM = 24.0
GAP_MM = 4.0
PAD_MM = 3.0


def figure(
    plan: Plan,
    lay: Lay,
    findings: Sequence[Finding],
    paper: str = "A4",
    scale: float | None = None,
    words: Mapping[str, str] | None = None,
) -> Drawing:
    """The plan on one sheet of paper with title, scale, bars, north arrow and legend.

    ``paper`` is a size, with ``portrait`` or ``landscape`` where the way matters; else the
    way with the larger scale is taken. Raises ``DrawError`` where a demanded scale does
    not fit, or nothing does.
    """
    words = words or drawing_words()
    best: tuple[PlanDrawing, Drawing, Paper] | None = None
    refused: list[str] = []
    for way in papers(paper):
        try:
            drawn, foot = _filled(plan, lay, findings, way, scale, words)
        except DrawError as error:
            refused.append(f"{way.name} {'landscape' if way.landscape else 'portrait'}: {error}")
            continue
        if best is None or drawn.scale < best[0].scale:
            best = drawn, foot, way
    if best is None:
        raise DrawError("; ".join(refused))
    return _page(plan, *best, words)


def _filled(
    plan: Plan,
    lay: Lay,
    findings: Sequence[Finding],
    paper: Paper,
    scale: float | None,
    words: Mapping[str, str],
) -> tuple[PlanDrawing, Drawing]:
    """The plan as large as the sheet allows above its foot, and the foot that belongs to it."""
    frame = paper.frame
    width = frame.width - 2 * PAD_MM
    below = 45.0
    while True:
        box = (width, frame.height - HEAD_MM - below - GAP_MM)
        if box[1] < 60.0:
            raise DrawError("the legend leaves no room for the plan on this paper")
        drawn = plan_drawing(
            plan, lay, findings, box_mm=box, inch_paper=paper.inch, words=words, scale=scale
        )
        foot = _foot(plan, drawn, paper.inch, width, words)
        if foot.height_mm <= below:
            return drawn, foot
        below = foot.height_mm


def _foot(
    plan: Plan, drawn: PlanDrawing, inch: bool, width: float, words: Mapping[str, str]
) -> Drawing:
    """Legend, texts that found no room, scale bar and check bar."""
    missed = [("–", text) for text in drawn.unplaced]
    parts = [legend(drawn.used, width, words, [*drawn.keyed, *missed])]
    bar = scale_bar(drawn.scale, inch=plan.units == "ft", words=words)
    check = check_bar(inch=inch, words=words)
    items: list[Primitive] = list(parts[0].items)
    y = parts[0].height_mm + 2.0
    if bar.width_mm + check.width_mm <= width:
        items += [shifted(item, 0.0, y) for item in check.items]
        items += [shifted(item, width - bar.width_mm, y) for item in bar.items]
        return Drawing(width, y + max(bar.height_mm, check.height_mm), tuple(items))
    for part in (bar, check):
        items += [shifted(item, 0.0, y) for item in part.items]
        y += part.height_mm + 1.0
    return Drawing(width, y, tuple(items))


def _page(
    plan: Plan, drawn: PlanDrawing, foot: Drawing, paper: Paper, words: Mapping[str, str]
) -> Drawing:
    frame = paper.frame
    items: list[Primitive] = [Line(frame.corners(), MIDDLE, closed=True, role="frame")]
    items += _head(plan, drawn, frame, words)
    x = frame.x0 + PAD_MM
    room = frame.height - HEAD_MM - foot.height_mm - GAP_MM
    y = frame.y0 + HEAD_MM + max(0.0, (room - drawn.drawing.height_mm) / 2)
    items += [shifted(item, x, y) for item in drawn.drawing.items]
    items += [shifted(item, x, frame.y1 - foot.height_mm - PAD_MM + 2.0) for item in foot.items]
    return Drawing(
        paper.width_mm,
        paper.height_mm,
        tuple(items),
        scale=drawn.scale,
        title=drawn.drawing.title,
        description=drawn.drawing.description,
    )


def _head(plan: Plan, drawn: PlanDrawing, frame: Rect, words: Mapping[str, str]) -> list[Primitive]:
    job = plan.job
    x, y = frame.x0 + PAD_MM, frame.y0 + PAD_MM
    revision = words["head.revision"].format(revision=job.revision)
    scale = words["scale.name"].format(scale=scale_text(drawn.scale))
    arrow = north_arrow(drawn.rotation_deg, words)
    return [
        text_at(x, y + 6.0, f"{job.number}  {job.title}", TITLE_TEXT),
        text_at(
            x, y + 12.0, "   ".join((revision, scale, words[f"note.units.{plan.units}"])), NAME_TEXT
        ),
        text_at(x, y + 17.0, ", ".join(job.site), NAME_TEXT),
        *(shifted(item, frame.x1 - arrow.width_mm - PAD_MM, y) for item in arrow.items),
    ]
