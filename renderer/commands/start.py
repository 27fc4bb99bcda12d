"""What there is before a job: a new plan, the demo, layouts, the schema, completion."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from renderer.commands.common import ending_of, write_file
from renderer.explain import Usage
from renderer.terminal import EXIT_FINE, answer, complain, report_written, write_out

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterable, Sequence


def run_new(arguments: argparse.Namespace) -> int:
    """A plan file to go on with, from answers or from a file of another program."""
    ending_of(arguments.output, ("yaml", "yml"))
    if arguments.source is None:
        text = _by_questions(arguments)
    else:
        from renderer.formats import Options, import_plan

        options = Options(
            tuple(filter(None, (arguments.order or "").split(","))),
            arguments.units,
            tuple(arguments.check_distance),
            _kinds(arguments.kinds),
            tuple(arguments.fixed),
            arguments.side,
        )
        text = import_plan(arguments.source, options)
    if os.path.exists(arguments.output) and not _may_replace(arguments.output):
        raise Usage(
            f"{arguments.output}: this file already exists and is left as it is; name another one"
        )
    from renderer.editors import LINE, keep_schema_beside

    write_file(arguments.output, f"{LINE}\n{text}".encode())
    keep_schema_beside(arguments.output)
    report_written(arguments.output)
    return EXIT_FINE


def _by_questions(arguments: argparse.Namespace) -> str:
    from renderer.formats import read_back
    from renderer.formats.questions import NoAnswer, asked
    from renderer.formats.written import written

    options = ("order", "units", "kinds", "check_distance", "fixed", "side")
    if any(getattr(arguments, each) for each in options):
        raise Usage(
            "--order, --units, --kinds, --check-distance, --fixed and --side go with --from FILE"
        )
    try:
        text = written(asked(answer, complain))
    except NoAnswer as error:
        raise Usage(str(error)) from None
    read_back("the answers", text)
    return text


def _may_replace(path: str) -> bool:
    """Whether the person at the terminal lets a file be replaced; nobody there means no."""
    import sys

    if sys.stdin is None or not sys.stdin.isatty():
        return False
    return (answer(f"{path} exists. Replace it, yes or no [no]: ") or "").lower() in ("y", "yes")


def _kinds(stated: Sequence[str]) -> dict[str, str]:
    kinds = {}
    for each in stated:
        name, sign, kind = each.rpartition("=")
        if not (name and sign and kind):
            raise Usage(f"--kinds {each}: write NAME=KIND, such as LAWN=hedge")
        kinds[name.strip()] = kind.strip()
    return kinds


def run_demo(arguments: argparse.Namespace) -> int:
    """The demo's day in a folder, and what to do with it next."""
    import shlex

    from renderer.demo_day import write_demo

    names = write_demo(arguments.folder)
    write_out(
        f"{len(names)} files of an invented firm are in {arguments.folder}. For example:\n"
        f"  cd {shlex.quote(arguments.folder)}\n"
        "  pegline preview --open practice-lawn.plan.yaml\n"
        "  pegline print practice-lawn.plan.yaml -o practice-lawn.pdf\n"
        "  pegline print fernhill.day.yaml -o day.pdf\n"
    )
    return EXIT_FINE


def run_completion(arguments: argparse.Namespace) -> int:
    """The script that lets a shell complete commands, options and files."""
    from renderer.completion import NoShtab, completion

    try:
        write_out(completion(arguments.parser, arguments.shell))
    except NoShtab as missing:
        raise Usage(str(missing)) from None
    return EXIT_FINE


def run_schema(arguments: argparse.Namespace) -> int:
    """The JSON Schema of the plan file."""
    from renderer.editors import schema_text

    write_out(schema_text())
    return EXIT_FINE


def run_layouts(arguments: argparse.Namespace) -> int:
    """The layouts that come with pegline: name, title, and the blocks that each uses."""
    from renderer.sheets import layouts
    from renderer.sheets.blocks import BLOCKS

    lines = []
    for name, layout in layouts():
        lines.append(f"{name:<18} {layout.title}")
        if layout.each:
            lines += _listed("before the jobs", (use.block for use in layout.front))
            lines += _listed("each job", [layout.each.title])
        else:
            lines += _listed("blocks", (use.block for use in layout.uses))
    for scope, of in (("job", "blocks for a job"), ("pack", "blocks for a pack, before the jobs")):
        lines.append("")
        lines.append(of)
        lines += _listed("", (name for name, block in BLOCKS.items() if block.scope == scope))
    write_out("\n".join(lines) + "\n")
    return EXIT_FINE


def _listed(label: str, names: Iterable[str]) -> list[str]:
    import textwrap

    head = f"  {label}: " if label else "  "
    return textwrap.wrap(
        head + ", ".join(names), 79, subsequent_indent="    ", break_on_hyphens=False
    )
