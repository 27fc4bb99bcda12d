"""The rendering stage on the same primitives, and the whole job, against the peers."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import renderer
from benchmarks import canvas_peer, gardens
from benchmarks.contents import contents
from benchmarks.measure import Work, median_ms, paired, ratio
from benchmarks.other_peers import peers
from benchmarks.table import Table, figure
from renderer.output.pdf import write_pdf
from renderer.sheets import compose, load_layout

if TYPE_CHECKING:
    from renderer.primitives import Document

PLAIN = "plain canvas"
OURS = "pegline, rendering stage"
WHOLE = "pegline, plan file to PDF"


def document_of(path: Path) -> Document:
    """The work order of a plan file, finished but not yet written."""
    job = renderer.prepare(renderer.load(path))
    return compose([job], load_layout(renderer.DEFAULT_LAYOUT), draft=True)


def rendering(rounds: int, *, others: bool = True) -> list[Table]:
    """A table a garden: time over the plain canvas's, and bytes over its bytes."""
    canvas_peer.ready()
    paths = (gardens.SMALL, gardens.MIDDLE, gardens.LARGE) if others else (gardens.SMALL,)
    return [_garden(path, rounds, others) for path in paths]


def _garden(path: Path, rounds: int, others: bool) -> Table:
    document = document_of(path)
    jobs: dict[str, Work] = {
        PLAIN: lambda: canvas_peer.draw(document),
        OURS: lambda: write_pdf(document),
        WHOLE: lambda: renderer.print_sheets([renderer.load(path)], draft=True),
    }
    files = {PLAIN: canvas_peer.draw(document), OURS: write_pdf(document)}
    files[WHOLE] = files[OURS]
    notes: list[str] = []
    if others:
        found, notes = peers(document)
        jobs |= found
        files |= {name: make() for name, make in found.items()}
    times = paired(jobs, rounds)
    rows = [
        (
            name,
            figure(ratio(times, name, PLAIN)),
            figure(median_ms(times[name])),
            f"{len(files[name]):,}",
            figure(len(files[name]) / len(files[PLAIN])),
            contents(files[name]),
        )
        for name in jobs
    ]
    title = f"{gardens.name_of(path)}: work order, {len(document.pages)} pages"
    head = (title, "time / canvas", "CPU ms", "bytes", "bytes / canvas", "holds")
    return Table("Rendering", head, tuple(rows), tuple(notes))
