"""From a day's jobs and a layout to one document: pages of the pack first, then each job's."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, overload

from renderer.language import load_words
from renderer.primitives import Document, Mark, Page
from renderer.sheets.code import job_code
from renderer.sheets.errors import no_pack
from renderer.sheets.frame import Frame, TitleBlock
from renderer.sheets.glyphs import require_glyphs
from renderer.sheets.kit import Entry
from renderer.sheets.layout import Layout, document_title
from renderer.sheets.pack_words import crew_of, date_of, day_line
from renderer.sheets.pages import (
    Numbers,
    body_of,
    footed,
    frame_of,
    header_of,
    job_block,
    placed_pages,
    sheet_of,
)
from renderer.sheets.sheet import Sheet
from renderer.sheets.spill import Spill
from renderer.sheets.type import SMALL

if TYPE_CHECKING:
    from renderer.sheets.pack import PackData, Progress

PREFIX = "pack"
BLANK = -1


@dataclass(frozen=True, slots=True)
class Body:
    """A page of a job without its title block, and its place in the job; ``job`` from 0."""

    page: Page
    job: int
    number: int = 0
    count: int = 0


class PackPages(Sequence[Page]):
    """The pages of a pack, each finished when it is asked for."""

    def __init__(
        self, front: Sequence[Page], bodies: Spill[Body], finish: Callable[[Body, int], Page]
    ) -> None:
        self._front = front
        self._bodies = bodies
        self._finish = finish

    def __len__(self) -> int:
        return len(self._front) + len(self._bodies)

    @overload
    def __getitem__(self, index: int) -> Page: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Page]: ...
    def __getitem__(self, index: int | slice) -> Page | Sequence[Page]:
        if isinstance(index, slice):
            return [self[each] for each in range(*index.indices(len(self)))]
        place = index + len(self) if index < 0 else index
        if place < len(self._front):
            return self._front[place]
        return self._finish(self._bodies[place - len(self._front)], place + 1)


def compose_pack(
    pack: PackData,
    layout: Layout,
    *,
    paper: str | None = None,
    scale: float | None = None,
    draft: bool = False,
    progress: Progress | None = None,
) -> Document:
    """The document of a pack: the layout's ``front`` once, then ``each`` layout for each job.

    Pages count by job and through the pack. Where the layout is for two-sided printing an empty
    page stands before a job that would begin on the back of a leaf. ``paper`` and ``scale`` are
    as for ``compose``, and so is what it raises.
    """
    each = layout.each
    if each is None:
        raise no_pack(layout.document)
    frame, lying = frame_of(paper or layout.paper, draft)
    header = layout.header if layout.header.is_stated else each.header
    layout, own = (part.model_copy(update={"header": header}) for part in (layout, each))
    sheets = [
        sheet_of(job, own, frame, lying, scale, number) for number, job in enumerate(pack.jobs, 1)
    ]
    named = replace(pack, prefixes=tuple(sheet.field for sheet in sheets))
    front = _front_sheet(sheets[0], layout, named)
    taken = len(placed_pages(front, layout.front, frame)) if layout.front else 0
    bodies = Spill(_bodies(sheets, frame, layout, taken, progress))
    starts = tuple(
        taken + index + 1
        for index, body in enumerate(bodies)
        if body.job != BLANK and body.number == 1
    )
    total = taken + len(bodies)
    known = replace(front, pack=replace(named, starts=starts))
    first = _front_pages(known, frame, total)

    def finish(body: Body, number: int) -> Page:
        if body.job == BLANK:
            return body.page
        numbers = Numbers(body.number, body.count, number, total, pack.digest)
        return footed(frame, body.page, job_block(sheets[body.job], numbers, draft))

    title = document_title(layout)
    return Document(
        pages=PackPages(first, bodies, finish),
        title=" · ".join(part for part in (title, day_line(known)) if part),
        author=layout.header.firm,
        subject=title,
        language=layout.language,
        form_fields=layout.form_fields,
    )


def _front_sheet(like: Sheet, layout: Layout, pack: PackData) -> Sheet:
    require_glyphs(layout, "layout")
    if pack.day is not None:
        require_glyphs(pack.day, "day")
    words = load_words(layout.language)
    units = pack.day.units if pack.day else like.measure.units
    measure = replace(like.measure, units=units, words=words)
    return replace(like, layout=layout, words=words, measure=measure, field=PREFIX, pack=pack)


def _bodies(
    sheets: Sequence[Sheet], frame: Frame, layout: Layout, taken: int, progress: Progress | None
) -> Iterator[Body]:
    """The pages of all jobs in order, with empty ones where a leaf has to be filled up."""
    done = taken
    for job, sheet in enumerate(sheets):
        if layout.two_sided and done % 2:
            yield Body(_empty(sheet, frame), BLANK)
            done += 1
        placed = placed_pages(sheet, sheet.layout.blocks, frame)
        for number, content in enumerate(placed, 1):
            page = body_of(sheet, frame, content)
            yield Body(_begun(sheet, page) if number == 1 else page, job, number, len(placed))
        done += len(placed)
        if progress:
            progress(len(sheets) + job + 1, 2 * len(sheets))


def _begun(sheet: Sheet, page: Page) -> Page:
    """The first page of a job, with the place that links lead to and a bookmark of the job."""
    job = sheet.job.plan.job
    title = None
    if not any(mark.title and mark.level == 0 for mark in page.marks):
        title = " ".join(part for part in (job.number, job.title) if part)
    return replace(page, marks=(Mark(sheet.anchor("start"), 0.0, title), *page.marks))


def _empty(sheet: Sheet, frame: Frame) -> Page:
    middle = frame.page_width_mm / 2, frame.page_height_mm / 2
    line = SMALL.line(sheet.words("pack.empty"), middle[0], middle[1], "middle")
    return Page(frame.page_width_mm, frame.page_height_mm, (replace(line, role="empty"),))


def _front_pages(sheet: Sheet, frame: Frame, total: int) -> tuple[Page, ...]:
    if not sheet.layout.front:
        return ()
    placed = placed_pages(sheet, sheet.layout.front, frame)
    header = header_of(sheet, day_line(sheet))
    pages = []
    for number, content in enumerate(placed, 1):
        page = body_of(sheet, frame, content, header)
        pages.append(footed(frame, page, _block(sheet, number, len(placed), total, frame.draft)))
    return tuple(pages)


def _block(sheet: Sheet, number: int, count: int, total: int, draft: bool) -> TitleBlock:
    from renderer.plan import short_code

    words, pack = sheet.words, sheet.pack
    digest = pack.digest if pack else sheet.job.digest
    state = words("block.state-draft" if draft else "pack.state")
    jobs = words.count("pack.jobs", len(pack.jobs) if pack else 1)
    page = words("pack.page-of", page=number, pages=count, at=number, total=total)
    upper = (
        (Entry(words("pack.crew"), crew_of(sheet)), 44.0),
        (Entry(words("block.title"), jobs), 56.0),
        (Entry(words("pack.page"), page), 61.0),
    )
    lower = (
        (Entry(words("block.document"), document_title(sheet.layout)), 52.0),
        (Entry(words("block.date"), sheet.measure.short_day(date_of(sheet))), 45.0),
        (Entry(words("pack.code"), short_code(digest)), 35.0),
        (Entry(words("block.state"), state), 29.0),
    )
    return TitleBlock(upper, lower, job_code(words("pack.of-code"), "-", digest))
