"""Many changed files through one reader: each is read, or refused in a line fit to be read."""

from __future__ import annotations

import os
import re
import signal
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import NoReturn

from renderer.explain import MISTAKES_MOST, explanations
from tests.fuzz.mutations import mutated
from tests.fuzz.readers import READERS, fill

CPU_MOST_S = 20.0  # of one file, on any machine that runs the tests
LINE_MOST = 1_000  # letters of a message
NOT_FOR_A_PERSON = re.compile(
    r"bug in pegline|Traceback|(?:\bat |@)0x[0-9a-f]{6}|pydantic|<class |not enough memory"
)
CONTROL = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029]")


class Hang(BaseException):
    """A file that took too long; no reader may take it for an error of the file."""


@dataclass(slots=True)
class Fault:
    """A file that was answered wrongly: how it came about, and what was said."""

    reader: str
    seed: int
    index: int
    said: str
    data: bytes


@dataclass(slots=True)
class Tally:
    """How many files were read and refused, in how many seconds of the processor, the slowest."""

    reader: str
    read: int = 0
    refused: int = 0
    cpu_s: float = 0.0
    slowest_s: float = 0.0
    slowest: int = 0
    messages: set[str] = field(default_factory=set)
    faults: list[Fault] = field(default_factory=list)


def changed_file(seeds: tuple[bytes, ...], seed: int, index: int) -> bytes:
    """The file with a number, always the same for a seed, whichever were made before."""
    chance = Random(f"{seed} {index}")
    return mutated(chance.choice(seeds), chance)


def fuzz(reader: str, count: int, seed: int, first: int = 0, until: float | None = None) -> Tally:
    """The tally of ``count`` changed files; stops early at ``until``, a time of ``monotonic``."""
    kind, tally = READERS[reader], Tally(reader)
    seeds = kind.seeds()
    here = os.getcwd()
    with TemporaryDirectory() as place, watched():
        fill(Path(place))
        os.chdir(place)
        try:
            for index in range(first, first + count):
                if until is not None and time.monotonic() > until:
                    break
                data = changed_file(seeds, seed, index)
                Path(kind.name).write_bytes(data)
                begun = time.process_time()
                wrong = answer_to(kind.read, kind.name, tally)
                took = time.process_time() - begun
                tally.cpu_s += took
                if took > tally.slowest_s:
                    tally.slowest_s, tally.slowest = took, index
                if wrong:
                    tally.faults.append(Fault(reader, seed, index, wrong, data))
        finally:
            os.chdir(here)
    return tally


def answer_to(read: object, name: str, tally: Tally) -> str:
    """What is wrong with the answer to a file; empty where nothing is."""
    assert callable(read)
    # again and again: one that reaches a thread of a library instead is not seen by Python 3.11
    signal.setitimer(signal.ITIMER_PROF, CPU_MOST_S, 0.2)
    try:
        read(name)
        tally.read += 1
        return ""
    except Hang:
        return f"took more than {CPU_MOST_S:g} s"
    except RecursionError as error:
        return f"RecursionError: {error}"
    except Exception as error:
        signal.setitimer(signal.ITIMER_PROF, 0.0)
        tally.refused += 1
        lines = explanations(error, [name])
        tally.messages |= {re.sub(r"\d+|'[^']*'", "_", line) for line in lines[:1]}
        return next(filter(None, map(unfit, lines)), "") or _too_many(lines)
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0.0)


def unfit(line: str) -> str:
    """Why a line is nothing to show a person; empty where it is fit."""
    if NOT_FOR_A_PERSON.search(line):
        return line
    if CONTROL.search(line):
        return f"a control character in {line!r}"
    if len(line) > LINE_MOST:
        return f"{len(line)} letters in {line[:200]!r}"
    return "" if line.strip() else "an empty line"


def _too_many(lines: list[str]) -> str:
    return "" if 0 < len(lines) <= MISTAKES_MOST * 4 else f"{len(lines)} lines"


@contextmanager
def watched(most_s: float = 0.0) -> Iterator[None]:
    """Lets a reader that does not come back end in ``Hang``; Python code only, see ``--help``.

    The time of CPU that it has is ``most_s``, or set by the caller where that is 0.
    """

    def late(*_: object) -> NoReturn:
        raise Hang

    before = signal.signal(signal.SIGPROF, late)
    signal.setitimer(signal.ITIMER_PROF, most_s, 0.2 if most_s else 0.0)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0.0)
        signal.signal(signal.SIGPROF, before)
