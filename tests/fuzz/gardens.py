"""``python -m tests.fuzz.gardens``: random gardens laid, checked, drawn, and one in ten printed.

None may bring an error, a fault of the engine that a check finds (``tests/checks``), or take more
than 30 s of CPU. A garden depends only on the seed and its number; wrong ones are written out.
"""

from __future__ import annotations

import argparse
import sys
import time
import traceback
from pathlib import Path

from hypothesis import HealthCheck, Phase, given, seed, settings

import renderer
from tests.checks.test_random_gardens import NEVER
from tests.fuzz.run import Hang, watched
from tests.ground.gardens import gardens

SHARE = 200  # gardens that are thought up at a time
PRINT_EVERY = 10
CPU_MOST_S = 30.0


def some(start: int, part: int) -> list[str]:
    """The gardens of a part, always the same for a seed."""
    found: list[str] = []

    @seed(start * 1_000_000 + part)
    @settings(
        max_examples=SHARE,
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(gardens())
    def collect(text: str) -> None:
        found.append(text)

    collect()
    return found


def wrong(text: str, printed: bool) -> str:
    """What is wrong with a garden; empty where nothing is."""
    from renderer.plan import loads

    begun = time.process_time()
    try:
        job = renderer.prepare(loads(text, "garden.json"))
        if found := [hit.rule for hit in job.findings if hit.rule in NEVER]:
            return "a check finds " + ", ".join(found)
        renderer.draw(job)
        if printed:
            renderer.print_sheets([job], draft=True)
    except Hang:
        return "does not come to an end"
    except Exception:
        return traceback.format_exc(limit=-4)
    took = time.process_time() - begun
    return f"took {took:.0f} s" if took > CPU_MOST_S else ""


def main() -> int:
    """Looks at the gardens part by part; 1 where one is wrong."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz.gardens", description=__doc__)
    parser.add_argument("--count", type=int, default=1_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--part", type=int, default=0, help=f"first part; each has {SHARE} gardens")
    parser.add_argument("--minutes", type=float, help="stop after so long")
    parser.add_argument("--keep", default="wrong-gardens", help="folder for gardens that are wrong")
    asked = parser.parse_args()
    until = None if asked.minutes is None else time.monotonic() + 60 * asked.minutes
    done = prints = bad = 0
    slowest = 0.0
    for part in range(asked.part, asked.part + -(-asked.count // SHARE)):
        for number, text in enumerate(some(asked.seed, part)):
            if until is not None and time.monotonic() > until:
                break
            printed = number % PRINT_EVERY == 0
            begun = time.process_time()
            with watched(2 * CPU_MOST_S):
                said = wrong(text, printed)
            slowest = max(slowest, time.process_time() - begun)
            done, prints = done + 1, prints + printed
            if said:
                bad += 1
                kept = Path(asked.keep) / f"{asked.seed}-{part}-{number}.plan.json"
                kept.parent.mkdir(parents=True, exist_ok=True)
                kept.write_text(text, "utf-8")
                print(f"WRONG  {kept}\n{said}", flush=True)
        print(f"{done} gardens, {prints} printed, {bad} wrong, slowest {slowest:.1f} s", flush=True)
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
