"""``pegline lay``, ``draw`` and ``survey``: what is worked out of one job, as a file or text."""

from __future__ import annotations

from typing import TYPE_CHECKING

import renderer
from renderer.commands.common import as_json, ending_of, prepared, require_no_input, write_file
from renderer.explain import Usage
from renderer.output import BACKENDS
from renderer.terminal import EXIT_FINE, EXIT_STOPPED, report_written, write_out

if TYPE_CHECKING:
    import argparse

    from renderer.job import Job


def run_lay(arguments: argparse.Namespace) -> int:
    """The laid wire as JSON, or as a file for another program by its ending."""
    from renderer.formats.exports import WRITERS

    job = prepared(arguments)
    to_file = arguments.output not in (None, "-")
    if to_file:
        require_no_input(arguments.output, arguments.job)
    ending = ending_of(arguments.output, ("json", *WRITERS)) if to_file else "json"
    if arguments.staking and ending != "csv":
        raise Usage("--staking makes a table; write it to a .csv file")
    data = _laid(job, ending, arguments.job, arguments.staking)
    if to_file:
        write_file(arguments.output, data)
        report_written(arguments.output)
    else:
        write_out(data.decode())
    return EXIT_FINE


def _laid(job: Job, ending: str, path: str, staking: bool) -> bytes:
    """The bytes of one of the files that ``lay`` writes."""
    if ending == "json":
        from renderer.report import lay_json

        return as_json(lay_json(job)).encode()
    if staking:
        from renderer.formats.csv_out import write_staking

        return write_staking(job)
    from renderer.formats.exports import export

    return export(job, ending, path)


def run_draw(arguments: argparse.Namespace) -> int:
    """One scaled diagram in the format that the file's ending names."""
    ending = ending_of(arguments.output, tuple(BACKENDS), piped="svg")
    data = renderer.draw(
        prepared(arguments),
        ending,
        paper=arguments.paper,
        scale=arguments.scale,
        language=arguments.language or "en",
        ellipses=arguments.ellipses,
        ink=arguments.ink,
    )
    write_file(arguments.output, data)
    report_written(arguments.output)
    return EXIT_FINE


def run_survey(arguments: argparse.Namespace) -> int:
    """The adjusted points of a plan's survey, its suspects, and what to measure next."""
    from renderer.plan.reader import load_survey
    from renderer.survey_report import survey_json, survey_text

    number, solution, units = load_survey(arguments.job)
    if solution is None:
        raise Usage(
            f"{arguments.job}: survey holds no readings; add ties, sides, offsets or a traverse"
        )
    if arguments.json:
        write_out(as_json(survey_json(solution)))
    else:
        write_out(survey_text(arguments.job, number, solution, units))
    return EXIT_STOPPED if solution.suspects else EXIT_FINE
