"""Finished pages of one job: flowed content, draft band, title block at the foot."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import chain
from typing import TYPE_CHECKING

from renderer.frozen import dataclass
from renderer.language import Words, load_words
from renderer.primitives import Mark, Page, Primitive, shifted
from renderer.progress import doing
from renderer.sheets.blocks import BLOCKS
from renderer.sheets.code import job_code
from renderer.sheets.draft_notice import notice_mm, noticed
from renderer.sheets.flow import PlacedPage, flow
from renderer.sheets.frame import (
    HEADER_GAP_MM,
    Frame,
    TitleBlock,
    TitleCell,
    band_items,
    header,
    title_block_items,
)
from renderer.sheets.kit import Entry
from renderer.sheets.layout import ColumnsUse, Layout, document_title
from renderer.sheets.logo import read_logo
from renderer.sheets.measure import Measure
from renderer.sheets.piece import (
    Columns,
    Flowing,
    Piece,
    height_of,
    held_together,
    of_block,
    on_new_page,
)
from renderer.sheets.sheet import Sheet
from renderer.sheets.use import BlockUse
from renderer.text import require_all

if TYPE_CHECKING:
    from renderer.compare import Difference
    from renderer.drawing.paper import Paper
    from renderer.fault import Asked
    from renderer.job import Job


COLUMN_GAP_MM = 6.0
ROWS_KEPT = 8  # to write in, the least that more room for a block leaves


@dataclass(frozen=True, slots=True)
class Numbers:
    """A page's number in its job and, in a pack, the page's and the pack's own; 0 outside one."""

    page: int
    pages: int
    at: int = 0
    total: int = 0
    pack_digest: str = ""


def frame_of(paper: str, draft: bool) -> tuple[Frame, Paper]:
    """The frame of the pages on a paper, standing unless its name says otherwise."""
    from renderer.drawing.paper import papers

    lying = papers(paper)[0]
    return Frame(lying.width_mm, lying.height_mm, draft), lying


def sheet_of(
    job: Job,
    layout: Layout,
    frame: Frame,
    paper: Paper,
    scale: float | None,
    number: int,
    changes: Difference | None = None,
    asked: Asked | None = None,
) -> Sheet:
    """A job on paper; ``number`` counts the jobs of the document from 1."""
    require_all(job.plan.model_dump(), f"plan {job.plan.job.number}")
    require_all(layout.model_dump(), "layout")
    words = load_words(layout.language)
    return Sheet(
        known=job,
        words=words,
        measure=Measure(job.plan.units, words),
        layout=layout,
        width_mm=frame.width_mm,
        height_mm=frame.height_mm - _top_mm(layout, words, frame.width_mm),
        inch_paper=paper.inch,
        scale=scale,
        field=prefix_of(job.plan.job.number, number),
        changes=changes,
        asked=asked,
    )


def _top_mm(layout: Layout, words: Words, width_mm: float) -> float:
    """What stands above the first block of a document: the firm, the notice on a draft language."""
    own = _firm(layout, width_mm)
    notice = notice_mm(words, width_mm, layout)
    return notice + (own.height_mm + HEADER_GAP_MM if own else 0.0)


def _firm(layout: Layout, width_mm: float) -> Piece | None:
    own = layout.header
    return header(own.firm, read_logo(own.logo) if own.logo else None, width_mm)


def prefix_of(job: str, number: int) -> str:
    """What the names of a job's anchors and fields begin with; ``number`` counts jobs from 1."""
    return f"j{number}-{re.sub(r'[^A-Za-z0-9-]+', '-', job)}"


def blank_sheet(layout: Layout, frame: Frame, paper: Paper) -> Sheet:
    """A form without a job, in the usual units of its paper."""
    require_all(layout.model_dump(), "layout")
    words = load_words(layout.language)
    return Sheet(
        known=None,
        words=words,
        measure=Measure("ft" if paper.inch else "m", words),
        layout=layout,
        width_mm=frame.width_mm,
        height_mm=frame.height_mm - _top_mm(layout, words, frame.width_mm),
        inch_paper=paper.inch,
        field="form",
    )


def placed_pages(sheet: Sheet, blocks: Sequence[BlockUse], frame: Frame) -> tuple[PlacedPage, ...]:
    """The blocks built and flowed over pages."""
    built: list[tuple[Flowing, ...]] = []
    with doing("block") as at:
        for number, use in enumerate(blocks, 1):
            at(number, len(blocks))
            built.append(_flowing(sheet, use))
    found = flowed(sheet, tuple(chain(*built)), frame)
    tight, found = _tighter(sheet, blocks, built, found, frame)
    return _roomier(sheet, blocks, built, found, frame, tight)


def _tighter(
    sheet: Sheet,
    blocks: Sequence[BlockUse],
    built: list[tuple[Flowing, ...]],
    found: tuple[PlacedPage, ...],
    frame: Frame,
) -> tuple[int | None, tuple[PlacedPage, ...]]:
    """The block that saves a page in less room, which is put into ``built``; and the pages."""
    over_mm = _over_mm(found, frame)
    for number, use in enumerate(blocks):
        may_save = isinstance(use, BlockUse) and len(found) > 1
        if not may_save or over_mm > use.gives * frame.height_mm:
            continue
        for less in use.tighter():
            tried = _flowing(sheet, less)
            pages = flowed(sheet, _with(built, number, tried), frame)
            if len(pages) < len(found):
                built[number] = tried
                return number, pages
    return None, found


def _roomier(
    sheet: Sheet,
    blocks: Sequence[BlockUse],
    built: list[tuple[Flowing, ...]],
    found: tuple[PlacedPage, ...],
    frame: Frame,
    tight: int | None,
) -> tuple[PlacedPage, ...]:
    """The pages with blocks in more room, where that costs no page and leaves rows to write in.

    Not for the block that is ``tight`` to save a page.
    """
    least = min(_spare_rows(found), ROWS_KEPT)
    for number, use in enumerate(blocks):
        if number == tight or not isinstance(use, BlockUse):
            continue
        for more in use.roomier():
            tried = _flowing(sheet, more)
            pages = flowed(sheet, _with(built, number, tried), frame)
            if len(pages) <= len(found) and _spare_rows(pages) >= least:
                built[number], found = tried, pages
                break
    return found


def _with(
    built: Sequence[tuple[Flowing, ...]], number: int, other: tuple[Flowing, ...]
) -> tuple[Flowing, ...]:
    """The pieces of all blocks, for one of them others."""
    return tuple(chain(*built[:number], other, *built[number + 1 :]))


def _over_mm(pages: Sequence[PlacedPage], frame: Frame) -> float:
    """How much less all has to take, at the least, to stand on one page less."""
    taken = 0.0
    for page in pages:
        low = 0.0
        for placed in sorted(page, key=lambda each: each.y_mm):  # some stand beside each other
            end = placed.y_mm + placed.piece.height_mm
            if not placed.piece.spare and end > low:
                taken += end - max(low, placed.y_mm)
                low = end
    return taken - (len(pages) - 1) * frame.height_mm


def flowed(sheet: Sheet, pieces: tuple[Flowing, ...], frame: Frame) -> tuple[PlacedPage, ...]:
    """The pieces of a document over pages, under the firm and the notice on a draft language."""
    ready = _headed(sheet, noticed(sheet, pieces))
    moved, staying = flow(ready, frame.height_mm), _with_rows_last(ready)
    if staying == ready:
        return moved
    return min(flow(staying, frame.height_mm), moved, key=_pages_and_rows)


def _pages_and_rows(pages: tuple[PlacedPage, ...]) -> tuple[int, int]:
    """How many pages there are, and how few rows that are there only where there is room."""
    return len(pages), -_spare_rows(pages)


def _spare_rows(pages: Sequence[PlacedPage]) -> int:
    """How many rows there are only because there is room for them."""
    return sum(placed.piece.spare for page in pages for placed in page)


def _with_rows_last(pieces: tuple[Flowing, ...]) -> tuple[Flowing, ...]:
    """The pieces, of which no block of spare rows moves forward."""
    spare = {piece.block for piece in pieces if isinstance(piece, Piece) and piece.spare}
    return tuple(
        replace(piece, fills=False) if isinstance(piece, Piece) and piece.block in spare else piece
        for piece in pieces
    )


def _flowing(sheet: Sheet, use: BlockUse) -> tuple[Flowing, ...]:
    if not isinstance(use, ColumnsUse):
        return _block(sheet, use)
    width = (sheet.width_mm - COLUMN_GAP_MM * (use.columns - 1)) / use.columns
    narrow = sheet.column(width)
    pieces = tuple(piece for each in use.blocks for piece in _block(narrow, each))
    if not pieces:
        return ()
    places = tuple(number * (width + COLUMN_GAP_MM) for number in range(use.columns))
    gap = pieces[0].gap_mm
    return (Columns(pieces, places, gap, use.together, use.new_page, use.fills),)


def _headed(sheet: Sheet, pieces: tuple[Flowing, ...]) -> tuple[Flowing, ...]:
    """The pieces of a document with the firm above the first of them."""
    own = _firm(sheet.layout, sheet.width_mm)
    if own is None or not pieces:
        return pieces
    first = replace(pieces[0], gap_mm=HEADER_GAP_MM, new_page=False)
    return (replace(own, keep=True), first, *pieces[1:])


def _block(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    from renderer.drawing.errors import DrawError

    try:
        pieces = of_block(BLOCKS[use.block].build(sheet, use), use.block)
    except DrawError as error:
        if sheet.known is None:
            raise
        raise DrawError(f"job {sheet.job.plan.job.number}: {error}") from error
    if use.together and height_of(pieces) <= sheet.height_mm:
        pieces = held_together(pieces)
    if use.fills:
        pieces = tuple(replace(piece, fills=True) for piece in pieces)
    return on_new_page(pieces) if use.new_page else pieces


def body_of(sheet: Sheet, frame: Frame, content: PlacedPage) -> Page:
    """A page without its title block."""
    items: list[Primitive] = []
    marks: list[Mark] = []
    if frame.draft:
        items.extend(band_items(frame, sheet.words("draft")))
    for placed in content:
        top = frame.top_mm + placed.y_mm
        left = frame.left_mm + placed.x_mm
        items.extend(shifted(item, left, top) for item in placed.piece.items)
        marks.extend(replace(mark, y_mm=mark.y_mm + top) for mark in placed.piece.marks)
    return Page(frame.page_width_mm, frame.page_height_mm, tuple(items), tuple(marks))


def footed(frame: Frame, body: Page, block: TitleBlock) -> Page:
    """The page with its title block."""
    return replace(body, items=(*body.items, *title_block_items(frame, block)))


def _state(sheet: Sheet) -> str:
    """What the document is for, by its own name where the catalogue says it.

    Of a garden that is built it shows the wire as it lies.
    """
    if sheet.known is not None and sheet.job.is_built and sheet.changes is None:
        return sheet.words("block.state-built")
    key = f"state.{sheet.layout.document}"
    return sheet.words(key if key in sheet.words else "block.state-issue")


def blank_block(sheet: Sheet, numbers: Numbers) -> TitleBlock:
    """The title block of a form without a job: what it is, and cells to fill in."""
    words = sheet.words
    page = words("block.page-of", page=numbers.page, pages=numbers.pages)
    cells = (
        TitleCell(Entry(words("block.number"), ""), 3.0),
        TitleCell(Entry(words("block.title"), ""), 6.0),
        TitleCell(Entry(_state(sheet), document_title(sheet.layout)), 0.5),
        TitleCell(Entry(words("block.date"), ""), 2.0),
        TitleCell(Entry(words("block.page"), page)),
    )
    return TitleBlock(cells, "")


def job_block(sheet: Sheet, numbers: Numbers, draft: bool) -> TitleBlock:
    """The title block of a job's page; in a pack with the pack's page number and code."""
    from renderer.plan import short_code

    if sheet.known is None:
        return blank_block(sheet, numbers)
    words, job = sheet.words, sheet.job.plan.job
    page = Entry(
        words("block.page"), words("block.page-of", page=numbers.page, pages=numbers.pages)
    )
    code = Entry(words("block.code"), short_code(sheet.job.digest))
    if numbers.total:
        text = words(
            "pack.page-of",
            page=numbers.page,
            pages=numbers.pages,
            at=numbers.at,
            total=numbers.total,
        )
        page = Entry(words("pack.page"), text)
        code = Entry(words("pack.codes"), f"{code.text} · {short_code(numbers.pack_digest)}")
    state = words("block.state-draft") if draft else _state(sheet)
    planned = None if sheet.job.is_built else job.planned_for  # the day of the laying is past
    cells = (
        TitleCell(Entry(words("block.number"), job.number)),
        TitleCell(Entry(words("block.title"), job.title), 1.0),
        TitleCell(Entry(words("block.revision"), job.revision)),
        TitleCell(Entry(state, document_title(sheet.layout)), 0.2),
        TitleCell(Entry(words("block.date"), sheet.measure.short_day(planned))),
        TitleCell(code),
        TitleCell(page),
    )
    return TitleBlock(cells, job_code(job.number, job.revision, sheet.job.digest))
