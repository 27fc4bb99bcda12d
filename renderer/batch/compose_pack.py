"""From a day's jobs and a layout to one document: pages of the pack first, then each job's."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from renderer.batch.spill import Spill, raw
from renderer.drawing.paper import USUAL
from renderer.language import Words, load_words
from renderer.packed import packed, unpacked
from renderer.primitives import Document, LatePages, Mark, Page
from renderer.sheets.code import job_code
from renderer.sheets.errors import no_pack
from renderer.sheets.frame import Frame, TitleBlock, TitleCell, band_items
from renderer.sheets.kit import Entry
from renderer.sheets.layout import Layout, document_title
from renderer.sheets.pack_words import crew_of, date_of, day_line
from renderer.sheets.pages import (
    Numbers,
    body_of,
    footed,
    frame_of,
    job_block,
    placed_pages,
    prefix_of,
    sheet_of,
)
from renderer.sheets.sheet import Sheet
from renderer.sheets.type import SMALL
from renderer.text import require_all

if TYPE_CHECKING:
    from renderer.job.pack import PackData
    from renderer.progress import Mapped, Progress

PREFIX = "pack"
BLANK = -1


@dataclass(frozen=True, slots=True)
class Leaf:
    """A page's place: its job, from 0, and its number in it, from 1, of so many."""

    job: int
    number: int = 0
    count: int = 0


class PackPages(LatePages):
    """The pages of a pack, each finished when it is asked for."""

    def __init__(
        self,
        front: Sequence[Page],
        leaves: Sequence[Leaf],
        bodies: Spill[Page],
        finish: Callable[[Page, Leaf, int], Page],
    ) -> None:
        self._front = front
        self._leaves = leaves
        self._bodies = bodies
        self._finish = finish

    def __len__(self) -> int:
        return len(self._front) + len(self._bodies)

    def page_at(self, index: int) -> Page:
        if index < len(self._front):
            return self._front[index]
        own = index - len(self._front)
        return self._finish(self._bodies[own], self._leaves[own], index + 1)


def compose_pack(
    pack: PackData,
    layout: Layout,
    *,
    paper: str | None = None,
    scale: float | None = None,
    draft: bool = False,
    progress: Progress | None = None,
    mapped: Mapped = map,
) -> Document:
    """The document of a pack: the layout's ``front`` once, then ``each`` layout for each job.

    Pages count by job and through the pack. Where the layout is for two-sided printing an empty
    page is put before a job that would begin on the back of a sheet. ``mapped`` makes the pages of
    each job. ``paper`` and ``scale`` are as for ``compose``, and so is what it raises.
    """
    each = layout.each
    if each is None:
        raise no_pack(layout.document)
    units = pack.jobs[0].plan.units
    frame, lying = frame_of(paper or layout.paper or USUAL[units], draft)
    header = layout.header if layout.header.is_stated else each.header
    layout, own = (part.model_copy(update={"header": header}) for part in (layout, each))
    job_sheet = partial(sheet_of, layout=own, frame=frame, paper=lying, scale=scale)
    prefixes = tuple(prefix_of(told.job.number, n) for n, told in enumerate(pack.told, 1))
    named = replace(pack, prefixes=prefixes)
    front = _front_sheet(job_sheet(pack.jobs[0], number=1), layout, named)
    taken = len(placed_pages(front, layout.front, frame)) if layout.front else 0
    made = mapped(partial(_job_pages, job_sheet, frame), enumerate(raw(pack.jobs), 1))
    empty = _empty(load_words(own.language), frame) if layout.two_sided else None
    leaves, bodies = _bodies(_told(made, len(prefixes), progress), empty, taken)
    starts = tuple(taken + at for at, leaf in enumerate(leaves, 1) if leaf.number == 1)
    total = taken + len(bodies)
    first = _front_pages(replace(front, pack=replace(named, starts=starts)), frame, total)
    sheets = _Latest(lambda job: job_sheet(pack.jobs[job], number=job + 1))

    def finish(body: Page, leaf: Leaf, number: int) -> Page:
        if leaf.job == BLANK:
            return body
        numbers = Numbers(leaf.number, leaf.count, number, total, pack.digest)
        return footed(frame, body, job_block(sheets(leaf.job), numbers, draft))

    title = document_title(layout)
    return Document(
        pages=PackPages(first, leaves, bodies, finish),
        title=" · ".join(part for part in (title, day_line(front)) if part),
        author=layout.header.firm,
        subject=title,
        language=layout.language,
        form_fields=layout.form_fields,
    )


def _front_sheet(like: Sheet, layout: Layout, pack: PackData) -> Sheet:
    require_all(layout.model_dump(), "layout")
    if pack.day is not None:
        require_all(pack.day.model_dump(), "day")
    words = load_words(layout.language)
    units = pack.day.units if pack.day else like.measure.units
    measure = replace(like.measure, units=units, words=words)
    return replace(like, layout=layout, words=words, measure=measure, field=PREFIX, pack=pack)


def _job_pages(
    job_sheet: Callable[..., Sheet], frame: Frame, job: tuple[int, bytes]
) -> tuple[bytes, ...]:
    """The pages of one packed job without their title blocks, each packed."""
    sheet = job_sheet(unpacked(job[1]), number=job[0])
    placed = placed_pages(sheet, sheet.layout.blocks, frame)
    pages = [body_of(sheet, frame, content) for content in placed]
    pages[:1] = [_begun(sheet, page) for page in pages[:1]]
    return tuple(packed(page) for page in pages)


def _told(
    made: Iterable[tuple[bytes, ...]], jobs: int, progress: Progress | None
) -> Iterator[tuple[bytes, ...]]:
    """The same; printing is the second half of the work."""
    for number, pages in enumerate(made, 1):
        yield pages
        if progress:
            progress(jobs + number, 2 * jobs)


def _bodies(
    made: Iterable[tuple[bytes, ...]], empty: Page | None, taken: int
) -> tuple[Sequence[Leaf], Spill[Page]]:
    """The pages of all jobs in order, with an empty one where a sheet has to be filled up."""
    leaves: list[Leaf] = []
    bodies: Spill[Page] = Spill()
    for job, pages in enumerate(made):
        if empty is not None and (taken + len(leaves)) % 2:
            bodies.add(packed(empty))
            leaves.append(Leaf(BLANK))
        for number, page in enumerate(pages, 1):
            bodies.add(page)
            leaves.append(Leaf(job, number, len(pages)))
    return leaves, bodies


class _Latest:
    """The sheet of a job, made once for all pages of it that follow each other."""

    def __init__(self, make: Callable[[int], Sheet]) -> None:
        self._make = make
        self._job = BLANK
        self._sheet: Sheet | None = None

    def __call__(self, job: int) -> Sheet:
        if self._sheet is None or job != self._job:
            self._job, self._sheet = job, self._make(job)
        return self._sheet


def _begun(sheet: Sheet, page: Page) -> Page:
    """The first page of a job, with the place that links lead to and a bookmark of the job."""
    job = sheet.job.plan.job
    title = None
    if not any(mark.title and mark.level == 0 for mark in page.marks):
        title = " ".join(part for part in (job.number, job.title) if part)
    return replace(page, marks=(Mark(sheet.anchor("start"), 0.0, title), *page.marks))


def _empty(words: Words, frame: Frame) -> Page:
    middle = frame.page_width_mm / 2, frame.page_height_mm / 2
    line = SMALL.line(words("pack.empty"), middle[0], middle[1], "middle")
    band = band_items(frame, words("draft")) if frame.draft else ()
    items = (*band, replace(line, role="empty"))
    return Page(frame.page_width_mm, frame.page_height_mm, items)


def _front_pages(sheet: Sheet, frame: Frame, total: int) -> tuple[Page, ...]:
    if not sheet.layout.front:
        return ()
    placed = placed_pages(sheet, sheet.layout.front, frame)
    pages = []
    for number, content in enumerate(placed, 1):
        page = body_of(sheet, frame, content)
        pages.append(footed(frame, page, _block(sheet, number, len(placed), total, frame.draft)))
    return tuple(pages)


def _block(sheet: Sheet, number: int, count: int, total: int, draft: bool) -> TitleBlock:
    from renderer.plan import short_code

    words, pack = sheet.words, sheet.pack
    digest = pack.digest if pack else sheet.job.digest
    state = words("block.state-draft" if draft else "pack.state")
    jobs = words.count("pack.jobs", len(pack.told) if pack else 1)
    page = words("pack.page-of", page=number, pages=count, at=number, total=total)
    cells = (
        TitleCell(Entry(words("pack.crew"), crew_of(sheet)), 1.0),
        TitleCell(Entry(words("block.title"), jobs), 1.0),
        TitleCell(Entry(state, document_title(sheet.layout)), 0.2),
        TitleCell(Entry(words("block.date"), sheet.measure.short_day(date_of(sheet)))),
        TitleCell(Entry(words("pack.code"), short_code(digest))),
        TitleCell(Entry(words("pack.page"), page)),
    )
    return TitleBlock(cells, job_code(words("pack.of-code"), "-", digest))
