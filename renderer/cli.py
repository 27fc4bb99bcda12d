"""The command ``pegline``: reads the arguments, runs one command, reports errors in one line.

Only argparse is imported here, so that ``--help`` and ``--version`` answer at
once; ``commands`` brings in the rest when there is work to do.
"""

from __future__ import annotations

import argparse
import contextlib
import gc
import os
import signal
import sys
from typing import TYPE_CHECKING, NoReturn

from renderer import DEFAULT_LAYOUT, DEFAULT_PACK, __version__, early
from renderer.output import BACKENDS
from renderer.terminal import (
    CLEAR,
    EXIT_BROKEN_PIPE,
    EXIT_INTERRUPTED,
    EXIT_INVALID,
    EXIT_SIGNAL,
    complain,
    write_out,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from _typeshed import SupportsWrite

    Commands = argparse._SubParsersAction["_Parser"]

DESCRIPTION = "Plan a lawn's boundary wire from a plan file and print the sheets to lay it from."

EPILOG = """\
example: pegline print garden.plan.yaml -o work-order.pdf
exit codes: 0 done; 1 a finding stops the job; 2 a file could not be read or is not valid
help on a command: pegline print --help"""

CLASS_MOST = 200
PROCESSES_MOST = 256
PORTS_MOST = 65535
ENDING_SIGNALS = ("SIGINT", "SIGTERM", "SIGHUP")
# How many new values there are before garbage is collected: a print keeps nearly all it makes.
COLLECT = (200_000, 20, 20)
PAPER_HELP = "A4, A3, Letter, Legal or Tabloid"


def command() -> NoReturn:
    """Runs ``main`` as the process itself, with settings that would not suit a caller's process.

    Start-up work that a one-shot command does not need takes a sixth of a small print: threads for
    products of large matrices, pydantic's plugins, garbage collection while nearly every value is
    kept to the end, and freeing the values one by one at exit.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    gc.set_threshold(*COLLECT)
    _end_in_order()
    code = main()
    for stream in (sys.stdout, sys.stderr):
        if stream is not None:
            with contextlib.suppress(OSError):  # which main has told
                stream.flush()
    os._exit(code)


def _end_in_order() -> None:
    """Lets a signal end the process with one line, no draft of a file and no worker left behind."""
    owner = os.getpid()

    def end(number: int, _: object) -> NoReturn:
        # at once, since an exception raised here could be swallowed by whatever is running
        if os.getpid() == owner:
            writing = sys.modules.get("renderer.output.files")
            if writing is not None:
                writing.remove_drafts()
            name = signal.Signals(number).name
            with contextlib.suppress(OSError):
                start = CLEAR if os.isatty(2) else ""
                os.write(2, start.encode() + early.stopped(name))
        os._exit(EXIT_SIGNAL + number)

    for known in (getattr(signal, name) for name in ENDING_SIGNALS if hasattr(signal, name)):
        if signal.getsignal(known) is not signal.SIG_IGN:  # nohup stays nohup
            signal.signal(known, end)


def main(argv: Sequence[str] | None = None) -> int:
    """Runs one command and gives its exit code; errors go to standard error, one line each."""
    arguments = argparse.Namespace()
    try:
        arguments = _parsed(argv)
        code = _run(arguments)
        if sys.stdout is not None:
            write_out("")
    except KeyboardInterrupt:
        complain("interrupted; no file is left half written")
        return EXIT_INTERRUPTED
    except BrokenPipeError:
        # the reader has gone; without this the interpreter complains while it closes stdout
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return EXIT_BROKEN_PIPE
    except Exception as error:
        from renderer.explain import explanations

        for line in explanations(error, _files(arguments)):
            complain(line)
        return EXIT_INVALID
    return code


def _parsed(argv: Sequence[str] | None) -> argparse.Namespace:
    """The arguments; a check needs plan files unless it explains its rules."""
    parser = _parser()
    arguments = parser.parse_args(argv)
    if arguments.run == "check" and not arguments.jobs and arguments.explain is None:
        parser.error("check needs a plan file: pegline check JOB...")
    return arguments


def _files(arguments: argparse.Namespace) -> list[str]:
    """The files that the arguments name to be read, as far as they are files."""
    jobs = getattr(arguments, "jobs", None) or [getattr(arguments, "job", None)]
    named = [*jobs, getattr(arguments, "layout", None)]
    return [each for name in named if name and os.path.isfile(name) for each in _with_jobs(name)]


def _with_jobs(name: str) -> list[str]:
    """A file, and where it is a day file the plans in it."""
    from renderer.plan.day import plans_named
    from renderer.plan.files import is_day_file

    if not is_day_file(name):
        return [name]
    try:
        return [name, *filter(os.path.isfile, plans_named(name))]
    except Exception:
        return [name]


def _run(arguments: argparse.Namespace) -> int:
    from renderer.commands import run

    return run(arguments.run, arguments)


class _Parser(argparse.ArgumentParser):
    """Says what is wrong with the arguments in one line, without the whole usage."""

    def error(self, message: str) -> NoReturn:
        complain(f"{message}; see {self.prog} --help")
        sys.exit(EXIT_INVALID)

    def _print_message(self, message: str, file: SupportsWrite[str] | None = None) -> None:
        """Writes help and version; the library would keep to itself that it could not."""
        if file is not None and file is sys.stdout:
            write_out(message)
        else:
            super()._print_message(message, file)


class _Brief(argparse.RawDescriptionHelpFormatter):
    """Lists the commands at once under their heading, so that all of the help fits a screen."""

    def _format_action(self, action: argparse.Action) -> str:
        if isinstance(action, argparse._SubParsersAction):
            self._indent()
            names = [each.dest for each in action._get_subactions()]
            self._action_max_length = max(map(len, names)) + self._current_indent
            listed = "".join(self._format_action(each) for each in action._get_subactions())
            self._dedent()
            return listed
        return super()._format_action(action)


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="pegline",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=_Brief,
        usage="pegline [-h | --help] [--version] COMMAND ...",
        add_help=False,
    )
    unlisted = argparse.SUPPRESS  # since the first line has them
    parser.add_argument("-h", "--help", action="help", help=unlisted)
    parser.add_argument(
        "--version", action="version", version=f"pegline {__version__}", help=unlisted
    )
    commands = parser.add_subparsers(
        title="commands", metavar="COMMAND", required=True, prog="pegline"
    )
    _add_check(commands)
    _add_lay(commands)
    _add_draw(commands)
    _add_print(commands)
    _add_preview(commands)
    _add_new(commands)
    _add_survey(commands)
    _add_compare(commands)
    _add_fault(commands)
    _add_extract(commands)
    _add_fmt(commands)
    _add_demo(commands)
    _add_command(commands, "layouts", "list the layouts that print can use")
    _add_command(commands, "schema", "write the JSON Schema of the plan file")
    completion = _add_command(commands, "completion", "write what bash or zsh needs to complete")
    completion.add_argument("shell", choices=("bash", "zsh"), help="for which shell")
    completion.set_defaults(parser=parser)
    return parser


def _add_command(commands: Commands, name: str, does: str) -> _Parser:
    command = commands.add_parser(name, help=does, description=f"{does[0].upper()}{does[1:]}.")
    command.set_defaults(run=name)
    return command


def _add_check(commands: Commands) -> None:
    command = _add_command(commands, "check", "report problems, worst first")
    command.add_argument(
        "jobs", metavar="JOB", nargs="*", help="a plan file, or - for standard input"
    )
    command.add_argument("--json", action="store_true", help="as JSON, for scripts")
    command.add_argument(
        "--format",
        choices=("text", "plain", "json", "sarif"),
        default="text",
        help="plain: a line each, file:line:column: level: text, as editors read them; "
        "sarif: SARIF 2.1.0 (default: text)",
    )
    _add_language(command, "default: en")
    command.add_argument(
        "--explain",
        metavar="RULE",
        nargs="?",
        const="",
        help="say what a rule looks at, why it matters and what to do; without RULE, list them all",
    )
    _add_as_planned(command)


def _add_lay(commands: Commands) -> None:
    command = _add_command(commands, "lay", "lay the wire and write it for other programs")
    command.add_argument("job", metavar="JOB", help="a plan file, or - for standard input")
    command.add_argument(
        "-o",
        "--output",
        metavar="FILE",
        help="write to FILE instead of standard output: .json, .geojson, .dxf, .csv (the pegs), "
        ".gpx (with a position)",
    )
    command.add_argument(
        "--staking",
        action="store_true",
        help="with .csv: the points that a surveyor stakes out, as point, east, north, note",
    )
    _add_as_planned(command)


def _add_compare(commands: Commands) -> None:
    command = _add_command(commands, "compare", "say what has changed from one plan to another")
    command.add_argument("old", metavar="OLD", help="the plan file as it was")
    command.add_argument(
        "new",
        metavar="NEW",
        nargs="?",
        help="the plan file as it is now (default: OLD as built, compared with OLD as planned)",
    )
    command.add_argument("--json", action="store_true", help="as JSON, for scripts")
    command.add_argument(
        "-o",
        "--output",
        metavar="FILE",
        help="print it as sheets: .pdf; .svg or .png for the first page",
    )
    command.add_argument(
        "--layout",
        metavar="NAME",
        help="with -o: changes, change-order for work on wire that lies, or a layout file of your "
        "own (default: changes)",
    )
    command.add_argument("--paper", help=f"{PAPER_HELP} (default: A4; Letter for a plan in feet)")
    _add_scale(command)
    _add_ink(command)
    _add_language(command, "default: set by the layout")


def _add_fault(commands: Commands) -> None:
    command = _add_command(commands, "fault", "say what a reading of the wire may mean")
    command.add_argument("job", metavar="JOB", help="a plan file")
    command.add_argument(
        "--reads",
        metavar="OHM",
        required=True,
        help="what the meter reads between the ends of the wire, or: open",
    )
    command.add_argument("--loop", metavar="NAME", help="the loop, where there are several")
    command.add_argument(
        "--temperature",
        metavar="C",
        type=float,
        default=20.0,
        help="of the ground, degrees Celsius (default: 20)",
    )
    command.add_argument(
        "--at",
        metavar="PLACE=whole|open",
        action="append",
        default=[],
        help="what was tested so far: whether the wire is whole from START to a place of the map",
    )
    command.add_argument("--json", action="store_true", help="as JSON, for scripts")
    command.add_argument(
        "-o", "--output", metavar="FILE", help="print it as a leaf to take along, .pdf; or -"
    )
    command.add_argument(
        "--layout", metavar="NAME", help="with -o: a layout file of your own (default: fault)"
    )
    command.add_argument("--paper", help=f"{PAPER_HELP} (default: A4; Letter for a plan in feet)")
    _add_scale(command)
    _add_ink(command)
    _add_language(command, "default: set by the layout")
    _add_as_planned(command)


def _add_extract(commands: Commands) -> None:
    command = _add_command(
        commands, "extract", "write the plan that a PDF holds, or a picture of a wiring map"
    )
    command.add_argument(
        "files",
        metavar="FILE",
        nargs="+",
        help="a PDF that pegline printed; or photographs or scans of the page with the squares, "
        ".png, .jpg or .pdf",
    )
    command.add_argument(
        "-o",
        "--output",
        metavar="FOLDER",
        default=".",
        help="where to put the plan file and its machine's; or the name of the plan file itself, "
        "which ends in .yaml or .json (default: this folder)",
    )


def _add_fmt(commands: Commands) -> None:
    command = _add_command(commands, "fmt", "put the keys of plan files in one order")
    command.add_argument(
        "files",
        metavar="FILE",
        nargs="+",
        help="a plan or day file in YAML, or - for standard input to standard output",
    )
    command.add_argument(
        "--check", action="store_true", help="only name the files that are in another order"
    )


def _add_draw(commands: Commands) -> None:
    command = _add_command(commands, "draw", "draw one scaled diagram")
    endings = ", ".join(f".{ending}" for ending in BACKENDS)
    command.add_argument("job", metavar="JOB", help="a plan file, or - for standard input")
    command.add_argument(
        "-o",
        "--output",
        metavar="FILE",
        required=True,
        help=f"output file; the extension ({endings}) sets the format; - is SVG to standard output",
    )
    command.add_argument("--paper", help=f"{PAPER_HELP} (default: A4; Letter for a plan in feet)")
    _add_scale(command)
    command.add_argument(
        "--ellipses",
        action="store_true",
        help="draw the error ellipses of the surveyed points, enlarged",
    )
    _add_ink(command)
    _add_language(command, "default: en")
    _add_as_planned(command)


def _add_survey(commands: Commands) -> None:
    command = _add_command(
        commands, "survey", "work out surveyed points and report readings that do not fit"
    )
    command.add_argument("job", metavar="JOB", help="a plan file with readings under survey")
    command.add_argument("--json", action="store_true", help="as JSON, for scripts")


def _add_print(commands: Commands) -> None:
    command = _add_command(commands, "print", "print the sheets of one or more jobs as a PDF")
    command.add_argument(
        "jobs", metavar="JOB", nargs="*", help="a plan file, or one day file (ends in .day.yaml)"
    )
    command.add_argument(
        "-o",
        "--output",
        metavar="FILE",
        required=True,
        help="output file, .pdf; or - for standard output",
    )
    command.add_argument(
        "--layout",
        metavar="NAME",
        help="what to print, or a layout file of your own "
        f"(default: {DEFAULT_LAYOUT} for one plan, {DEFAULT_PACK} for several)",
    )
    command.add_argument("--paper", help=f"{PAPER_HELP} (default: A4; Letter for a plan in feet)")
    _add_scale(command)
    _add_ink(command)
    _add_language(command, "default: set by the layout")
    command.add_argument(
        "--fields",
        action=argparse.BooleanOptionalAction,
        help="make tick boxes and write-in rows fillable on screen (default: set by the layout)",
    )
    command.add_argument(
        "--sides",
        type=int,
        choices=(1, 2),
        help="1 or 2: single- or double-sided printing; with 2, each job starts on a new sheet",
    )
    command.add_argument(
        "--full",
        action="store_true",
        help="print the whole work order of each job of a pack, not only the sheets to carry",
    )
    command.add_argument(
        "--class",
        dest="class_size",
        type=class_size,
        metavar="N",
        help="make N different exercises from one plan; the answer key goes to a separate file",
    )
    command.add_argument(
        "--set",
        dest="lesson_set",
        action="store_true",
        help="three easier sheets before each exercise; with the key a lesson plan, a yard sheet, "
        "practice with a meter and a record of competence (one set unless --class says more)",
    )
    command.add_argument(
        "--seed",
        type=int,
        metavar="N",
        help="random seed; the same seed gives the same exercises (default: 1)",
    )
    command.add_argument(
        "--key",
        metavar="FILE",
        help="file for the answer key (default: the output's name with -key)",
    )
    command.add_argument(
        "--processes",
        type=process_count,
        metavar="N",
        help="number of worker processes (default: one per core for 8 or more jobs)",
    )
    command.add_argument(
        "--cache",
        metavar="DIR",
        help="keep finished prints in this folder and use them again while nothing has changed",
    )
    command.add_argument(
        "--draft",
        action="store_true",
        help="print even if a finding stops the job, with a mark on every page",
    )
    command.add_argument(
        "--keep-going",
        action="store_true",
        help="leave out jobs that cannot be printed and print the others; the exit code is then 1",
    )
    _add_as_planned(command)


def _add_preview(commands: Commands) -> None:
    command = _add_command(
        commands, "preview", "show a job in the browser, redrawn whenever a file is saved"
    )
    command.add_argument("job", metavar="JOB", help="a plan file")
    command.add_argument(
        "--port",
        type=port,
        metavar="N",
        default=0,
        help="port of this machine's own address, 127.0.0.1 (default: a free one)",
    )
    command.add_argument("--open", action="store_true", help="open the page in the browser")
    command.add_argument(
        "--layout",
        metavar="NAME",
        help=f"what to show, or a layout file of your own (default: {DEFAULT_LAYOUT})",
    )
    command.add_argument("--paper", help=f"{PAPER_HELP} (default: A4; Letter for a plan in feet)")
    _add_scale(command)
    _add_ink(command)
    _add_language(command, "default: set by the layout")


def _add_new(commands: Commands) -> None:
    command = _add_command(
        commands, "new", "start a plan file from ten questions or another program's file"
    )
    command.add_argument(
        "-o", "--output", metavar="FILE", required=True, help="the plan file to write, .yaml"
    )
    command.add_argument(
        "--from",
        dest="source",
        metavar="FILE",
        help="a table of points or of ties (.csv), .geojson, .gpx, .kml, or .dxf, "
        "instead of questions",
    )
    command.add_argument(
        "--fixed",
        metavar="NAME=X,Y",
        action="append",
        default=[],
        help="a fixed point that the ties of a table start from, for example B=8.42,0",
    )
    command.add_argument(
        "--side",
        choices=("left", "right"),
        help="where the points of a table of ties lie, seen along the line from the first fixed "
        "point to the second",
    )
    command.add_argument(
        "--order",
        metavar="COLUMNS",
        help="columns of a table without a header, for example name,y,x,kind",
    )
    command.add_argument(
        "--units",
        choices=("m", "ft", "mm", "cm", "in"),
        help="unit of the numbers, if the file does not state it",
    )
    command.add_argument(
        "--kinds",
        metavar="NAME=KIND",
        action="append",
        default=[],
        help="kind of side along a shape or layer, for example LAWN=hedge; *=hedge for all others",
    )
    command.add_argument(
        "--check-distance",
        metavar="P,Q,LENGTH",
        action="append",
        default=[],
        help="a taped length between two points of the file, to check its scale",
    )


def _add_ink(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--ink",
        choices=("grey", "colour"),
        default="grey",
        help="colour shows wire, services and water in inks of their own, as well as by their "
        "lines (default: grey)",
    )


def _add_as_planned(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--as-planned",
        action="store_true",
        help="leave out what the plan records as built and changed",
    )


def _add_demo(commands: Commands) -> None:
    command = _add_command(commands, "demo", "write the demo's plans and day into a folder")
    command.add_argument(
        "folder",
        metavar="FOLDER",
        nargs="?",
        default="pegline-demo",
        help="where to; made if it is not there (default: pegline-demo)",
    )


def _add_scale(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--scale",
        type=scale,
        metavar="N",
        help="1:N, for example 100 or 1:100 (default: the largest standard scale that fits)",
    )


def _add_language(command: argparse.ArgumentParser, usual: str) -> None:
    command.add_argument(
        "--language", metavar="CODE", help=f"language of the printed text, for example de ({usual})"
    )


def class_size(text: str) -> int:
    """How many exercises a class needs; an argparse error for anything else."""
    if not text.strip().isdecimal() or not 1 <= int(text) <= CLASS_MOST:
        raise argparse.ArgumentTypeError(f"invalid class size {text!r}; write 1 to {CLASS_MOST}")
    return int(text)


def port(text: str) -> int:
    """A port to listen on, 0 for one that is free; an argparse error for anything else."""
    if not text.strip().isdecimal() or not 0 <= int(text) <= PORTS_MOST:
        raise argparse.ArgumentTypeError(f"invalid port {text!r}; write 1024 to {PORTS_MOST}")
    return int(text)


def process_count(text: str) -> int:
    """How many processes share the work; an argparse error for anything else."""
    if not text.strip().isdecimal() or not 1 <= int(text) <= PROCESSES_MOST:
        raise argparse.ArgumentTypeError(
            f"invalid number of processes {text!r}; write 1 to {PROCESSES_MOST}"
        )
    return int(text)


def scale(text: str) -> float:
    """The N of ``1:N`` or ``N``; an argparse error for anything else."""
    digits = text.strip().removeprefix("1:")
    try:
        value = float(digits)
    except ValueError:
        value = 0.0
    if not 1 <= value <= 100_000:
        raise argparse.ArgumentTypeError(f"invalid scale {text!r}; write 100 or 1:100")
    return value
