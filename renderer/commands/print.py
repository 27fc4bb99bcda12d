"""``pegline print``: sheets of one job, a pack or a class as a PDF."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import renderer
from renderer.commands.common import ending_of, write_file
from renderer.commands.jobs import print_options, sheets_of
from renderer.explain import Usage
from renderer.progress import doing
from renderer.terminal import EXIT_FINE, EXIT_STOPPED, complain, report_written

if TYPE_CHECKING:
    import argparse

    from renderer.kept_prints import Kept
    from renderer.primitives import Document

LESSON_SET = "class-set"


def run_print(arguments: argparse.Namespace) -> int:
    """The sheets as a PDF, or the findings that stop them."""
    if arguments.class_size is not None or arguments.seed is not None or arguments.lesson_set:
        return run_class(arguments)
    if arguments.key:
        raise Usage(f"{arguments.key}: --key needs --class; only exercises have an answer key")
    ending_of(arguments.output, ("pdf",), piped="pdf")
    if arguments.cache is not None:
        return _print_or_find(arguments)
    document, bad = sheets_of(arguments)
    if document is None:
        return EXIT_STOPPED
    from renderer.output.pdf import write_pdf_to

    write_file(arguments.output, lambda file: write_pdf_to(file, document))
    return _printed(arguments, document, bad)


def _print_or_find(arguments: argparse.Namespace) -> int:
    """The sheets as they were kept from the same job unchanged, else printed and kept."""
    from renderer.kept_prints import Kept, request

    kept, asked = Kept(arguments.cache, renderer.__version__), request(arguments)
    found = kept.find(asked)
    if found is None:
        return _print_and_keep(arguments, kept, asked)
    write_file(arguments.output, found.pdf)
    report_written(arguments.output, found.pages)
    return EXIT_FINE


def _print_and_keep(arguments: argparse.Namespace, kept: Kept, asked: str) -> int:
    """Prints, and keeps a print that is whole; one that cannot be kept is a print all the same."""
    import shutil
    import tempfile

    from renderer.inputs import noted
    from renderer.output.files import OutputError

    with noted() as read:
        document, bad = sheets_of(arguments)
    if document is None:
        return EXIT_STOPPED
    from renderer.output.pdf import write_pdf_to

    with tempfile.TemporaryFile() as pdf:
        write_pdf_to(pdf, document)
        pdf.seek(0)
        write_file(arguments.output, lambda file: shutil.copyfileobj(pdf, file))
        try:
            if not bad:
                kept.keep(asked, read, pdf, len(document.pages))
        except OutputError as error:
            complain(f"printed but not kept: {error}")
    return _printed(arguments, document, bad)


def _printed(arguments: argparse.Namespace, document: Document, bad: list[str]) -> int:
    report_written(arguments.output, len(document.pages))
    if bad:
        complain(f"not in {arguments.output}: {', '.join(bad)}")
        return EXIT_STOPPED
    return EXIT_FINE


def run_class(arguments: argparse.Namespace) -> int:
    """Different exercises from one plan in one file, their key in another."""
    from renderer.output.files import require_writable

    ending_of(arguments.output, ("pdf",))
    _for_a_class(arguments)
    if len(arguments.jobs) != 1:
        raise Usage("--class makes exercises from one plan; name exactly one")
    output = Path(arguments.output)
    key = arguments.key or str(output.with_name(f"{output.stem}-key{output.suffix}"))
    ending_of(key, ("pdf",))
    if Path(key).resolve() == output.resolve():
        raise Usage(f"{key}: the answer key must not go into the trainees' file; name another file")
    for path in (output, key):
        require_writable(path)  # neither is written where the other cannot be
    plan = renderer.load(arguments.jobs[0])
    count = arguments.class_size or 1
    options = print_options(arguments)
    if arguments.lesson_set:
        options = replace(options, layout=LESSON_SET)
    with doing("exercise") as step:
        for_trainees, for_trainer = renderer.print_class(
            plan,
            count,
            options,
            seed=1 if arguments.seed is None else arguments.seed,
            progress=step if count > 1 else None,
        )
    for path, data in ((arguments.output, for_trainees), (key, for_trainer)):
        write_file(path, data)
        report_written(path)
    return EXIT_FINE


def _for_a_class(arguments: argparse.Namespace) -> None:
    """Raises Usage for an option that has no effect with a class."""
    given = {
        "--draft": arguments.draft,
        "--sides": arguments.sides,
        "--processes": arguments.processes,
        "--cache": arguments.cache,
    }
    for option, value in given.items():
        if value:
            raise Usage(f"{option} has no effect with --class; leave it out")
    if arguments.lesson_set and arguments.layout is not None:
        raise Usage("--set is a layout of its own, class-set; leave out --layout")
