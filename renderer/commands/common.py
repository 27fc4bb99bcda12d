"""What several commands do: jobs prepared, endings looked at, files written."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Any

import renderer
from renderer.explain import Usage
from renderer.terminal import STANDARD, is_shown, read_in, write_bytes

if TYPE_CHECKING:
    import argparse

    from renderer.findings_text import FindingText
    from renderer.job import Job
    from renderer.output.files import Fill
    from renderer.plan.model import Plan


def read_job(path: str) -> tuple[Plan, str]:
    """The plan in a file, or for ``-`` in standard input, and its text. Raises PlanError."""
    from renderer.plan import loads
    from renderer.plan.files import BYTES_MAX, text_in, text_of

    if path != STANDARD:
        return renderer.load(path), text_of(path)
    text = text_in(read_in(BYTES_MAX), STANDARD)
    return loads(text, STANDARD), text


def prepared(arguments: argparse.Namespace) -> Job:
    """The job of a plan file, as built where it says so and is not asked for as planned."""
    return renderer.prepare(read_job(arguments.job)[0], as_planned=arguments.as_planned)


def options_of(arguments: argparse.Namespace) -> renderer.PrintOptions:
    """What every command that makes sheets asks for."""
    return renderer.PrintOptions(
        layout=arguments.layout,
        paper=arguments.paper,
        scale=arguments.scale,
        language=arguments.language,
        ink=arguments.ink,
    )


def sentences(finding: FindingText) -> str:
    return " ".join(part for part in (finding.message, finding.cure) if part)


def ending_of(path: str, allowed: tuple[Any, ...], piped: str = "") -> Any:
    """The ending of a file to write; of standard output it is ``piped``. Raises Usage."""
    if path == STANDARD and piped:
        if is_shown():
            raise Usage(f"-: standard output is a terminal; send it to a file: > file.{piped}")
        return piped
    ending = Path(path).suffix.lower().removeprefix(".")
    if ending not in allowed:
        names = ", ".join(f".{name}" for name in allowed)
        raise Usage(f"{path}: unsupported output format; use {names}")
    return ending


def require_no_input(output: str, job: str) -> None:
    """Raises Usage where a file to write is the plan or its machine's, by another name too."""
    from renderer.plan.reader import machine_file

    if job == STANDARD:
        return
    for path, what in ((job, "the plan file"), (machine_file(job), "the machine file")):
        if path and os.path.exists(output) and os.path.samefile(output, path):
            raise Usage(f"{output}: this is {what} itself; name another file")


def as_json(value: Any) -> str:
    import json

    return json.dumps(value, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def write_file(path: str, data: bytes | Fill) -> None:
    """Writes a file whole or not at all; to standard output once all of it is there."""
    from renderer.output.files import filled, write_whole

    if path == STANDARD:
        write_bytes(data if isinstance(data, bytes) else filled(data))
        return
    write_whole(path, data)
