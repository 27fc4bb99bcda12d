"""A drawing by itself: the one page of the layout ``drawing``, as ``pegline draw`` writes it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from renderer.primitives import Drawing
from renderer.sheets.blocks.figure import FigureUse, drawn
from renderer.sheets.frame import Frame
from renderer.sheets.layout import in_language, load_layout
from renderer.sheets.pages import Numbers, body_of, flowed, footed, job_block, sheet_of

if TYPE_CHECKING:
    from renderer.drawing import PlanDrawing
    from renderer.drawing.paper import Paper
    from renderer.job import Job
    from renderer.sheets.piece import Piece
    from renderer.sheets.sheet import Sheet

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
    refused: dict[str, None] = {}

    def tried(lying: Paper) -> Iterator[tuple[PlanDrawing, tuple[Piece, ...], Sheet, Frame]]:
        frame = Frame(lying.width_mm, lying.height_mm)
        sheet = sheet_of(job.near, layout, frame, lying, scale, 1)
        try:
            yield *drawn(sheet, use), sheet, frame
        except DrawError as error:
            way = "landscape" if lying.landscape else "portrait"
            refused[f"{lying.name} {way}: {error}"] = None

    ways = papers(paper or layout.paper or USUAL[job.plan.units])
    pages = [page for lying in ways for page in tried(lying)]
    if not pages:
        raise DrawError("; ".join(refused))
    plan, pieces, sheet, frame = min(pages, key=lambda page: page[0].scale)
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
