"""Prints the tables: ``python -m benchmarks``, from the root of a checkout."""

from __future__ import annotations

import argparse
import gc
import platform
from collections.abc import Callable, Iterator
from datetime import date
from importlib.util import find_spec

from benchmarks.cold import cold, memory
from benchmarks.growth import growth
from benchmarks.rendering import rendering
from benchmarks.slips import slips
from benchmarks.stages import stages
from benchmarks.table import Table
from renderer.cli import COLLECT

Section = Callable[[], list[Table]]


def main() -> None:
    """Reads the arguments and prints one section after the other, each as soon as it is done."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="the small garden, a few rounds")
    parser.add_argument("--markdown", action="store_true", help="tables as Markdown")
    parser.add_argument("--rounds", type=int, help="paired runs of each (9, with --quick 2)")
    parser.add_argument("--only", metavar="SECTION", choices=tuple(sections(False, 1)))
    arguments = parser.parse_args()
    gc.set_threshold(*COLLECT)  # for all peers alike, as the command itself runs
    print(_machine(), end="\n\n")
    rounds = arguments.rounds or (2 if arguments.quick else 9)
    chosen = sections(arguments.quick, rounds)
    for name, section in chosen.items():
        if arguments.only in (None, name):
            for table in section():
                print(table.markdown() if arguments.markdown else table.text(), flush=True)


def sections(quick: bool, rounds: int) -> dict[str, Section]:
    """What can be measured, by name."""
    found: dict[str, Section] = {
        "rendering": lambda: rendering(rounds, others=not quick),
        "stages": lambda: stages(rounds, all_gardens=not quick),
        "cold": lambda: cold(rounds),
        "memory": memory,
        "survey": lambda: slips(2 if quick else 200),
        "growth": lambda: growth(rounds if quick else 0),
    }
    if quick:
        del found["memory"]
    return found


def _machine() -> str:
    return " · ".join(_facts())


def _facts() -> Iterator[str]:
    yield date.today().isoformat()
    yield f"Python {platform.python_version()}"
    yield f"{platform.system()} {platform.machine()}"
    yield "with rl_accel" if find_spec("_rl_accel") else "without rl_accel"


if __name__ == "__main__":
    main()
