"""Exercises from one garden: other sizes, islands elsewhere, other figures, by a seed.

Each is laid anew by the engine; one that a finding stops is thrown away. The same seed gives the
same exercises.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from renderer.job import Job
from renderer.language import load_words
from renderer.teaching.anonymous import exercise_plan
from renderer.teaching.errors import LessonError
from renderer.units import M_PER_FOOT, MM_PER_INCH, MM_PER_M

if TYPE_CHECKING:
    from renderer.plan.model import Plan
    from renderer.progress import Progress


INCH_M = MM_PER_INCH / MM_PER_M
# What an exercise may differ in from the garden that it is made of.
STRETCH = (0.85, 1.2)  # of the whole garden, along and across
ISLAND_STRETCH = (0.8, 1.3)  # of a round obstacle's radius
SHIFT_SHARE = 0.08  # of the garden's size, by which an obstacle moves either way
SLACKS = (5.0, 8.0, 10.0)
SPACINGS_M = (2.5, 3.0, 3.5)
SPACINGS_FT = (8 * M_PER_FOOT, 10 * M_PER_FOOT, 12 * M_PER_FOOT)
FIRST_SPOOL_SHARES = (0.45, 0.8)  # of the wire, so that there is a splice to place
TRIES = 60  # gardens tried for one exercise before one with an extra warning is accepted

# Plans of one exercise, each with the number and title that are printed on it.
Started = Sequence[tuple["Plan", tuple[str, str]]]


class Dice:
    """Evenly spread numbers from a seed, the same on every machine."""

    def __init__(self, seed: int, number: int, attempt: int) -> None:
        self._random = random.Random(f"{seed}/{number}/{attempt}")

    def between(self, low: float, high: float) -> float:
        return low + (high - low) * self._random.random()

    def choice(self, choices: Sequence[float]) -> float:
        return choices[int(self._random.random() * len(choices))]

    def is_heads(self) -> bool:
        return self._random.random() < 0.5


def exercises(
    plan: Plan, language: str, count: int, seed: int, progress: Progress | None = None
) -> tuple[Job, ...]:
    """As many different exercises as asked for, each without a finding that stops its lay.

    Raises LessonError where no garden like the plan's can be laid without one.
    """
    words, plain = load_words(language), load_words()
    english = exercise_plan(plan, plain, 0)
    base = Job(exercise_plan(plan, words, 0), english=english)
    made: list[Job] = []
    for index in range(1, count + 1):
        told = [
            (
                each("teach.class-number", seed=str(seed), number=f"{index:02d}"),
                each("teach.class-title", number=str(index), count=str(count)),
            )
            for each in (words, plain)
        ]
        started = [(base.plan, told[0]), (english, told[1])]
        made.append(_exercise(base, made, seed, index, started))
        if progress:
            progress(index, count)
    return tuple(made)


def _exercise(base: Job, made: Sequence[Job], seed: int, index: int, started: Started) -> Job:
    """The first garden that lays as well as the plan does and is none of those made already.

    ``started`` are what it is made from, in the language that is printed and in English.
    """
    lengths = {round(job.wire_m, 2) for job in made}
    second: Job | None = None
    for attempt in range(TRIES):
        job = _tried(base, started, (seed, index, attempt))
        if job is None or round(job.wire_m, 2) in lengths:
            continue
        if _rules(job, "warn") <= _rules(base, "warn") and len(job.islands) >= len(base.islands):
            return job
        second = second or job
    if second is None:
        raise _none(base, index)
    return second


def _none(base: Job, index: int) -> LessonError:
    """Why there is no such garden: mostly a stop of the plan's own, which they all have."""
    problem = f"none of {TRIES} gardens like the plan's can be laid without a stop"
    cure = "give the plan more room round its islands, or use another seed"
    if own := sorted(_rules(base, "stop")):
        problem += f", nor the plan itself ({', '.join(own)})"
        cure = "mend what 'pegline check' calls a stop in the plan first"
    return LessonError(f"exercise {index}", problem, cure)


def _rules(job: Job, level: str) -> set[str]:
    return {finding.rule for finding in job.findings if finding.level == level}


def _tried(base: Job, started: Started, thrown: tuple[int, int, int]) -> Job | None:
    plan, english = (varied(each, base.wire_m, Dice(*thrown), told) for each, told in started)
    if plan is None or english is None:
        return None
    job = Job(plan, english=english)
    laid = len(job.lay.loops) == len(plan.loops)
    return job if laid and not _rules(job, "stop") else None


def varied(plan: Plan, wire_m: float, dice: Dice, told: tuple[str, str]) -> Plan | None:
    """The plan with other sizes, places and figures; ``None`` where they do not make a plan.

    ``wire_m`` is the wire of the plan itself, ``told`` number and title of the exercise.
    """
    from renderer.plan.model import Plan

    held: dict[str, Any] = plan.model_dump()
    machine = plan.machine  # what its file does not state stays so
    held["machine"] = machine.model_dump(exclude_unset=True)
    held["machine"]["peg_spacing"] = machine.peg_spacing.model_dump()
    held["job"] |= {"number": told[0], "title": told[1]}
    ground = _Ground(plan, dice)
    ground.place(held)
    _vary_machine(held["machine"], plan.units, dice)
    held["wire"]["slack_percent"] = dice.choice(SLACKS)
    held["wire"]["spools"] = _spools(wire_m * ground.longest, plan, dice)
    try:
        return Plan.model_validate(held)
    except ValueError:
        return None


class _Ground:
    """How one garden becomes another: stretched, mirrored, its obstacles moved and resized."""

    def __init__(self, plan: Plan, dice: Dice) -> None:
        self.dice = dice
        self.grid = 2 * INCH_M if plan.units == "ft" else 0.05
        self.stretch = (dice.between(*STRETCH), dice.between(*STRETCH))
        self.mirror = (dice.is_heads(), dice.is_heads())
        corners = [vertex.at for lawn in plan.lawns for vertex in lawn.outline]
        self.size = tuple(
            max(at[axis] for at in corners) - min(at[axis] for at in corners) for axis in (0, 1)
        )

    @property
    def longest(self) -> float:
        return max(self.stretch)

    def place(self, held: dict[str, Any]) -> None:
        """Moves everything in a plan's mapping."""
        for lawn in held["lawns"]:
            for vertex in lawn["outline"]:
                self._place(vertex, ("at", "through"))
        for obstacle in held["obstacles"]:
            self._place_thing(obstacle)
            self._move(obstacle)
        for feature in held["features"]:
            self._place_thing(feature)
        for point in held["survey"]["points"]:
            self._place(point, ("at",))
        for loop in held["loops"]:
            self._place(loop["dock"] or loop["generator"], ("at",))
            for crossing in loop["crossings"]:
                self._place(crossing, ("via",))

    def _place_thing(self, thing: dict[str, Any]) -> None:
        self._place(thing, ("at", "line", "polygon"))
        if thing["circle"] is not None:
            self._place(thing["circle"], ("at",))

    def _place(self, holder: dict[str, Any], keys: Sequence[str]) -> None:
        for key in keys:
            value = holder.get(key)
            if value is not None:
                is_point = bool(value) and isinstance(value[0], float | int)
                holder[key] = self.at(value) if is_point else [self.at(each) for each in value]

    def at(self, point: Sequence[float]) -> tuple[float, float]:
        """A point stretched, mirrored, on the grid that a tape is read to."""
        x, y = (
            round(value * stretch * (-1.0 if mirror else 1.0) / self.grid) * self.grid
            for value, stretch, mirror in zip(point, self.stretch, self.mirror, strict=True)
        )
        return round(x, 4) + 0.0, round(y, 4) + 0.0

    def _move(self, obstacle: dict[str, Any]) -> None:
        """The obstacle somewhat elsewhere, and a round one of another size."""
        dx, dy = (
            round(self.dice.between(-1, 1) * SHIFT_SHARE * size / self.grid) * self.grid
            for size in self.size
        )
        if obstacle["circle"] is None:
            obstacle["polygon"] = [
                (round(x + dx, 4), round(y + dy, 4)) for x, y in obstacle["polygon"]
            ]
            return
        circle = obstacle["circle"]
        circle["at"] = (round(circle["at"][0] + dx, 4), round(circle["at"][1] + dy, 4))
        radius = circle["radius"] * self.dice.between(*ISLAND_STRETCH)
        circle["radius"] = round(max(1, round(radius / self.grid)) * self.grid, 4)


def _vary_machine(machine: dict[str, Any], units: str, dice: Dice) -> None:
    """Other setbacks, passage, spacing and way of laying, each near to the plan's own."""
    step = 2 * INCH_M if units == "ft" else 0.05
    for kind, setback in machine["setback"].items():
        if setback > step:
            machine["setback"][kind] = round(setback + step * dice.choice((-1, 0, 1)), 4)
    passage = machine["passage_min"] + step * dice.choice((-2, 0, 2))
    machine["passage_min"] = round(max(passage, 2 * machine.get("corner_radius", 0.0), step), 4)
    machine["lay_direction"] = "clockwise" if dice.is_heads() else "anticlockwise"
    first = dice.choice(SPACINGS_FT if units == "ft" else SPACINGS_M)
    spacing = machine["peg_spacing"]
    spacing["first"] = max(first, spacing["final"])


def _spools(wire_m: float, plan: Plan, dice: Dice) -> list[float]:
    """Spools that hold the wire with some to spare, the first of them too short for it."""
    unit = 25 * M_PER_FOOT if plan.units == "ft" else 5.0

    def whole(length_m: float) -> float:
        return max(1, math.ceil(length_m / unit)) * unit

    first = whole(wire_m * dice.between(*FIRST_SPOOL_SHARES))
    largest = max(plan.wire.spools, default=first)
    spools = [min(first, whole(largest))]
    while sum(spools) < 1.15 * wire_m + 2 * unit:
        spools.append(whole(min(largest, 1.15 * wire_m + 2 * unit - sum(spools))))
    return [round(length, 4) for length in spools]
