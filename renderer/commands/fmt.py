"""``pegline fmt``: plan files with their keys in one order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.commands.common import read_job, write_file
from renderer.explain import Usage
from renderer.terminal import EXIT_FINE, EXIT_STOPPED, STANDARD, complain, report_written, write_out

if TYPE_CHECKING:
    import argparse


def run_fmt(arguments: argparse.Namespace) -> int:
    """Puts the keys of plans in order; of standard input it writes the text to standard output.

    With ``--check`` it names the files that are not in order and leaves them as they are.
    """
    from renderer.plan.key_order import OrderError, in_order

    code = EXIT_FINE
    for path in arguments.files:
        text = _text_of(path)
        try:
            done = in_order(text)
        except OrderError as error:
            raise Usage(f"{path}: {error}; it is left as it was") from None
        if arguments.check and done != text:
            complain(f"{path}: its keys are in another order; pegline fmt {path} puts them right")
            code = EXIT_STOPPED
        elif path == STANDARD and not arguments.check:
            write_out(done)
        elif done != text and not arguments.check:
            write_file(path, done.encode())
            report_written(path)
    return code


def _text_of(path: str) -> str:
    """The text of a plan or day file that is valid. Raises PlanError, and Usage for JSON."""
    from renderer.plan import is_day_file, load_day
    from renderer.plan.files import text_of

    if path.lower().endswith(".json"):
        raise Usage(f"{path}: fmt is for YAML; JSON has no remarks to keep")
    if path != STANDARD and is_day_file(path):
        load_day(path)
        return text_of(path)
    return read_job(path)[1]
