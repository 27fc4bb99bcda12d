"""The command ``pegline``: reads the arguments, runs one command, turns errors into one line.

Only argparse is imported here, so that ``--help`` and ``--version`` answer at
once; ``commands`` brings in the rest when there is work to do.
"""

from __future__ import annotations

import argparse
import gc
import os
import sys
from typing import TYPE_CHECKING, NoReturn

from renderer import DEFAULT_LAYOUT, DEFAULT_PACK, __version__
from renderer.terminal import EXIT_BROKEN_PIPE, EXIT_INTERRUPTED, EXIT_INVALID, complain

if TYPE_CHECKING:
    from collections.abc import Sequence

    Commands = argparse._SubParsersAction["_Parser"]

DESCRIPTION = """\
Plans the boundary wire of a lawn from a plan file and prints the sheets that
a crew lays it from."""

EPILOG = """\
example: pegline print garden.plan.yaml -o work-order.pdf
exit codes: 0 done; 1 a finding stops the lay; 2 a file could not be read or is not valid
Each command explains itself: pegline print --help"""

CLASS_MOST = 200
PROCESSES_MOST = 256
PAPER_HELP = "A4, A3, Letter, Legal or Tabloid"


def command() -> NoReturn:
    """``main`` as a process of its own, which may do what a caller's process is spared.

    A sixth of a small print would go into what it has no use for: threads for products of large
    matrices, which the sheets have not; plugins of pydantic; the search for garbage while nearly
    all that is made is kept to the end; and taking down value by value what ends as a whole.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    gc.set_threshold(200_000, 20, 20)
    code = main()
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(code)


def main(argv: Sequence[str] | None = None) -> int:
    """Runs one command and gives its exit code; errors go to standard error, one line each."""
    arguments = _parser().parse_args(argv)
    try:
        code = _run(arguments)
        sys.stdout.flush()
    except KeyboardInterrupt:
        return EXIT_INTERRUPTED
    except BrokenPipeError:
        # the reader has gone; without this the interpreter complains while it closes stdout
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return EXIT_BROKEN_PIPE
    except Exception as error:
        from renderer.commands import explained

        complain(explained(error, _files(arguments)))
        return EXIT_INVALID
    return code


def _files(arguments: argparse.Namespace) -> list[str]:
    """The files that the arguments name to be read, as far as they are files."""
    jobs = getattr(arguments, "jobs", None) or [getattr(arguments, "job", None)]
    named = [*jobs, getattr(arguments, "layout", None)]
    return [name for name in named if name and os.path.isfile(name)]


def _run(arguments: argparse.Namespace) -> int:
    from renderer import commands

    code: int = getattr(commands, arguments.run)(arguments)
    return code


class _Parser(argparse.ArgumentParser):
    """Says what is wrong with the arguments in one line, without the whole usage."""

    def error(self, message: str) -> NoReturn:
        complain(f"{message}; see {self.prog} --help")
        sys.exit(EXIT_INVALID)


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="pegline",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"pegline {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    _add_check(commands)
    _add_lay(commands)
    _add_draw(commands)
    _add_print(commands)
    _add_command(commands, "layouts", "lists the layouts that print can use")
    _add_command(commands, "schema", "writes the JSON Schema of the plan file")
    return parser


def _add_command(commands: Commands, name: str, does: str) -> _Parser:
    command = commands.add_parser(name, help=does, description=f"{does[0].upper()}{does[1:]}.")
    command.set_defaults(run=f"run_{name}")
    return command


def _add_check(commands: Commands) -> None:
    command = _add_command(commands, "check", "says what could go wrong, worst first")
    command.add_argument("jobs", metavar="JOB", nargs="+", help="a plan file")
    command.add_argument("--json", action="store_true", help="as JSON, for scripts")


def _add_lay(commands: Commands) -> None:
    command = _add_command(commands, "lay", "lays the wire and writes it as JSON")
    command.add_argument("job", metavar="JOB", help="a plan file")
    command.add_argument("-o", "--output", metavar="FILE", help="to this file, not to the screen")


def _add_draw(commands: Commands) -> None:
    command = _add_command(commands, "draw", "draws one scaled diagram")
    command.add_argument("job", metavar="JOB", help="a plan file")
    command.add_argument(
        "-o", "--output", metavar="FILE", required=True, help="ends in .svg, .pdf or .png"
    )
    command.add_argument("--paper", help=f"{PAPER_HELP} (A4; Letter for a plan in feet)")
    _add_scale(command)
    _add_language(command, "en")


def _add_print(commands: Commands) -> None:
    command = _add_command(commands, "print", "prints the sheets of one or several jobs as a PDF")
    command.add_argument(
        "jobs", metavar="JOB", nargs="*", help="a plan file, or one day file (ends in .day.yaml)"
    )
    command.add_argument("-o", "--output", metavar="FILE", required=True, help="ends in .pdf")
    command.add_argument(
        "--layout",
        metavar="NAME",
        help="what to print, or a layout file of your own "
        f"({DEFAULT_LAYOUT} for one plan, {DEFAULT_PACK} for several)",
    )
    command.add_argument("--paper", help=f"{PAPER_HELP} (what the layout says)")
    _add_scale(command)
    _add_language(command, "what the layout says")
    command.add_argument(
        "--fields",
        action=argparse.BooleanOptionalAction,
        help="make tick boxes and write-in rows fillable on a screen (what the layout says)",
    )
    command.add_argument(
        "--sides",
        type=int,
        choices=(1, 2),
        help="sides that a leaf is printed on; with 2 each job of a pack begins on a new leaf",
    )
    command.add_argument(
        "--class",
        dest="class_size",
        type=class_size,
        metavar="N",
        help="so many different exercises from one plan, their key in a file of its own",
    )
    command.add_argument(
        "--seed", type=int, metavar="N", help="which exercises: the same number, the same ones (1)"
    )
    command.add_argument(
        "--key", metavar="FILE", help="the file for the key (the output's name with -key)"
    )
    command.add_argument(
        "--processes",
        type=process_count,
        metavar="N",
        help="so many share the jobs of a pack (one for each core, from 8 jobs on)",
    )
    command.add_argument(
        "--draft",
        action="store_true",
        help="print even if a finding stops the lay, with a mark on every page",
    )


def _add_scale(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--scale",
        type=scale,
        metavar="N",
        help="1:N, for example 100 or 1:100 (the largest usual scale that fits)",
    )


def _add_language(command: argparse.ArgumentParser, usual: str) -> None:
    command.add_argument(
        "--language", metavar="CODE", help=f"of the printed words, for example de ({usual})"
    )


def class_size(text: str) -> int:
    """How many exercises a class needs; an argparse error for anything else."""
    if not text.strip().isdecimal() or not 1 <= int(text) <= CLASS_MOST:
        raise argparse.ArgumentTypeError(f"{text!r} is no class; write 1 to {CLASS_MOST}")
    return int(text)


def process_count(text: str) -> int:
    """How many processes share the work; an argparse error for anything else."""
    if not text.strip().isdecimal() or not 1 <= int(text) <= PROCESSES_MOST:
        raise argparse.ArgumentTypeError(f"{text!r} is no count; write 1 to {PROCESSES_MOST}")
    return int(text)


def scale(text: str) -> float:
    """The N of ``1:N`` or ``N``; an argparse error for anything else."""
    digits = text.strip().removeprefix("1:")
    try:
        value = float(digits)
    except ValueError:
        value = 0.0
    if not 1 <= value <= 100_000:
        raise argparse.ArgumentTypeError(f"{text!r} is no scale; write 100 or 1:100")
    return value
