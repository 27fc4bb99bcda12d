"""The day file: which plans a crew lays in one day, in what order, and what is on the van."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Sequence
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, ValidationError, model_validator

from renderer.plan.base import Model
from renderer.plan.complaints import complaints
from renderer.plan.errors import PlanError, Problem, key_path, refuse, shown
from renderer.plan.files import text_of, tree_of
from renderer.plan.lengths import UNITS
from renderer.plan.limits import Within
from renderer.plan.model import Plan
from renderer.plan.reader import load
from renderer.plan.tree import Mapping, Scalar, line_of
from renderer.plan.values import Day, Line, Name, Number, Text, Units, Whole, read_units
from renderer.plan.wire import OneSize, Spool

KEYS = "day, crew, date, jobs, drive_home, breaks, stock"
DAY_MIN = 24 * 60


def read_day_version(value: object) -> int:
    """The version of the day file."""
    if value not in (1, "1"):
        refuse(f"this program reads day files of version 1, not {shown(value)}", "write day: 1")
    return 1


def read_clock(value: object) -> int:
    """Minutes after midnight of a time such as 07:30."""
    if isinstance(value, int) and not isinstance(value, bool):
        return value
    found = re.fullmatch(r"([01]?[0-9]|2[0-3])[:.]([0-5][0-9])", str(value))
    if not found:
        refuse(f"{shown(value)} is not a time of day", "write hours and minutes such as 07:30")
    return int(found[1]) * 60 + int(found[2])


def read_jobs(value: object) -> object:
    """Jobs as mappings; a bare path is a job without a drive."""
    if not isinstance(value, list | tuple):
        return value
    return [{"plan": job} if isinstance(job, str) else job for job in value]


Count = Annotated[Whole, Within(0, 1_000_000)]
Drive = Annotated[Number, Within(0, DAY_MIN, " minutes")]


class DayJob(Model):
    """A job of the day: the path of its plan, and the minutes it takes to get there."""

    plan: Name
    drive: Drive = 0.0


class StockWire(OneSize):
    """Spools of one kind of wire on the van."""

    spools: tuple[Spool, ...] = Field(min_length=1)


class Stock(Model):
    """What is on the van; ``spools`` where all jobs share one kind of wire, else ``wires``."""

    spools: tuple[Spool, ...] = ()
    wires: tuple[StockWire, ...] = ()
    pegs: Count | None = None
    connectors: Count | None = None
    terminals: Count | None = None

    @model_validator(mode="after")
    def _either_way(self) -> Stock:
        if self.spools and self.wires:
            refuse("the stock has both spools and wires", "keep one of them", ("wires",))
        kinds = [wire.kind for wire in self.wires]
        for index, kind in enumerate(kinds):
            if kind in kinds[:index]:
                loc = ("wires", index)
                refuse("this wire is listed twice", "put all its spools in one list", loc)
        return self

    @property
    def has_wire(self) -> bool:
        return bool(self.spools or self.wires)


class DayPlan(Model):
    """A day's work as the file says it; lengths in metres, ``start`` in minutes after midnight."""

    day: Annotated[Literal[1], BeforeValidator(read_day_version)]
    units: Annotated[Units, BeforeValidator(read_units)] = "m"
    crew: Line = ""
    date: Day | None = None
    start: Annotated[int, BeforeValidator(read_clock)] | None = None
    jobs: Annotated[tuple[DayJob, ...], BeforeValidator(read_jobs)] = Field(min_length=1)
    drive_home: Drive | None = None  # minutes; as long as the drive to the first job, if left out
    breaks: Drive | None = None  # minutes; those of common practice, if left out
    stock: Stock = Stock()
    notes: tuple[Text, ...] = ()

    @model_validator(mode="after")
    def _each_plan_once(self) -> DayPlan:
        names = [os.path.normpath(job.plan) for job in self.jobs]
        for index, name in enumerate(names):
            if name in names[:index]:
                problem = "this plan is already in the day file"
                refuse(problem, "list each once", ("jobs", index, "plan"))
        return self


def load_day(path: str | os.PathLike[str]) -> tuple[DayPlan, tuple[Plan, ...]]:
    """The day in the YAML or JSON file at ``path`` and the plans that it names, in its order.

    Plans are looked for from the day file's folder. Raises PlanError for all that can be wrong
    with the day file or one of the plans.
    """
    day, plans, errors = load_sound_day(path)
    if errors:
        raise PlanError.of(errors)
    return day, plans


def load_sound_day(
    path: str | os.PathLike[str],
) -> tuple[DayPlan, tuple[Plan, ...], tuple[PlanError, ...]]:
    """The same with only the jobs whose plans can be used, and the mistakes of the other plans.

    Raises PlanError for mistakes of the day file itself, and where no plan can be used.
    """
    name = os.fspath(path)
    tree = tree_of(text_of(name), name, KEYS)
    unit = tree.get("units")
    units = str(unit) if isinstance(unit, Scalar) and unit in UNITS else "m"
    try:
        day = DayPlan.model_validate(dict(tree), context={"units": units})
    except ValidationError as error:
        told = [_told(name, tree, each) for each in complaints(error, DayPlan)]
        raise PlanError.of(sorted(told, key=lambda each: each.line)) from None
    sound: dict[int, Plan] = {}
    errors: list[PlanError] = []
    for index, job in enumerate(day.jobs):
        try:
            sound[index] = _plan(os.path.dirname(name), job.plan, name, tree, index)
        except PlanError as error:
            errors += error.all
    if not sound:
        raise PlanError.of(errors)
    _require_own_numbers(name, tree, day, sound)
    plans = tuple(sound.values())
    _require_named_wires(name, tree, day, plans)
    if errors:
        day = day.model_copy(update={"jobs": tuple(day.jobs[index] for index in sound)})
    return day, plans, tuple(errors)


def require_each_once(paths: Sequence[str], numbers: Sequence[str]) -> None:
    """Raises PlanError where a pack has the same plan file twice, or two with the same job number.

    A crew would lay the one garden twice, or file the sheets of two gardens as one.
    """
    for index, key, problem, cure in _twice(paths, paths, numbers):
        raise PlanError(paths[index], 0, key, problem, cure)


def _twice(
    names: Sequence[str], places: Sequence[str], numbers: Sequence[str]
) -> Iterator[tuple[int, str, str, str]]:
    """Each plan that is already in the pack: its index, the key, what is wrong, the cure."""
    files: dict[str, str] = {}
    jobs: dict[str, str] = {}
    for index, (name, place, number) in enumerate(zip(names, places, numbers, strict=True)):
        real = os.path.realpath(place)
        if real in files:
            also = "" if files[real] == name else f", as '{files[real]}'"
            yield index, "", f"this plan is already in the pack{also}", "list it once"
        elif number in jobs:
            problem = f"the plan '{jobs[number]}' also has the job number {shown(number)}"
            yield (
                index,
                "job.number",
                problem,
                "give each job a number of its own, or leave one out",
            )
        files.setdefault(real, name)
        jobs.setdefault(number, name)


def _require_own_numbers(name: str, tree: Mapping, day: DayPlan, plans: dict[int, Plan]) -> None:
    """Refuse a plan that is in the day under another name, and two with the same job number.

    ``plans`` are those that can be used, by their place in the day.
    """
    names = [day.jobs[index].plan for index in plans]
    places = [os.path.join(os.path.dirname(name), each) for each in names]
    numbers = [plan.job.number for plan in plans.values()]
    for at, _, problem, cure in _twice(names, places, numbers):
        raise _told(name, tree, Problem(("jobs", [*plans][at], "plan"), problem, cure))


def plans_named(path: str | os.PathLike[str]) -> tuple[str, ...]:
    """The plan files that the day file at ``path`` names, as far as they can be read."""
    name = os.fspath(path)
    jobs = tree_of(text_of(name), name, KEYS).get("jobs")
    plans = (
        [job.get("plan") for job in jobs if isinstance(job, dict)] if isinstance(jobs, list) else []
    )
    return tuple(
        os.path.join(os.path.dirname(name), plan) for plan in plans if isinstance(plan, str)
    )


def _plan(folder: str, plan: str, name: str, tree: Mapping, index: int) -> Plan:
    place = os.path.join(folder, plan)
    try:
        return load(place)
    except PlanError as error:
        if error.path != place or error.line:
            raise
        problem = f"the plan '{place}' cannot be used ({error.problem})"
        cure = "write its path from the day file's folder"
        raise _told(name, tree, Problem(("jobs", index, "plan"), problem, cure)) from None


def _require_named_wires(name: str, tree: Mapping, day: DayPlan, plans: Sequence[Plan]) -> None:
    """Refuse a stock that does not say what wire is on the spools."""
    by_kind: dict[Any, str] = {}
    for plan in plans:
        by_kind.setdefault(plan.wire.kind, plan.job.number)
    if day.stock.spools and len(by_kind) > 1:
        problem = f"the jobs {' and '.join(by_kind.values())} do not use the same wire"
        cure = "list the spools by wire: wires: [{conductor_mm2: 0.75, spools: [100]}, ...]"
        raise _told(name, tree, Problem(("stock", "spools"), problem, cure))


def _told(name: str, tree: Mapping, problem: Problem) -> PlanError:
    line = line_of(tree, problem.loc)
    return PlanError(name, line, key_path(problem.loc), problem.problem, problem.cure)
