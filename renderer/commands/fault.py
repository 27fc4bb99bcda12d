"""``pegline fault``: what a reading may mean, as text or as a leaf."""

from __future__ import annotations

from typing import TYPE_CHECKING

import renderer
from renderer.commands.common import (
    as_json,
    ending_of,
    options_of,
    prepared,
    require_no_input,
    write_file,
)
from renderer.explain import Usage
from renderer.terminal import EXIT_FINE, report_written, write_out

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from renderer.fault import Search
    from renderer.ground.lay import LoopLay
    from renderer.job import Job


def run_fault(arguments: argparse.Namespace) -> int:
    """What may be the matter with a loop, by its reading, and where to measure next."""
    from renderer.fault import causes
    from renderer.fault_report import Fault, fault_json, fault_text

    ohms = _ohms(arguments.reads)
    if not -40.0 <= arguments.temperature <= 60.0:
        raise Usage(f"--temperature {arguments.temperature:g}: write degrees Celsius, such as 14")
    job = prepared(arguments)
    loop = _loop_of(job, arguments.loop)
    found = causes(job.readings, loop, ohms, arguments.temperature)
    is_open = found[0].kind == "open"
    if arguments.at and not is_open:
        raise Usage("--at goes with --reads open: only a break is found by halves")
    search = _search(job, loop, arguments.at) if is_open else None
    if arguments.output is not None:
        return _fault_leaf(arguments, job, loop, ohms)
    fault = Fault(job, loop, ohms, arguments.temperature, found, search)
    if arguments.json:
        write_out(as_json(fault_json(fault)))
    else:
        write_out(fault_text(arguments.job, fault))
    return EXIT_FINE


def _fault_leaf(arguments: argparse.Namespace, job: Job, loop: LoopLay, ohms: float | None) -> int:
    """The same as a leaf to take along."""
    from renderer.fault import Asked
    from renderer.fault_report import answered, places_named
    from renderer.output.pdf import write_pdf_to

    if arguments.json:
        raise Usage("--json goes to standard output; leave out -o")
    ending_of(arguments.output, ("pdf",), piped="pdf")
    require_no_input(arguments.output, arguments.job)
    answers = answered(arguments.at, [name for name, _ in places_named(job, loop)])
    options = options_of(arguments)
    asked = Asked(loop.name, ohms, arguments.temperature, answers)
    document = renderer.fault_sheets(job, asked, options)
    write_file(arguments.output, lambda file: write_pdf_to(file, document))
    report_written(arguments.output, len(document.pages))
    return EXIT_FINE


def _ohms(text: str) -> float | None:
    """What the meter reads; nothing for an open loop. Raises Usage."""
    import math

    if text == "open":
        return None
    try:
        ohms = float(text.replace(",", "."))
    except ValueError:
        ohms = math.nan
    if not (math.isfinite(ohms) and ohms >= 0.0):
        raise Usage(f"--reads {text}: write ohms, such as 4.17, or open")
    return ohms


def _loop_of(job: Job, name: str | None) -> LoopLay:
    """The loop that a reading is of. Raises Usage."""
    names = [loop.name for loop in job.lay.loops]
    if not names:
        raise Usage("no loop of this plan can be laid; see pegline check")
    if name is None and len(names) > 1:
        raise Usage(f"there are several loops; add --loop with one of {', '.join(names)}")
    if name not in (None, *names):
        raise Usage(f"--loop {name}: no such loop; use one of {', '.join(names)}")
    return job.loop_of(name or names[0])


def _search(job: Job, loop: LoopLay, at: Sequence[str]) -> Search:
    """The search for a break by what was tested so far. Raises Usage."""
    from renderer.fault.search import Contradiction, search
    from renderer.fault_report import answered, places_named

    places = places_named(job, loop)
    try:
        return search(loop, places, answered(at, [name for name, _ in places]))
    except (ValueError, Contradiction) as error:
        raise Usage(str(error)) from None
