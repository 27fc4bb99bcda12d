"""``python -m tests.fuzz``: changed files through the readers, for as long as you like.

Wrong answers are told with the command that makes the file again. A reader stuck in a library
that Python cannot interrupt is ended after a minute, with where it stood.
"""

from __future__ import annotations

import argparse
import faulthandler
import resource
import sys
import time
import warnings
from pathlib import Path

from tests.fuzz.readers import READERS
from tests.fuzz.run import Fault, Tally, changed_file, fuzz

SHARE = 500  # files of one reader before the next one's turn
MEMORY_MOST = 4_000_000_000


def main() -> int:
    """Runs the readers in turn; 1 where an answer was wrong."""
    arguments = _arguments()
    faulthandler.enable()
    warnings.filterwarnings("error", category=RuntimeWarning)
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_MOST, MEMORY_MOST))
    names = arguments.reader or list(READERS)
    if arguments.show is not None:
        seeds = READERS[names[0]].seeds()
        sys.stdout.buffer.write(changed_file(seeds, arguments.seed, arguments.show))
        return 0
    until = None if arguments.minutes is None else time.monotonic() + 60 * arguments.minutes
    tallies = {name: Tally(name) for name in names}
    for first in range(arguments.first, arguments.first + arguments.count, SHARE):
        for name in names:
            if until is not None and time.monotonic() > until:
                continue
            count = min(SHARE, arguments.first + arguments.count - first)
            faulthandler.dump_traceback_later(60 + count, exit=True)
            found = fuzz(name, count, arguments.seed, first, until)
            faulthandler.cancel_dump_traceback_later()
            _add(tallies[name], found)
            for fault in found.faults:
                _tell(fault, arguments.keep)
    return _summary(tallies)


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("--reader", action="append", choices=READERS, help="default: all")
    parser.add_argument("--count", type=int, default=1_000, help="files of each reader")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--first", type=int, default=0, help="number of the first file")
    parser.add_argument("--minutes", type=float, help="stop after so long")
    parser.add_argument("--show", type=int, metavar="NUMBER", help="write one file and stop")
    parser.add_argument("--keep", metavar="FOLDER", help="put files with a wrong answer there")
    return parser.parse_args()


def _add(tally: Tally, found: Tally) -> None:
    tally.read += found.read
    tally.refused += found.refused
    tally.cpu_s += found.cpu_s
    if found.slowest_s > tally.slowest_s:
        tally.slowest_s, tally.slowest = found.slowest_s, found.slowest
    tally.messages |= found.messages
    tally.faults += found.faults


def _tell(fault: Fault, keep: str | None) -> None:
    again = f"--reader {fault.reader} --seed {fault.seed} --show {fault.index}"
    print(f"WRONG  {again}\n       {fault.said[:400]}", flush=True)
    if keep is not None:
        Path(keep).mkdir(parents=True, exist_ok=True)
        name = f"{fault.reader}-{fault.seed}-{fault.index}{Path(READERS[fault.reader].name).suffix}"
        (Path(keep) / name).write_bytes(fault.data)


def _summary(tallies: dict[str, Tally]) -> int:
    row = "{:8} {:>8} {:>8} {:>8} {:>9} {:>8} {:>9}  {}".format
    print(row("reader", "files", "read", "refused", "messages", "CPU s", "slowest", "wrong"))
    for tally in tallies.values():
        files = tally.read + tally.refused
        cpu, slow = f"{tally.cpu_s:.0f}", f"{tally.slowest_s:.2f} s"
        row_of = (tally.reader, files, tally.read, tally.refused, len(tally.messages))
        print(row(*row_of, cpu, slow, len(tally.faults)))
    total = sum(tally.read + tally.refused for tally in tallies.values())
    wrong = sum(len(tally.faults) for tally in tallies.values())
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    print(f"{total} files, {wrong} wrong answers, at most {most} MB of memory")
    return 1 if wrong else 0


if __name__ == "__main__":
    raise SystemExit(main())
