"""How time grows with sides, islands, labels, pages and jobs: fitted exponents."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from io import BytesIO

import renderer
from benchmarks import gardens
from benchmarks.measure import Work, cpu_s, exponent, peak_mb
from benchmarks.rendering import document_of
from benchmarks.table import Table, figure
from renderer.drawing.boxes import PEG, Occupied, disc
from renderer.drawing.kinds import LabelKind
from renderer.drawing.labels import Label, place, text_size
from renderer.drawing.pegs import FAR, SWING
from renderer.drawing.pens import PEG_TEXT
from renderer.drawing.spots import about
from renderer.geometry.rects import Rect
from renderer.output.pdf import write_pdf_to
from renderer.primitives import Document

MM_A_LABEL = 6.5  # as crowded as the plan of a garden
DOT_MM = 0.6
PEAK = """
import os
from benchmarks.growth import {made}
from renderer.output.pdf import write_pdf_to
with open(os.devnull, "wb") as file:
    write_pdf_to(file, {made}({count}))
"""


@dataclass(frozen=True, slots=True)
class Growth:
    """What grows, its sizes, and how a job of one size is made ready; ``peak`` gives its memory."""

    name: str
    sizes: Sequence[int]
    ready: Callable[[int], Work]
    peak: Callable[[int], float] | None = None


def growth(quick: int = 0) -> list[Table]:
    """A row for each thing that grows: sizes, CPU seconds, exponent, memory where it counts.

    ``quick`` is in how many rounds the two small ones are run, all others being left out.
    """
    rows = tuple(_row(each, quick) for each in _all(bool(quick)))
    head = ("growth over", "sizes", "CPU s", "exponent", "peak MB")
    return [Table("Growth", head, rows)]


def _all(quick: bool) -> list[Growth]:
    if quick:
        return [
            Growth("labels placed", (50, 100), _labels),
            Growth("sides laid", (50, 100), lambda sides: _lay(sides, 2)),
        ]
    return [
        Growth("sides laid, 10 islands", (200, 632, 2000, 6325, 20000), lambda n: _lay(n, 10)),
        Growth("islands laid, 400 sides", (10, 30, 100, 250, 500), lambda n: _lay(400, n)),
        Growth("labels placed", (100, 300, 1000, 3000), _labels),
        Growth("pages written", (14, 56, 224, 896), _pages, _peak(pages)),
        Growth("islands of a park printed", (75, 150, 300), _park, _peak(park)),
        Growth("jobs in one pack", (2, 8, 32, 100), _jobs, _peak(jobs)),
    ]


def _row(of: Growth, rounds: int) -> tuple[str, ...]:
    times = []
    for size in of.sizes:
        job = of.ready(size)
        if size == of.sizes[0]:
            job()
        # a short job is run again, for the least of its times is the least disturbed
        first = cpu_s(job)
        times.append(min(first, *(cpu_s(job) for _ in range(rounds or (3 if first < 0.3 else 1)))))
    peaks = [figure(of.peak(size)) for size in of.sizes] if of.peak else ["–"]
    return (
        of.name,
        " ".join(f"{size:,}" for size in of.sizes),
        " ".join(f"{spent:.3g}" for spent in times),
        f"{exponent(of.sizes, times):.2f}",
        " ".join(peaks),
    )


def _lay(sides: int, islands: int) -> Work:
    plan = gardens.round_garden(sides, islands)
    return lambda: renderer.lay(plan)


def _labels(count: int) -> Work:
    """Numbered dots strewn over paper that grows with their count."""
    chance = random.Random(1)
    side = MM_A_LABEL * math.sqrt(count)
    labels, obstacles = [], []
    for number in range(count):
        room = disc((chance.uniform(0, side), chance.uniform(0, side)), DOT_MM)
        text = str(100 + number % 900)
        size = text_size((text,), PEG_TEXT)
        spots, led = about(room, size, (0.0, -1.0), swing=SWING, far=FAR)
        kind = LabelKind.PEG_TENTH
        labels.append(Label(f"dot {number}", (text,), PEG_TEXT, kind, spots, led=led))
        obstacles.append(Occupied(room, PEG))
    frame = Rect(-5.0, -5.0, side + 5.0, side + 5.0)
    return lambda: place(labels, obstacles, frame)


def pages(count: int) -> Document:
    """So many pages: those of the small garden's work order, again and again."""
    document = document_of(gardens.SMALL)
    bare = [replace(page, marks=()) for page in document.pages]
    repeated = tuple(bare[number % len(bare)] for number in range(count))
    return replace(document, pages=repeated)


def jobs(count: int) -> Document:
    """The pack of so many jobs: the small garden under a number each."""
    plan = renderer.load(gardens.SMALL)
    plans = [
        plan.model_copy(update={"job": plan.job.model_copy(update={"number": f"J-{number}"})})
        for number in range(count)
    ]
    return renderer.compose_sheets(plans)


def park(count: int) -> Document:
    """The work order of a park of 10 hectares with so many islands."""
    return renderer.compose_sheets([gardens.park(count)], draft=True)


def _park(count: int) -> Work:
    plan = gardens.park(count)
    return lambda: renderer.print_sheets([plan], draft=True)


def _pages(count: int) -> Work:
    document = pages(count)
    return lambda: write_pdf_to(BytesIO(), document)


def _jobs(count: int) -> Work:
    return lambda: write_pdf_to(BytesIO(), jobs(count))


def _peak(made: Callable[[int], Document]) -> Callable[[int], float]:
    """The memory of making a document and writing it to a file."""
    return lambda count: peak_mb(PEAK.format(made=made.__name__, count=count))
