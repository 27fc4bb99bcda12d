"""A plan for the class: the ground and the figures of a job, nothing that says whose it is."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from renderer.job import Job
from renderer.language import Words, load_words
from renderer.plan.kinds import FEATURES
from renderer.plan.lengths import UNITS

if TYPE_CHECKING:
    from renderer.plan.machine import Machine
    from renderer.plan.model import Crossing, Feature, Loop, Obstacle, Plan, ReferencePoint

CORNER_STEP = 10.0  # metres or feet: a round point, so that corners on a grid stay on it
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def anonymous_job(job: Job, words: Words, index: int) -> Job:
    """The job laid again from its plan without names; the same job where it has none."""
    if job.anonymous:
        return job
    named = exercise_plan(job.plan, words, index)
    return Job(named, english=exercise_plan(job.plan, load_words(), index))


def exercise_plan(plan: Plan, words: Words, index: int) -> Plan:
    """The plan without names, as the exercise of a number."""
    number, title = (words(f"teach.{part}", number=str(index)) for part in ("number", "title"))
    return anonymous(plan, words, number, title)


def anonymous_jobs(jobs: Sequence[Job], language: str) -> tuple[Job, ...]:
    """The jobs without names, as the exercises of a class from 1 on, in its language."""
    words = load_words(language)
    return tuple(anonymous_job(job, words, index) for index, job in enumerate(jobs, 1))


def anonymous(plan: Plan, words: Words, number: str, title: str) -> Plan:
    """The plan with the number and title of an exercise, every free text replaced or left out.

    Lawns, obstacles, features and points are named by what they are, with a number where there are
    several. Sockets and supplies, acknowledgements, revisions, records and the date are left out:
    what was moved in one garden says nothing of the gardens made from it. Coordinates are about an
    origin of their own.
    """
    from renderer.plan.model import JobHead, Survey

    plan = _about_a_corner(plan)
    lawns = _numbered([words("teach.lawn")] * len(plan.lawns))
    lawn_of = {lawn.name: name for lawn, name in zip(plan.lawns, lawns, strict=True)}
    loop_of = {loop.name: str(n) for n, loop in enumerate(plan.loops, 1)}
    if len(loop_of) == 1:
        loop_of = dict.fromkeys(loop_of, words("teach.loop"))
    asked = words("teach.asked") if plan.job.services_asked else ""
    told = plan.model_copy(
        update={
            "job": JobHead(number=number, title=title, services_asked=asked),
            "machine": _machine(plan, words),
            "survey": Survey(points=tuple(_points(plan))),
            "lawns": tuple(
                lawn.model_copy(update={"name": lawn_of[lawn.name], "loop": loop_of[lawn.loop]})
                for lawn in plan.lawns
            ),
            "obstacles": _obstacles(plan, words),
            "features": _features(plan, words),
            "loops": tuple(_loop(loop, loop_of[loop.name], lawn_of, words) for loop in plan.loops),
            "wire": plan.wire.model_copy(update={"conductor": _conductor(plan, words)}),
            "position": None,
            "acknowledged": (),
            "revisions": (),
            "as_built": None,
            "changes": (),
            "owner_copy": None,
        }
    )
    told.keep_origin((0.0, 0.0))  # coordinates of a national grid say where the garden is
    return told


def _about_a_corner(plan: Plan) -> Plan:
    """The plan with small coordinates: from a round point at its lower left if it is far from zero.

    Distances of hundreds of metres say where a garden is, and make its sums needlessly long.
    """
    from renderer.plan.origin import about_origin, moved

    plan, step = about_origin(plan), CORNER_STEP * UNITS[plan.units]
    corners = [vertex.at for lawn in plan.lawns for vertex in lawn.outline]
    low = [min(values) for values in zip(*corners, strict=True)]
    high = [max(values) for values in zip(*corners, strict=True)]
    if all(a - step <= 0.0 <= b + step for a, b in zip(low, high, strict=True)):
        return plan
    x, y = (math.floor(value / step) * step for value in low)
    return moved(plan, (-x, -y))


def _machine(plan: Plan, words: Words) -> Machine:
    """The machine without a name; taping pegs costs nothing, since no exercise counts them."""
    minutes = plan.machine.minutes.model_copy(update={"per_control": 0.0})
    return plan.machine.model_copy(update={"label": words("teach.machine"), "minutes": minutes})


def _numbered(names: list[str]) -> list[str]:
    """Names with a number after each that there are several of."""
    several = Counter(names)
    seen: Counter[str] = Counter()
    told = []
    for name in names:
        seen[name] += 1
        told.append(f"{name} {seen[name]}" if several[name] > 1 else name)
    return told


def _points(plan: Plan) -> Iterator[ReferencePoint]:
    for index, point in enumerate(plan.survey.points):
        letter, again = LETTERS[index % len(LETTERS)], index // len(LETTERS)
        name = f"{letter}{again}" if again else letter
        yield point.model_copy(update={"name": name, "what": ""})


def _obstacles(plan: Plan, words: Words) -> tuple[Obstacle, ...]:
    names = _numbered([words(f"thing.{each.kind}") for each in plan.obstacles])
    return tuple(
        each.model_copy(update={"name": name})
        for each, name in zip(plan.obstacles, names, strict=True)
    )


def _features(plan: Plan, words: Words) -> tuple[Feature, ...]:
    shown = [each for each in plan.features if not FEATURES[each.kind].private]
    names = _numbered([words(f"thing.{each.kind}") for each in shown])
    return tuple(
        each.model_copy(update={"name": name}) for each, name in zip(shown, names, strict=True)
    )


def _loop(loop: Loop, name: str, lawn_of: dict[str, str], words: Words) -> Loop:
    generator = loop.generator.model_copy(update={"mounted": ""}) if loop.generator else None
    crossings = tuple(_crossing(each, lawn_of, words) for each in loop.crossings)
    return loop.model_copy(
        update={"name": name, "generator": generator, "supply": None, "crossings": crossings}
    )


def _crossing(crossing: Crossing, lawn_of: dict[str, str], words: Words) -> Crossing:
    """What a crossing passes under is named by a word of our own where it is hard ground."""
    from renderer.trade import HARD_GROUND

    under = crossing.under.lower()
    hard = words("teach.under") if any(word in under for word in HARD_GROUND) else ""
    between = (lawn_of[crossing.between[0]], lawn_of[crossing.between[1]])
    return crossing.model_copy(update={"between": between, "under": hard})


def _conductor(plan: Plan, words: Words) -> str:
    return "copper" if plan.wire.conductor == "copper" else words("teach.metal")
