"""A drawing by itself: the one page of the layout ``drawing``, as ``pegline draw`` writes it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.primitives import Drawing
from renderer.sheets.blocks.figure import FigureUse, drawn, foreseen_scale
from renderer.sheets.frame import Frame
from renderer.sheets.layout import in_language, load_layout
from renderer.sheets.pages import Numbers, body_of, flowed, footed, job_block, sheet_of

if TYPE_CHECKING:
    from renderer.job import Job

LAYOUT = "drawing"


def figure(
    job: Job,
    *,
    paper: str | None = None,
    scale: float | None = None,
    language: str | None = None,
    ellipses: bool = False,
) -> Drawing:
    """The plan on one sheet of paper with title block, scale, bars, north arrow and legend.

    ``paper`` is a size, with ``portrait`` or ``landscape`` where the way matters, else whichever
    gives the larger scale is used; the usual one of the plan's units when left out. Raises
    ``DrawError`` where a demanded scale does not fit, or nothing does; WordError for a language
    without a catalogue.
    """
    from renderer.drawing import DrawError
    from renderer.drawing.paper import USUAL, papers

    layout = in_language(load_layout(LAYOUT), language)
    use = FigureUse(block="figure", ellipses=ellipses)
    ways = []
    for lying in papers(paper or layout.paper or USUAL[job.plan.units]):
        own = Frame(lying.width_mm, lying.height_mm)
        ways.append((lying, own, sheet_of(job.near, layout, own, lying, scale, 1)))
    # drawing takes long: the scales are compared first
    ways.sort(key=lambda way: foreseen_scale(way[2], use))
    refused: dict[str, None] = {}
    for lying, frame, sheet in ways:  # noqa: B007  the one that is drawn is used below
        try:
            plan, pieces = drawn(sheet, use)
            break
        except DrawError as error:
            way = "landscape" if lying.landscape else "portrait"
            refused[f"{lying.name} {way}: {error}"] = None
    else:
        raise DrawError("; ".join(refused))
    (content,) = flowed(sheet, pieces, frame)
    page = footed(frame, body_of(sheet, frame, content), job_block(sheet, Numbers(1, 1), False))
    return Drawing(
        page.width_mm,
        page.height_mm,
        page.items,
        scale=plan.scale,
        title=plan.drawing.title,
        description=plan.drawing.description,
    )
