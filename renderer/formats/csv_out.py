"""Tables as CSV: the pegs in the order of the wire, and the points that a surveyor stakes out."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from renderer.formats.found import each_once
from renderer.formats.things import DECIMALS, Thing, things

if TYPE_CHECKING:
    from renderer.formats.things import Fact
    from renderer.job import Job

PEGS = ("loop", "peg", "at_m", "also_at_m", "x_m", "y_m", "round", "reason", "control", "by_leg")
STAKED = ("point", "east_m", "north_m", "note")


def write(job: Job, path: str) -> bytes:
    """The pegs, a row each."""
    rows = (_peg(thing) for thing in things(job) if thing.layer.startswith("PEGS"))
    return _table(PEGS, rows)


def write_staking(job: Job) -> bytes:
    """Fixed points to check by, docks, pegs and splices: name, east, north, note.

    East and north are the plan's x and y. Each name is there once, pegs with a P before them.
    """
    staked = list(_staked(job))
    names = each_once(point_name(thing) for thing, _ in staked)
    rows = (
        (name, *(_number(along) for along in thing.points[0]), note)
        for name, (thing, note) in zip(names, staked, strict=True)
    )
    return _table(STAKED, rows)


def _staked(job: Job) -> Iterator[tuple[Thing, str]]:
    for thing in things(job):
        facts = thing.facts
        if thing.layer == "FIXED-POINTS":
            yield thing, f"fixed {facts['what']}".rstrip()
        elif thing.layer == "DOCK":
            yield thing, str(facts["kind"])
        elif thing.layer.startswith("PEGS"):
            yield thing, f"peg, round {facts['round']}, {facts['reason']}"
        elif thing.layer == "SPLICES":
            yield thing, "splice"


def point_name(thing: Thing) -> str:
    """The name of a point among all others: ``P14`` of peg 14, ``dock main``."""
    if thing.layer.startswith("PEGS"):
        return f"P{thing.name}"
    return f"{thing.facts['kind']} {thing.name}" if thing.layer == "DOCK" else thing.name


def _peg(thing: Thing) -> tuple[str, ...]:
    x, y = (_number(along) for along in thing.points[0])
    facts = thing.facts
    at, also = (_cell(facts[key]) for key in ("at_m", "also_at_m"))
    rest = (_cell(facts[key]) for key in ("round", "reason", "control", "by_leg"))
    return (_cell(facts["loop"]), thing.name, at, also, x, y, *rest)


def _cell(fact: Fact) -> str:
    if fact is None:
        return ""
    if isinstance(fact, bool):
        return "yes" if fact else "no"
    return _number(fact) if isinstance(fact, float) else str(fact)


def _number(value: float) -> str:
    return f"{value + 0.0:.{DECIMALS}f}"


def _table(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> bytes:
    """A table with its header, lines as RFC 4180 ends them."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(head)
    writer.writerows(rows)
    return out.getvalue().encode()
