"""Jobs and documents for the tests of the sheets."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

from renderer.job import Job
from renderer.output.recorder import Drawn, touch
from renderer.plan import load, loads
from renderer.primitives import Document
from renderer.sheets import load_layout
from renderer.sheets.frame import Frame
from tests.shared import compose, job_of, lay_plan, record

SMALL = """
plan: 1
units: {units}
job:
  number: ZZ-77
  title: Back garden
  revision: C
  planned_for: 2026-06-09
  crew: Van 9
  site: [1 Nowhere Lane, Nulltown]
  access: Key under the third pot
  customer: {{name: Quentin Private, phone: "555 0123"}}
  notes: [Bring the long tapes]
machine:
  label: Sample machine
  setback: {{wall: 0.3 m, bed: 0.3 m}}
  passage_min: 1 m
  loop_max: 400 m
  tail: 0.3 m
  peg_spacing: {{first: 3 m, final: 0.75 m}}
  peg_sag: 0.02 m
lawns:
  - name: Back
    outline: [[0 m, 0 m, wall], [16 m, 0 m, wall], [16 m, 9 m, bed], [0 m, 9 m, wall]]
obstacles:
  - {{name: Roses, kind: bed, circle: {{at: [8 m, 5 m], radius: 1 m}}}}
loops:
  - {{dock: {{at: [4 m, 0.3 m]}}, supply: {{at: [4 m, -1 m], lead: 3 m}}}}
wire: {{conductor_mm2: 0.75, spools: [40 m, 60 m]}}
"""


@lru_cache
def job(units: str = "m") -> Job:
    """A small garden with one island and one splice."""
    plan = loads(SMALL.format(units=units), "small.plan.yaml")
    return Job.known(plan, lay_plan(plan), ())


@lru_cache
def work_order(paper: str = "A4", units: str = "m", draft: bool = False) -> Document:
    """The crew work order of the small garden."""
    return compose([job(units)], load_layout("crew-work-order"), paper=paper, draft=draft)


@lru_cache
def printed(path: Path, paper: str) -> Document:
    """The crew work order of a plan file."""
    return compose([job_of(load(path))], load_layout("crew-work-order"), paper=paper)


def drawn(document: Document) -> tuple[Drawn, ...]:
    """Everything on the pages, with boxes."""
    return record(document)


def texts(document: Document, page: int) -> list[Drawn]:
    """The texts of a page, counted from 1."""
    return [each for each in drawn(document) if each.page == page and each.kind == "text"]


def all_text(document: Document) -> str:
    return "\n".join(each.text for each in drawn(document) if each.kind == "text")


def assert_apart_and_framed(document: Document) -> None:
    """No text touches another; all stand in the page's frame."""
    for number, page in enumerate(document.pages, 1):
        found = texts(document, number)
        assert [(a.text, b.text) for a, b in overlaps(found, 0.05) if touch(a, b)] == []
        frame = Frame(page.width_mm, page.height_mm)
        for each in found:
            left, top, right, low = each.box
            assert frame.left_mm - 0.8 <= left <= right <= frame.left_mm + frame.width_mm + 0.5
            assert top >= frame.top_mm - 0.5
            assert low <= page.height_mm - 9.5


def overlaps(found: list[Drawn], by_mm: float) -> Iterator[tuple[Drawn, Drawn]]:
    """Pairs of upright boxes that share more than ``by_mm`` in both directions."""
    ordered = sorted(found, key=lambda each: each.box[1])
    for number, one in enumerate(ordered):
        for other in ordered[number + 1 :]:
            if other.box[1] >= one.box[3] - by_mm:
                break
            across = min(one.box[2], other.box[2]) - max(one.box[0], other.box[0])
            if across > by_mm:
                yield one, other
