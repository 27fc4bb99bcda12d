"""From jobs and a layout to a finished document."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from renderer.primitives import Document, Mark, Page, Primitive, shifted
from renderer.sheets.blocks import BLOCKS
from renderer.sheets.code import job_code
from renderer.sheets.flow import PlacedPage, flow
from renderer.sheets.frame import (
    Frame,
    Header,
    TitleBlock,
    band_items,
    header_items,
    read_logo,
    title_block_items,
)
from renderer.sheets.glyphs import require_glyphs
from renderer.sheets.kit import Entry
from renderer.sheets.layout import BlockUse, Layout, document_title
from renderer.sheets.measure import Measure
from renderer.sheets.piece import Piece, height_of, held_together, of_block, on_new_page
from renderer.sheets.sheet import Sheet
from renderer.sheets.words import Words, load_words

if TYPE_CHECKING:
    from renderer.drawing.paper import Paper
    from renderer.sheets.job import JobData


def compose(
    jobs: Sequence[JobData],
    layout: Layout,
    *,
    paper: str | None = None,
    scale: float | None = None,
    draft: bool = False,
) -> Document:
    """The document of a layout over one or several jobs, pages counted by job.

    ``paper`` is a paper's name, the layout's own when left out; ``scale`` the N of 1:N for the
    plan. ``draft`` puts a mark on every page. Raises SheetError where a block does not fit or a
    word is missing, DrawError for a paper or scale that cannot be, MissingGlyph where a plan or
    layout uses a character that the faces lack.
    """
    from renderer.drawing.paper import papers

    words = load_words(layout.language)
    lying = papers(paper or layout.paper)[0]
    frame = Frame(lying.width_mm, lying.height_mm, draft)
    pages: list[Page] = []
    for number, job in enumerate(jobs, 1):
        sheet = _sheet(job, layout, words, frame, lying, scale, number)
        pages.extend(_job_pages(sheet, frame))
    title = document_title(layout)
    return Document(
        pages=tuple(pages),
        title=_title(jobs, title),
        author=layout.header.firm,
        subject=title,
        language=layout.language,
        form_fields=layout.form_fields,
    )


def _title(jobs: Sequence[JobData], title: str) -> str:
    if len(jobs) != 1:
        return title
    job = jobs[0].plan.job
    return " · ".join(part for part in (title, job.number, job.title) if part)


def _sheet(
    job: JobData,
    layout: Layout,
    words: Words,
    frame: Frame,
    paper: Paper,
    scale: float | None,
    number: int,
) -> Sheet:
    require_glyphs(job.plan, f"plan {job.plan.job.number}")
    require_glyphs(layout, "layout")
    return Sheet(
        job=job,
        words=words,
        measure=Measure(job.plan.units, words),
        layout=layout,
        width_mm=frame.width_mm,
        height_mm=frame.height_mm,
        inch_paper=paper.inch,
        scale=scale,
        field=f"j{number}-{re.sub(r'[^A-Za-z0-9-]+', '-', job.plan.job.number)}",
    )


def _job_pages(sheet: Sheet, frame: Frame) -> Sequence[Page]:
    pieces = tuple(piece for use in sheet.layout.blocks for piece in _block(sheet, use))
    placed = flow(pieces, frame.height_mm)
    return [
        _page(sheet, frame, content, number, len(placed))
        for number, content in enumerate(placed, 1)
    ]


def _block(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    pieces = of_block(BLOCKS[use.block].build(sheet, use), use.block)
    if use.together and height_of(pieces) <= sheet.height_mm:
        pieces = held_together(pieces)
    return on_new_page(pieces) if use.new_page else pieces


def _page(sheet: Sheet, frame: Frame, content: PlacedPage, number: int, count: int) -> Page:
    items: list[Primitive] = [*header_items(frame, _header(sheet))]
    marks: list[Mark] = []
    if frame.draft:
        items.extend(band_items(frame, sheet.words("draft")))
    for placed in content:
        top = frame.top_mm + placed.y_mm
        items.extend(shifted(item, frame.left_mm, top) for item in placed.piece.items)
        marks.extend(replace(mark, y_mm=mark.y_mm + top) for mark in placed.piece.marks)
    items.extend(title_block_items(frame, _title_block(sheet, number, count, frame.draft)))
    return Page(frame.page_width_mm, frame.page_height_mm, tuple(items), tuple(marks))


def _header(sheet: Sheet) -> Header:
    job = sheet.job.plan.job
    own = sheet.layout.header
    line = sheet.words("block.header-job", number=job.number, revision=job.revision)
    logo = read_logo(own.logo) if own.logo else None
    return Header(own.firm, document_title(sheet.layout), line, logo)


def _title_block(sheet: Sheet, page: int, pages: int, draft: bool) -> TitleBlock:
    from renderer.plan import short_code

    words, job = sheet.words, sheet.job.plan.job
    state = words("block.state-draft" if draft else "block.state-issue")
    upper = (
        (Entry(words("block.number"), job.number), 38.0),
        (Entry(words("block.title"), job.title), 74.0),
        (Entry(words("block.revision"), job.revision), 20.0),
        (Entry(words("block.page"), words("block.page-of", page=page, pages=pages)), 29.0),
    )
    lower = (
        (Entry(words("block.document"), document_title(sheet.layout)), 52.0),
        (Entry(words("block.date"), sheet.measure.short_day(job.planned_for)), 45.0),
        (Entry(words("block.code"), short_code(sheet.job.digest)), 35.0),
        (Entry(words("block.state"), state), 29.0),
    )
    return TitleBlock(upper, lower, job_code(job.number, job.revision, sheet.job.digest))
