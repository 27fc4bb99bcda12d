"""``python -m tests.fuzz.gardens``: random gardens laid, checked, drawn, and one in ten printed.

None may bring an error, a fault of the engine that a check finds (``tests/checks``), or take more
than 30 s of CPU. One in ten is drawn twice, to the same bytes, and one that is printed may be given
odd texts: ``check`` has to refuse it where ``print`` does, and only there. A garden depends only on
the seed and its number (with one version of hypothesis); wrong ones are written out.
"""

from __future__ import annotations

import argparse
import gc
import json
import os
import sys
import time
import traceback
from dataclasses import dataclass
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from unittest.mock import patch

from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st
from hypothesis.internal.conjecture import providers

import renderer
from tests.checks.test_random_gardens import NEVER
from tests.fuzz.run import Hang, watched
from tests.fuzz.small import small_gardens
from tests.fuzz.test_properties import answer, with_words
from tests.ground.gardens import gardens

SHARE = 200  # gardens that are thought up at a time
EVERY = 10  # how many gardens there are for one that is printed, or drawn twice
LARGE_EVERY = 25  # parts, of which one has large gardens where sizes are mixed
CPU_MOST_S = 30.0
PRINTED, TWICE = 0, 5  # the number of such a garden among its ten


@dataclass(slots=True)
class Tally:
    """What has been looked at so far."""

    gardens: int = 0
    printed: int = 0
    refused: int = 0  # of those printed, by check and print alike
    wrong: int = 0
    cpu_s: float = 0.0
    slowest_s: float = 0.0

    def __str__(self) -> str:
        return (
            f"{self.gardens} gardens, {self.printed} printed ({self.refused} refused), "
            f"{self.wrong} wrong, {self.cpu_s:.0f} s of CPU, slowest {self.slowest_s:.1f} s"
        )


def some(start: int, part: int, size: str = "large") -> list[str]:
    """The gardens of a part, always the same for a seed."""
    large = size == "large" or (size == "mixed" and part % LARGE_EVERY == LARGE_EVERY - 1)
    kind: st.SearchStrategy[str] = gardens() if large else small_gardens()
    found: list[str] = []

    @seed(start * 1_000_000 + part)
    @settings(
        max_examples=SHARE,
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(kind)
    def collect(text: str) -> None:
        found.append(text)

    # else numbers are also taken from the source of whatever modules are loaded by then
    with patch.object(providers, "_get_local_constants", providers.Constants):
        collect()
    return found


def wrong(text: str, number: int, tally: Tally) -> str:
    """What is wrong with a garden; empty where nothing is. ``number`` says what is done to it."""
    from renderer.plan import loads

    begun = time.process_time()
    try:
        job = renderer.prepare(loads(text, "garden.json"))
        if found := [hit.rule for hit in job.findings if hit.rule in NEVER]:
            return "a check finds " + ", ".join(found)
        drawn = renderer.draw(job)
        if number % EVERY == TWICE and drawn != renderer.draw(loads(text, "garden.json")):
            return "drawn twice it is not the same"
        if number % EVERY == PRINTED and (said := printed(text, number, tally)):
            return said
    except Hang:
        return "does not come to an end"
    except Exception:
        return traceback.format_exc(limit=-4)
    took = time.process_time() - begun
    return f"took {took:.0f} s" if took > CPU_MOST_S else ""


def printed(text: str, number: int, tally: Tally) -> str:
    """What is wrong where it is checked and printed by the command, in the folder it runs in."""
    odd = number % (2 * EVERY) == PRINTED
    held = with_words(json.loads(text), Random(f"{text} {number}")) if odd else json.loads(text)
    Path("g.json").write_text(json.dumps(held), "utf-8")
    checked, said = answer("check", "g.json")
    done, told = answer("print", "g.json", "--draft", "-o", "g.pdf")
    tally.printed += 1
    tally.refused += done == 2
    if "bug in pegline" in said + told:
        return f"{said}\n{told}\n{held['job']}"
    if (checked == 2) != (done == 2):
        return f"check ends with {checked}, print with {done}: {said}\n{told}\n{json.dumps(held)}"
    return ""


def main() -> int:
    """Looks at the gardens part by part; 1 where one is wrong."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz.gardens", description=__doc__)
    parser.add_argument("--count", type=int, default=1_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--part", type=int, default=0, help=f"first part; each has {SHARE} gardens")
    parser.add_argument("--size", choices=("mixed", "small", "large"), default="mixed")
    parser.add_argument("--minutes", type=float, help="stop after so long")
    parser.add_argument("--keep", default="wrong-gardens", help="folder for gardens that are wrong")
    asked = parser.parse_args()
    until = None if asked.minutes is None else time.monotonic() + 60 * asked.minutes
    keep, tally = Path(asked.keep).resolve(), Tally()
    gc.disable()  # collected after each part of ten instead, which saves a third of the time
    with TemporaryDirectory() as place:
        os.chdir(place)  # for what is written and printed
        for part in range(asked.part, asked.part + -(-asked.count // SHARE)):
            if until is not None and time.monotonic() > until:
                break
            thought_up = some(asked.seed, part, asked.size)
            gc.collect()
            gc.freeze()  # what is there by now stays, and need not be looked through ten at a time
            for number, text in enumerate(thought_up):
                if until is not None and time.monotonic() > until:
                    break
                look_at(text, number, tally, keep / f"{asked.seed}-{part}-{number}.plan.json")
            print(f"part {part}: {tally}", flush=True)
        os.chdir(keep.parent)
    return 1 if tally.wrong else 0


def look_at(text: str, number: int, tally: Tally, keep: Path) -> None:
    """Looks at one garden and keeps it where it is wrong."""
    begun = time.process_time()
    with watched(2 * CPU_MOST_S):
        said = wrong(text, number, tally)
    took = time.process_time() - begun
    tally.gardens += 1
    tally.cpu_s += took
    tally.slowest_s = max(tally.slowest_s, took)
    if number % EVERY == 0:
        gc.collect()
    if said:
        tally.wrong += 1
        keep.parent.mkdir(parents=True, exist_ok=True)
        keep.write_text(text, "utf-8")
        print(f"WRONG  {keep}\n{said}", flush=True)


if __name__ == "__main__":
    sys.exit(main())
