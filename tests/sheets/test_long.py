"""A long document finishes its pages as they are written, and says what a short one would."""

from __future__ import annotations

import gc
import os
import tracemalloc
from collections.abc import Callable, Iterator
from importlib import import_module
from pathlib import Path

import pytest

from renderer import load
from renderer.job import Job
from renderer.output.pdf import write_pdf, write_pdf_to
from renderer.primitives import Document
from renderer.sheets import compose, load_layout
from tests.plans import ROOT
from tests.shared import job_of

InSheets = Callable[[float], Document]


@pytest.fixture(scope="module")
def job() -> Job:
    return job_of(load(ROOT / "demo/quarry-lane.plan.yaml"))


@pytest.fixture
def in_sheets(job: Job, tmp_path: Path) -> InSheets:
    """The plan block of a garden on its own, at a scale."""
    path = tmp_path / "plan.yaml"
    path.write_text("layout: 1\ndocument: Plan\nblocks: [plan]\n")
    layout = load_layout(path)

    def composed(scale: float) -> Document:
        return compose([job], layout, scale=scale)

    return composed


@pytest.fixture
def soon_long(monkeypatch: pytest.MonkeyPatch) -> None:
    """A few pages and drawings count as many already."""
    monkeypatch.setattr(import_module("renderer.sheets.compose"), "LONG", 8)
    for room in ("renderer.drawing.waiting", "renderer.sheets.piece"):
        monkeypatch.setattr(import_module(room), "HELD", 4)


def test_a_long_document_has_the_bytes_of_one_held_whole(
    in_sheets: InSheets, request: pytest.FixtureRequest
) -> None:
    whole = in_sheets(30.0)
    assert isinstance(whole.pages, tuple) and len(whole.pages) > 8
    request.getfixturevalue("soon_long")
    later = in_sheets(30.0)
    assert not isinstance(later.pages, tuple)
    assert tuple(later.pages) == whole.pages
    assert tuple(later.pages[2:5]) == whole.pages[2:5] and later.pages[-1] == whole.pages[-1]
    assert write_pdf(later) == write_pdf(whole)


@pytest.fixture
def swept_often() -> Iterator[None]:
    """What is held counts, not what waits for the collector, which the tests let run seldom.

    It puts off a whole sweep by how much a process holds, so what other tests left is not counted.
    """
    seldom = gc.get_threshold()
    gc.collect()
    gc.freeze()
    gc.collect()
    gc.set_threshold(700, 10, 10)
    yield
    gc.set_threshold(*seldom)
    gc.unfreeze()


def test_memory_does_not_grow_with_the_sheets_of_a_plan(
    in_sheets: InSheets, soon_long: None, swept_often: None
) -> None:
    """The same garden on some sheets and on twice as many, which show the same things larger."""
    peaks, pages = [], []
    in_sheets(30.0)  # what is read and worked out once is not counted
    for scale in (17.5, 10.0):
        tracemalloc.start()
        document = in_sheets(scale)
        with open(os.devnull, "wb") as file:
            write_pdf_to(file, document)
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
        pages.append(len(document.pages))
    assert pages[1] > 1.8 * pages[0]
    assert peaks[1] < 1.25 * peaks[0]
