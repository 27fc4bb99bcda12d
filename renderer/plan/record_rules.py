"""What must hold between the records of a plan and the rest of it, as far as nothing is laid."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from renderer.plan.errors import Problem, did_you_mean
from renderer.plan.rings import thing_points

if TYPE_CHECKING:
    from renderer.plan.errors import Loc
    from renderer.plan.model import Plan
    from renderer.plan.records import Record

XY = tuple[float, float]


def record_problems(plan: Plan) -> Iterator[Problem]:
    """Names that lead nowhere or occur twice, kinds without a setback, days out of order."""
    if plan.changes and plan.as_built is None:
        cure = "add the day it was laid: as_built: {date: 2026-06-09}"
        yield Problem(("changes",), "nothing is built yet that could be changed", cure)
        return
    there = {obstacle.name: obstacle.name for obstacle in plan.obstacles}
    for loc, record in located(plan):
        if record.design and loc != ("as_built",):
            cure = "leave it out; as_built has the design's code"
            yield Problem((*loc, "design"), "a later change is not laid from the design", cure)
        yield from _left_out(loc, record, there)
        yield from _added(plan, loc, record, there)
        yield from _moved_twice(loc, record)
        yield from _loops(plan, loc, record)
        yield from _readings(plan, loc, record)
    yield from _days(plan)


def located(plan: Plan) -> Iterator[tuple[Loc, Record]]:
    """Each record with the way to it in the file."""
    for index, record in enumerate(plan.records):
        yield ("as_built",) if index == 0 else ("changes", index - 1), record


def record_places(plan: Plan) -> Iterator[tuple[Loc, Sequence[XY]]]:
    """The places that records give by their coordinates, each with its way in the file."""
    for loc, record in located(plan):
        for index, obstacle in enumerate(record.added):
            yield (*loc, "added", index), thing_points(obstacle)
        for index, moved in enumerate(record.moved):
            if moved.to is not None:
                yield (*loc, "moved", index, "to"), [moved.to]
        for index, splice in enumerate(record.splices or ()):
            if splice.to is not None:
                yield (*loc, "splices", index, "to"), [splice.to]


def _left_out(loc: Loc, record: Record, there: dict[str, str]) -> Iterator[Problem]:
    for index, name in enumerate(record.left_out):
        if name in there:
            del there[name]
            continue
        where = (*loc, "left_out", index)
        cure = did_you_mean(name, there) or _names(there, "no obstacle is left")
        yield Problem(where, f"no obstacle is named '{name}'", cure)


def _added(plan: Plan, loc: Loc, record: Record, there: dict[str, str]) -> Iterator[Problem]:
    for index, obstacle in enumerate(record.added):
        where = (*loc, "added", index)
        if obstacle.name in there:
            problem = f"the name '{obstacle.name}' is already used by an obstacle"
            yield Problem((*where, "name"), problem, "give it a name of its own")
        there[obstacle.name] = obstacle.name
        if obstacle.kind != "firm" and obstacle.kind not in plan.machine.setback:
            problem = f"the setback of '{obstacle.kind}' is missing among the machine's figures"
            cure = f"add '{obstacle.kind}' to machine.setback from the maker's manual"
            yield Problem((*where, "kind"), problem, cure)


def _moved_twice(loc: Loc, record: Record) -> Iterator[Problem]:
    seen: dict[str, int] = {}
    for index, moved in enumerate(record.moved):
        first = seen.setdefault(moved.peg, index)
        if first != index:
            problem = f"peg {moved.peg} is moved by moved[{first}] already"
            yield Problem((*loc, "moved", index, "peg"), problem, "keep one of the two")


def _loops(plan: Plan, loc: Loc, record: Record) -> Iterator[Problem]:
    names = [loop.name for loop in plan.loops]
    for index, splice in enumerate(record.splices or ()):
        where = (*loc, "splices", index)
        if splice.loop is not None and splice.loop not in names:
            cure = did_you_mean(splice.loop, names) or _names(names)
            yield Problem((*where, "loop"), f"no loop is named '{splice.loop}'", cure)
        elif splice.loop is None and splice.along_m is not None and len(names) > 1:
            problem = "it does not say along which loop"
            yield Problem(where, problem, f"add loop: {names[0]}, or another of the loops")


def _readings(plan: Plan, loc: Loc, record: Record) -> Iterator[Problem]:
    names = [loop.name for loop in plan.loops]
    spools = len(record.spools or plan.wire.spools)
    for index, reading in enumerate(record.readings):
        where = (*loc, "readings", index, "what")
        number = spool_number(reading.what)
        if reading.what in names:
            continue
        if number is None:
            cure = did_you_mean(reading.what, names) or f"{_names(names)}, or write spool 1"
            yield Problem(where, f"there is no loop '{reading.what}' to read", cure)
        elif not 1 <= number <= spools:
            cure = f"write spool 1 to spool {spools}" if spools else "list the spools first"
            yield Problem(where, f"there is no spool {number}", cure)


def _days(plan: Plan) -> Iterator[Problem]:
    last = None
    for loc, record in located(plan):
        if record.date is not None and last is not None and record.date < last:
            problem = f"{record.date} is before {last}, the day of the record before it"
            yield Problem((*loc, "date"), problem, "put the records in the order of their days")
        last = record.date or last


def _names(names: Sequence[str] | dict[str, str], none: str = "") -> str:
    return f"name one of: {', '.join(names)}" if names else none


def spool_number(what: str) -> int | None:
    """The N of a reading of ``spool N``, from 1; ``None`` where it is of something else."""
    word, _, number = what.strip().partition(" ")
    is_spool = word.casefold() == "spool" and number.strip().isdecimal()
    return int(number) if is_spool else None
