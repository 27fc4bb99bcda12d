"""Where the time of one work order goes, from reading the plan to the last byte."""

from __future__ import annotations

import statistics
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from importlib import import_module
from pathlib import Path
from typing import Any
from unittest.mock import patch

import renderer
from benchmarks import gardens
from benchmarks.table import Table, figure
from renderer.checks import check_plan
from renderer.drawing import plan as drawing
from renderer.job import Job
from renderer.output.pdf import write_pdf
from renderer.sheets import blocks, compose, load_layout

NAMES = ("read", "lay", "check", "draw", "place labels", "pages", "output")
DRAWN = ("carry", "plan", "plates", "proof", "as-built")  # the blocks that hold drawings
Times = Counter[str]


def stages(rounds: int, *, all_gardens: bool = True) -> list[Table]:
    """CPU milliseconds of each stage, and its share of the whole."""
    paths = (gardens.SMALL, gardens.MIDDLE, gardens.LARGE) if all_gardens else (gardens.SMALL,)
    columns = {gardens.name_of(path): _medians(path, rounds) for path in paths}
    rows = []
    for name in NAMES:
        cells = [name]
        for times in columns.values():
            share = times[name] / sum(times.values())
            cells.append(f"{figure(1000 * times[name])} ({share:.0%})")
        rows.append(tuple(cells))
    totals = [figure(1000 * sum(times.values())) for times in columns.values()]
    rows.append(("all", *totals))
    return [Table("Stages, CPU ms", ("stage", *columns), tuple(rows))]


def _medians(path: Path, rounds: int) -> dict[str, float]:
    _once(path)
    runs = [_once(path) for _ in range(rounds)]
    return {name: statistics.median(run[name] for run in runs) for name in NAMES}


def _once(path: Path) -> Times:
    times: Times = Counter()
    with _clock(times, "read"):
        plan = renderer.load(path)
    with _clock(times, "lay"):
        laid = renderer.lay(plan)
    with _clock(times, "check"):
        found = check_plan(plan, laid)
    job = Job.known(plan, laid, found)
    with _inner_clocks(times), _clock(times, "pages"):
        document = compose([job], load_layout(renderer.DEFAULT_LAYOUT), draft=True)
    times["pages"] -= times["draw"]
    times["draw"] -= times["place labels"]
    with _clock(times, "output"):
        write_pdf(document)
    return times


@contextmanager
def _clock(times: Times, name: str) -> Iterator[None]:
    start = time.process_time()
    yield
    times[name] += time.process_time() - start  # type: ignore[assignment]


@contextmanager
def _inner_clocks(times: Times) -> Iterator[None]:
    """Clocks round the building of drawings, and round the placing of labels within it."""
    with ExitStack() as stack:
        for name in DRAWN:
            module = import_module(f"{blocks.__name__}.{blocks.BLOCKS[name].module}")
            drawn = _timed(times, "draw", module.build)
            stack.enter_context(patch.object(module, "build", drawn))
        placing = _timed(times, "place labels", drawing.place)
        stack.enter_context(patch.object(drawing, "place", placing))
        yield


def _timed(times: Times, name: str, call: Callable[..., Any]) -> Callable[..., Any]:
    def clocked(*arguments: Any, **named: Any) -> Any:
        with _clock(times, name):
            return call(*arguments, **named)

    return clocked
