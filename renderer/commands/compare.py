"""``pegline compare``: what has changed, as text or as sheets."""

from __future__ import annotations

from typing import TYPE_CHECKING

import renderer
from renderer.commands.common import as_json, ending_of, options_of, require_no_input, write_file
from renderer.explain import Usage
from renderer.output import BACKENDS
from renderer.terminal import EXIT_FINE, report_written, write_out

if TYPE_CHECKING:
    import argparse

    from renderer.job import Job


def run_compare(arguments: argparse.Namespace) -> int:
    """What has moved, come and gone from one plan to another."""
    from renderer.compare import compare
    from renderer.compare_report import compare_json, compare_text

    new_path = arguments.new or arguments.old
    new = renderer.prepare(renderer.load(new_path))
    old = new.as_planned
    if arguments.new is not None:
        old = renderer.prepare(renderer.load(arguments.old))
    if arguments.output is not None:
        return _compare_sheets(arguments, old, new)
    found = compare(old, new)
    if arguments.json:
        write_out(as_json(compare_json(found)))
    else:
        write_out(compare_text(arguments.old, new_path, found))
    return EXIT_FINE


def _compare_sheets(arguments: argparse.Namespace, old: Job, new: Job) -> int:
    """What has changed as sheets, or the first of them as a drawing."""
    if arguments.json:
        raise Usage("--json goes to standard output; leave out -o")
    ending = ending_of(arguments.output, ("pdf", *(each for each in BACKENDS if each != "pdf")))
    for path in (arguments.old, arguments.new or arguments.old):
        require_no_input(arguments.output, path)
    document = renderer.compare_sheets(
        old,
        new,
        options_of(arguments),
    )
    if ending == "pdf":
        from renderer.output.pdf import write_pdf_to

        write_file(arguments.output, lambda file: write_pdf_to(file, document))
        report_written(arguments.output, len(document.pages))
        return EXIT_FINE
    from renderer.output import writer
    from renderer.primitives import Drawing

    page = document.pages[0]
    first = Drawing(page.width_mm, page.height_mm, page.items, title=document.title)
    write_file(arguments.output, writer(ending)(first, document.language))
    report_written(arguments.output)
    return EXIT_FINE
