"""The questions of the easier sheets, and those about what a meter reads."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache, partial
from typing import TYPE_CHECKING

from renderer.language.numbers import with_minus
from renderer.sheets.sheet import Sheet
from renderer.sheets.tasks import (
    Answer,
    Task,
    exact_answer,
    ground_of,
    laid_m,
    length_answer,
    narrow_tasks,
    safety_tasks,
    setback_tasks,
    sum_answer,
    thing_tasks,
    way_task,
)
from renderer.teaching import levels, practice
from renderer.teaching.meter import Practice, Reading, meter_practice
from renderer.teaching.rings import ring_steps

if TYPE_CHECKING:
    from collections.abc import Callable

    from renderer.ground.sides import NumberedSide
    from renderer.teaching.ground import Ground
    from renderer.teaching.levels import Pair

LEVELS = (1, 2, 3)
LINES_MOST = 2
RINGS_MOST = 3
ANSWERS_LEAST = 4  # that a sheet is worth its paper for
# Of a page, what the plan of an easier sheet takes at the most: the first, or less for a page less.
PLAN_SHARES = (0.38, 0.30)


@lru_cache(maxsize=32)
def level_tasks(sheet: Sheet, level: int, share: float = PLAN_SHARES[0]) -> tuple[Task, ...]:
    """The questions of an easier sheet, 1 to 3, numbered, each with its marks.

    None where a garden has hardly any: that sheet is left out. ``share`` is what its plan takes of
    the page at the most, as one asks for its scale.
    """
    ground = ground_of(sheet)
    made: Callable[[Sheet, Ground], Iterator[Task]]
    made = (partial(_read, share=share), _tape, _setbacks)[level - 1]
    safety = tuple(safety_tasks(sheet))[level - 1]
    found = tuple(_numbered((*made(sheet, ground), safety), f"level-{level}"))
    return found if sum(len(task.answers) for task in found) >= ANSWERS_LEAST else ()


def _numbered(found: Sequence[Task], section: str) -> Iterator[Task]:
    for number, task in enumerate(found, 1):
        each = practice.MARK_TAPE if task.steps else practice.MARK_ANSWER
        points = each * len(task.answers)
        yield replace(task, section=section, number=number, points=points)


def total(asked: Sequence[Task]) -> int:
    """The marks of some questions together."""
    return sum(task.points for task in asked)


def plan_box(sheet: Sheet, share: float) -> tuple[float, float]:
    """What the plan of an easier sheet may take, mm."""
    return sheet.width_mm, share * sheet.height_mm


def level_scale(sheet: Sheet, share: float) -> float:
    """The N of 1:N at which the plan of an easier sheet is drawn."""
    from renderer.drawing.plan import fit_plan

    job = sheet.job
    return fit_plan(
        job.plan, job.lay, plan_box(sheet, share), inch_paper=sheet.inch_paper, scale=sheet.scale
    ).scale


def _read(sheet: Sheet, ground: Ground, share: float) -> Iterator[Task]:
    from renderer.drawing.scale import scale_text

    words, job = sheet.words, sheet.job
    scale = level_scale(sheet, share)
    ground_m, step = levels.scale_step(ground.reckon, scale)
    facts = {"scale": scale_text(scale), "length": _on_paper(sheet)}
    yield Task("read", words("read.scale", **facts), (length_answer(sheet, "", ground_m),), (step,))
    longest = max(side.length_m for side in ground.sides)
    yield Task("read", words("read.longest"), (length_answer(sheet, "", longest),))
    for lawn in dict.fromkeys(side.lawn for side in ground.sides):
        total, step = levels.outline_step(ground, lawn)
        text = words("read.round", lawn=lawn)
        yield Task("read", text, (sum_answer(sheet, "", total),), (step,))
    kinds = [side.kind for side in ground.sides]
    kind = max(dict.fromkeys(kinds), key=kinds.count)
    text = words("read.count", kind=words(f"kind.{kind}"))
    yield Task("read", text, (exact_answer(sheet, "", str(kinds.count(kind))),))
    side = ground.sides[-1]
    setback = sheet.measure.length(job.plan.machine.setback[side.kind])
    answer = replace(exact_answer(sheet, "", setback), unit=sheet.measure.write_unit)
    yield Task("read", words("read.setback", side=side.number), (answer,))
    yield way_task(sheet)
    bare = [each.name for each in job.plan.obstacles if each.kind == "firm"]
    if job.plan.obstacles:
        told = words("list.join").join(bare) or words("read.none")
        yield Task("read", words("read.bare"), (exact_answer(sheet, "", told),))


def _on_paper(sheet: Sheet) -> str:
    feet = sheet.measure.units == "ft"
    return sheet.words(
        f"read.paper.{sheet.measure.units}",
        length=practice.PAPER_IN if feet else practice.PAPER_MM,
    )


def points_of(sheet: Sheet, ground: Ground) -> Pair | None:
    """The two points that the sheets of levels 2 and 3 are taped from."""
    places = [levels.start_of(side) for side in ground.sides]
    return levels.pair_for(sheet.references, places)


def _tape(sheet: Sheet, ground: Ground) -> Iterator[Task]:
    words, reckon = sheet.words, ground.reckon
    pair = points_of(sheet, ground)
    if pair is not None:
        yield from _from_two(sheet, ground, pair)
    a_m, b_m, across, step = levels.square_step(reckon, len(ground.sides))
    facts = {"a": sheet.measure.length(a_m), "b": sheet.measure.length(b_m)}
    answer = length_answer(sheet, "", across)
    yield Task("tape", words("tape.square", **facts), (answer,), (step,))
    found = levels.along_steps(ground)
    if found is not None:
        side, along, place, steps = found
        text = words("tape.along", side=side.number, along=sheet.measure.length(along))
        found_at = (
            length_answer(sheet, words(f"tape.{axis}"), value)
            for axis, value in zip("xy", place, strict=True)
        )
        answers = tuple(replace(each, text=with_minus(each.text)) for each in found_at)
        yield Task("tape", text, answers, steps)


def _from_two(sheet: Sheet, ground: Ground, pair: Pair) -> Iterator[Task]:
    words = sheet.words
    names = {"one": pair.one.name, "two": pair.two.name}
    answer = length_answer(sheet, "", pair.apart_m)
    yield Task("tape", words("tape.check", **names), (answer,), (levels.check_step(ground, pair),))
    find = levels.corner_to_find(ground, pair)
    for side in levels.corners_to_tape(ground, pair):
        if side is find:
            continue
        steps = levels.tape_steps(ground, pair, levels.start_of(side))
        yield Task("tape", words("tape.corner", side=side.number), _tapes(sheet, pair, side), steps)
    if find is not None:
        first, second = (answer.text for answer in _tapes(sheet, pair, find))
        text = words("tape.which", first=first, second=second, **names)
        steps = levels.tape_steps(ground, pair, levels.start_of(find))
        yield Task("tape", text, (exact_answer(sheet, "", str(find.number)),), steps)


def _tapes(sheet: Sheet, pair: Pair, side: NumberedSide) -> tuple[Answer, ...]:
    place = levels.start_of(side)
    return tuple(
        length_answer(sheet, sheet.words("task.tape", name=point.name), math.dist(point.at, place))
        for point in pair
    )


def _setbacks(sheet: Sheet, ground: Ground) -> Iterator[Task]:
    words, lay = sheet.words, sheet.job.lay
    yield from tuple(setback_tasks(sheet))[1:]  # the setbacks themselves are given
    for side, step in list(levels.square_sides(ground))[:LINES_MOST]:
        answer = length_answer(sheet, "", step.laid * ground.reckon.metres)
        yield Task("setbacks", words("setback.line", side=side.number), (answer,), (step,))
    yield from thing_tasks(sheet)
    yield from narrow_tasks(sheet, ground)
    single = [
        (loop, ring)
        for loop in lay.loops
        for ring in loop.rings
        if ring.kind == "island" and len(ring.obstacles) == 1
    ]
    for loop, ring in single[:RINGS_MOST]:
        answer = sum_answer(sheet, "", laid_m(loop, ring))
        text = words("setback.ring", of=ring.of)
        yield Task("setbacks", text, (answer,), ring_steps(ground, loop, ring))


# The meter


@lru_cache(maxsize=32)
def practice_of(sheet: Sheet) -> Practice:
    """The readings of the sheet's garden."""
    return meter_practice(ground_of(sheet), sheet.job.lay, sheet.job.digest)


@lru_cache(maxsize=32)
def meter_tasks(sheet: Sheet) -> tuple[Task, ...]:
    """A question a visit: what the fault is, and where."""
    return tuple(_numbered([_visit(sheet, each) for each in practice_of(sheet).readings], "meter"))


def _visit(sheet: Sheet, reading: Reading) -> Task:
    words = sheet.words
    ohm = words("meter.open") if reading.ohm is None else sheet.measure.ohms(reading.ohm.value)
    text = words("meter.reads", ohm=ohm)
    if reading.halves:
        first, second = (sheet.measure.ohms(half.value) for half in reading.halves)
        text = words("meter.halves", reads=text, splice=reading.of, first=first, second=second)
    within = words("within.sense")
    if reading.off_m:
        within = words("within.off", off=sheet.measure.small(reading.off_m))
    answers = (
        exact_answer(sheet, words("meter.what"), words(f"meter.fault.{reading.fault}")),
        Answer(words("meter.where"), _where(sheet, reading), within),
    )
    return Task("meter", text, answers, reading.steps)


def _where(sheet: Sheet, reading: Reading) -> str:
    facts = {"of": reading.of} if reading.of else {}
    if reading.answer is not None and reading.fault == "short":
        facts["far"] = sheet.measure.length(reading.answer)
    elif reading.answer is not None:
        facts["more"] = sheet.measure.ohms(reading.answer)
    return sheet.words(f"meter.where-{reading.fault}", **facts)
