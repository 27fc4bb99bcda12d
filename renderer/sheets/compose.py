"""From jobs and a layout to a finished document."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from renderer.drawing.paper import USUAL
from renderer.primitives import Document, LatePages, Page
from renderer.sheets.blocks import BLOCKS
from renderer.sheets.flow import PlacedPage
from renderer.sheets.frame import Frame
from renderer.sheets.layout import Layout, document_title
from renderer.sheets.pages import (
    Numbers,
    blank_sheet,
    body_of,
    footed,
    frame_of,
    job_block,
    placed_pages,
    sheet_of,
)
from renderer.sheets.sheet import Sheet
from renderer.teaching.anonymous import anonymous_jobs

if TYPE_CHECKING:
    from renderer.compare import Difference
    from renderer.fault import Asked
    from renderer.job import Job
    from renderer.progress import Progress

LONG = 64  # pages from which on a document is not held whole


def compose(
    jobs: Sequence[Job],
    layout: Layout,
    *,
    paper: str | None = None,
    scale: float | None = None,
    draft: bool = False,
    progress: Progress | None = None,
    older: Job | None = None,
    asked: Asked | None = None,
) -> Document:
    """The document of a layout over one or several jobs, pages counted by job.

    Without jobs, the layout as an empty form, if its blocks can be printed without a plan.

    ``paper`` is a paper's name, the layout's own when left out, or the usual one of the first
    plan's units; ``scale`` the N of 1:N for the plan.
    ``draft`` puts a mark on every page. A layout that tells what has changed compares each job with
    ``older``; when left out, with the job as planned, or as it was before its last record. One for
    a fault tells of what was ``asked``; when left out, of an open wire.
    Raises SheetError where a block does not fit or a word is missing, DrawError for a paper or
    scale that cannot be, MissingGlyph where a plan or layout uses a character that the faces lack.
    """
    shown = anonymous_jobs(jobs, layout.language) if layout.anonymous else jobs
    changes = [_changes(layout, job, older) for job in shown]
    jobs = [job.near for job in shown]
    units = jobs[0].plan.units if jobs else "m"
    frame, lying = frame_of(paper or layout.paper or USUAL[units], draft)
    pages = _Pages(frame)
    if not jobs:
        pages.add(blank_sheet(layout, frame, lying))
    for number, job in enumerate(jobs, 1):
        found = changes[number - 1]
        pages.add(sheet_of(job, layout, frame, lying, scale, number, found, asked))
        if progress:
            progress(number, len(jobs))
    title = document_title(layout)
    return Document(
        pages=tuple(pages) if len(pages) < LONG else pages,
        title=_title(jobs, title),
        author=layout.header.firm,
        subject=title,
        language=layout.language,
        form_fields=layout.form_fields,
    )


def _changes(layout: Layout, job: Job, older: Job | None) -> Difference | None:
    """What has changed up to the job, near zero, where the layout tells it."""
    since = {BLOCKS[use.block].since for use in layout.uses} - {""}
    if not since:
        return None
    from renderer.compare import before_last, compare, together

    if older is None:
        older = before_last(job) if "record" in since else job.as_planned
    return compare(*together(older, job))


def _title(jobs: Sequence[Job], title: str) -> str:
    if len(jobs) != 1:
        return title
    job = jobs[0].plan.job
    return " · ".join(part for part in (title, job.number, job.title) if part)


class _Pages(LatePages):
    """The pages of one job after the other."""

    def __init__(self, frame: Frame) -> None:
        self._frame = frame
        self._placed: list[tuple[Sheet, PlacedPage, Numbers]] = []

    def add(self, sheet: Sheet) -> None:
        """Appends the pages of a job."""
        placed = placed_pages(sheet, sheet.layout.blocks, self._frame)
        sheet.forget()
        self._placed += [
            (sheet, content, Numbers(number, len(placed)))
            for number, content in enumerate(placed, 1)
        ]

    def __len__(self) -> int:
        return len(self._placed)

    def page_at(self, index: int) -> Page:
        sheet, content, numbers = self._placed[index]
        body = body_of(sheet, self._frame, content)
        return footed(self._frame, body, job_block(sheet, numbers, self._frame.draft))
