"""The questions of an exercise with their answers: blank on the one sheet, worked on the other."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from renderer.frozen import dataclass
from renderer.ground.parts import part_names
from renderer.sheets.errors import no_wire
from renderer.sheets.sheet import Sheet
from renderer.sheets.tolerance import Tolerance
from renderer.teaching import lengths, setting
from renderer.teaching.ground import Ground
from renderer.teaching.marks import shared_out
from renderer.teaching.pegs import peg_work
from renderer.teaching.reckoner import Reckoner
from renderer.teaching.rings import islands_in_order, ring_steps

if TYPE_CHECKING:
    from renderer.ground.gauges import Gauge
    from renderer.ground.lay import LoopLay, Ring
    from renderer.ground.narrows import Narrow
    from renderer.teaching.arithmetic import Step

OTHER_WAY = {"anticlockwise": "clockwise", "clockwise": "anticlockwise"}
NARROWS_MOST = 3
READINGS = ("reads", "low", "high")  # of a loop, in the order of their steps


@dataclass(frozen=True, slots=True)
class Answer:
    """One space to fill: what stands beside it, its unit, what is right and how near is right.

    ``known`` stands beside it in the key instead, where that says more.
    """

    label: str
    text: str
    within: str
    unit: str = ""
    known: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Task:
    """A numbered question of a section, its answers, the steps that lead to them, its points."""

    section: str
    text: str
    answers: tuple[Answer, ...]
    steps: tuple[Step, ...] = ()
    number: int = 0
    points: int = 0


@lru_cache(maxsize=32)
def tasks(sheet: Sheet) -> tuple[Task, ...]:
    """All questions that a garden gives, numbered through, section after section."""
    ground = ground_of(sheet)
    found = [
        *setback_tasks(sheet),
        *_islands(sheet, ground),
        *_corners(sheet, ground),
        *_records(sheet, ground),
        *_splices(sheet, ground),
        *_set_out(sheet, ground),
        *safety_tasks(sheet),
    ]
    return tuple(_marked(found))


def section_points(sheet: Sheet) -> Mapping[str, int]:
    """The points of each section that a garden gives questions of."""
    return shared_out({task.section for task in tasks(sheet)})


def _marked(found: Sequence[Task]) -> Iterator[Task]:
    """The questions numbered through, the points of each section shared out among its own."""
    counts = Counter(task.section for task in found)
    whole = shared_out(counts)
    seen: Counter[str] = Counter()
    for number, task in enumerate(found, 1):
        base, more = divmod(whole[task.section], counts[task.section])
        points = base + (seen[task.section] < more)
        seen[task.section] += 1
        yield replace(task, number=number, points=points)


def ground_of(sheet: Sheet) -> Ground:
    """What the sheet's computations start from."""
    from renderer.ground.sides import numbered_sides

    job = sheet.job
    if not job.lay.loops:
        raise no_wire(sheet.layout.document)
    return Ground(job.plan, numbered_sides(job.lay.lawns), Reckoner(job.plan.units))


def length_answer(sheet: Sheet, label: str, length_m: float) -> Answer:
    near = Tolerance(sheet.measure).length()
    return Answer(label, sheet.measure.length(length_m), near, sheet.measure.write_unit)


def sum_answer(sheet: Sheet, label: str, length_m: float) -> Answer:
    """A length that is added up from several."""
    return replace(
        length_answer(sheet, label, length_m), within=Tolerance(sheet.measure).sum(length_m)
    )


def exact_answer(sheet: Sheet, label: str, text: str) -> Answer:
    return Answer(label, text, sheet.words("within.exact"))


def _count(sheet: Sheet, label: str, count: int) -> Answer:
    return Answer(label, str(count), Tolerance(sheet.measure).count(count))


def _ohms(sheet: Sheet, label: str, ohms: float) -> Answer:
    return Answer(label, sheet.measure.ohms(ohms), Tolerance(sheet.measure).ohms(), "Ω")


def setback_tasks(sheet: Sheet) -> Iterator[Task]:
    words, measure, machine = sheet.words, sheet.measure, sheet.job.plan.machine
    kinds = [
        exact_answer(sheet, words(f"kind.{kind}"), measure.length(machine.setback[kind]))
        for kind in sheet.job.kinds()
    ]
    units = tuple(replace(each, unit=measure.write_unit) for each in kinds)
    yield Task("setbacks", words("task.setbacks"), units)
    if sheet.gauges:
        boards = ", ".join(_board(sheet, board) for board in sheet.gauges)
        yield Task("setbacks", words("task.gauges"), (exact_answer(sheet, "", boards),))


def _board(sheet: Sheet, board: Gauge) -> str:
    length = sheet.measure.length
    marks = ", ".join(length(mark) for mark in board.marks_m)
    key = "gauge.marked" if marks else "gauge.cut"
    return sheet.words(key, gauge=board.name, length=length(board.length_m), marks=marks)


def _islands(sheet: Sheet, ground: Ground) -> Iterator[Task]:
    words, lay = sheet.words, sheet.job.lay
    yield from thing_tasks(sheet)
    yield from narrow_tasks(sheet, ground)
    bare = not sheet.job.plan.obstacles and not any(loop.leads for loop in lay.loops)
    # the one question of a lawn by itself, which is no part of its own
    yield replace(way_task(sheet), section="corners" if bare else "islands")
    rings = islands_in_order(sheet.job.plan, lay)
    if rings:
        answers = tuple(_island(sheet, n, *each) for n, each in enumerate(rings, 1))
        steps = tuple(step for loop, ring in rings for step in ring_steps(ground, loop, ring))
        yield Task("islands", words("task.island-rings"), answers, steps)
    place = {(loop.name, ring.id): n for n, (loop, ring) in enumerate(rings, 1)}
    leads = sorted(  # the order in which the wire comes to the islands is for a learner to find
        ((loop, lead) for loop in lay.loops for lead in loop.leads),
        key=lambda each: place.get((each[0].name, each[1].to_ring), 0),
    )
    if leads:
        answers = tuple(
            length_answer(sheet, _asked_names(sheet, loop)[lead.id], lead.length_m)
            for loop, lead in leads
        )
        worked = (lengths.lead_steps(ground, loop, lead) for loop, lead in leads)
        steps = tuple(step for each in worked for step in each)
        yield Task("islands", words("task.leads"), answers, steps)


def _island(sheet: Sheet, number: int, loop: LoopLay, ring: Ring) -> Answer:
    """The wire round an island; which obstacles it holds is for the key alone to say."""
    label = sheet.words("answers.island", number=number)
    known = sheet.words("answers.known", label=label, of=ring.of)
    return replace(sum_answer(sheet, label, laid_m(loop, ring)), known=known)


def _asked_names(sheet: Sheet, loop: LoopLay) -> Mapping[str, str]:
    """What each ring is round and each pair leads to, as a question says it, by id.

    An island by its number: its own name would say of each obstacle whether it has a ring.
    """
    names = dict(part_names(loop))
    for number, (other, ring) in enumerate(islands_in_order(sheet.job.plan, sheet.job.lay), 1):
        if other is loop:
            name = sheet.words("answers.of-island", number=number)
            names |= {ring.id: name}
            names |= {lead.id: name for lead in loop.leads if lead.to_ring == ring.id}
    return names


def may_have_islands(sheet: Sheet) -> bool:
    """Whether there is anything that wire may go round; if it does is for a learner to say."""
    return any(each.kind != "firm" for each in sheet.job.plan.obstacles)


def may_have_pairs(sheet: Sheet) -> bool:
    """Whether there may be lead pairs or crossings, to islands or to other parts of a lawn."""
    return may_have_islands(sheet) or any(loop.leads for loop in sheet.job.lay.loops)


def thing_tasks(sheet: Sheet) -> Iterator[Task]:
    """What needs wire round it, and how."""
    things = [exact_answer(sheet, o.name, _ringed(sheet, o.name)) for o in sheet.job.plan.obstacles]
    if things:
        yield Task("islands", sheet.words("task.ring"), tuple(things))


def laid_m(loop: LoopLay, ring: Ring) -> float:
    return sum(leg.length_m for leg in loop.legs if leg.part == ring.id)


def _ringed(sheet: Sheet, name: str) -> str:
    """How wire goes round an obstacle, in words."""
    words, job = sheet.words, sheet.job
    if next(each.kind for each in job.plan.obstacles if each.name == name) == "firm":
        return words("ringed.firm")
    ring = next((ring for ring in job.islands if name in ring.obstacles), None)
    if ring is not None:
        others = [other for other in ring.obstacles if other != name]
        return words("ringed.shared", others=", ".join(others)) if others else words("ringed.own")
    joined = any(name in cut.of for cut in job.lay.cuts)
    return words("ringed.edge") if joined else words("ringed.none")


def narrow_tasks(sheet: Sheet, ground: Ground) -> Iterator[Task]:
    from renderer.ground.narrows import narrows

    words = sheet.words
    for narrow in narrows(ground.plan, sheet.job.lay)[:NARROWS_MOST]:
        two = narrow.two.of if narrow.two.obstacle else _side_named(sheet, ground, narrow)
        answers = (
            length_answer(sheet, words("task.needed"), narrow.needed_m),
            length_answer(sheet, words("task.is"), narrow.width_m),
            exact_answer(
                sheet,
                words("task.passes"),
                words("answers.does" if narrow.passed else "answers.does-not"),
            ),
        )
        text = words("task.narrow", one=narrow.one.of, two=two)
        yield Task("islands", text, answers, setting.narrow_steps(ground, narrow))


def _side_named(sheet: Sheet, ground: Ground, narrow: Narrow) -> str:
    """The side of a narrow place by its number and kind, since there may be several of the kind."""
    from renderer.ground.sides import foot

    kind = narrow.two.kind
    side = foot(narrow.ends[1], [side for side in ground.sides if side.kind == kind]).side
    return sheet.words("task.narrow-side", side=side.number, kind=sheet.words(f"kind.{kind}"))


def way_task(sheet: Sheet) -> Task:
    words, way = sheet.words, sheet.job.plan.machine.lay_direction
    answers = [exact_answer(sheet, words("task.lawn-way"), words(f"way.{way}"))]
    if sheet.job.islands:
        other = words(f"way.{OTHER_WAY[way]}")
        answers.append(exact_answer(sheet, words("task.island-way"), other))
    return Task("islands", words("task.way"), tuple(answers))


def _corners(sheet: Sheet, ground: Ground) -> Iterator[Task]:
    words, lay = sheet.words, sheet.job.lay
    rings = [(loop, ring) for loop in lay.loops for ring in loop.rings if ring.kind == "outer"]
    answers = tuple(
        sum_answer(sheet, part_names(loop)[ring.id], laid_m(loop, ring)) for loop, ring in rings
    )
    steps = tuple(step for loop, ring in rings for step in ring_steps(ground, loop, ring))
    yield Task("corners", words("task.edges"), answers, steps)
    for loop in lay.loops:
        work = peg_work(ground, loop)
        first = sum(peg.round == 1 for peg in loop.pegs)
        counts = (
            _count(sheet, words("task.pegs-both"), len(loop.pegs)),
            _count(sheet, words("task.pegs-first"), first),
            _count(sheet, words("task.pegs-second"), len(loop.pegs) - first),
        )
        lines = (work.fixed, *work.both, work.total, *work.first, work.first_total)
        yield Task("corners", words("task.pegs", name=loop.name), counts, lines)


def _records(sheet: Sheet, ground: Ground) -> Iterator[Task]:
    words, job = sheet.words, sheet.job
    for loop in job.lay.loops:
        step = lengths.wire_step(ground, loop)
        answer = sum_answer(sheet, "", loop.length_m)
        yield Task("records", words("task.wire", name=loop.name), (answer,), (step,))
    steps = lengths.order_steps(ground, job.lay)
    order = sum(item.quantity for item in job.lay.takeoff if item.item == "wire.order")
    near = Tolerance(sheet.measure).order(order)
    answer = Answer("", sheet.measure.ordered(order), near, ground.plan.units)
    yield Task("records", words("task.order"), (answer,), steps)
    for loop in job.lay.loops:
        yield from _readings(sheet, ground, loop)
    total = round(job.work_minutes)
    answer = Answer("", sheet.measure.minutes(total), Tolerance(sheet.measure).minutes())
    step = lengths.minutes_step(ground, job.lay)
    yield Task("records", words("task.minutes"), (answer,), (step,))


def _readings(sheet: Sheet, ground: Ground, loop: LoopLay) -> Iterator[Task]:
    words, lay = sheet.words, sheet.job.lay
    steps = lengths.ohm_steps(ground, lay, loop)
    answers = tuple(
        _ohms(sheet, words(f"task.ohm-{name}"), step.laid)
        for name, step in zip(READINGS, steps, strict=True)
    )
    yield Task("records", words("task.ohm", name=loop.name), answers, steps)
    for lead in loop.leads:
        step = lengths.bypass_step(ground, lay, loop, lead)
        if step is not None:
            answer = _ohms(sheet, "", step.laid)
            text = words("task.bypass", of=_asked_names(sheet, loop)[lead.id])
            yield Task("records", text, (answer,), (step,))
            return


def _splices(sheet: Sheet, ground: Ground) -> Iterator[Task]:
    from renderer.ground.joints import joints

    words, lay = sheet.words, sheet.job.lay
    count = len(sheet.job.splices)
    yield Task("splices", words("task.splices"), (exact_answer(sheet, "", str(count)),))
    for loop in lay.loops:
        found = joints(ground.plan, lay, loop)
        for index, splice in enumerate(loop.splices):
            answer = length_answer(sheet, "", splice.at_m)
            steps: tuple[Step, ...] = ()
            if found is not None:
                right = told_stretches(sheet, found.places[index])
                answer = replace(answer, text=right)
                steps = setting.splice_steps(ground, loop, found, index)
            text = words("lesson.splice", splice=splice.id, name=loop.name)
            if found is not None and found.clear_m < ground.plan.machine.splice_clear:
                facts = {"splice": splice.id, "name": loop.name}
                clear = sheet.measure.length(found.clear_m)
                text = words("lesson.splice-near", clear=clear, **facts)
            yield Task("splices", text, (answer,), steps)


def told_stretches(sheet: Sheet, places: Sequence[tuple[float, float]]) -> str:
    """Stretches of the wire in which an answer may lie."""
    length, words = sheet.measure.length, sheet.words
    ends = dict.fromkeys((length(a), length(b)) for a, b in places)
    told = (one if one == two else words("lesson.from-to", one=one, two=two) for one, two in ends)
    return words("list.join").join(told)


def _set_out(sheet: Sheet, ground: Ground) -> Iterator[Task]:
    words, fixed = sheet.words, sheet.references
    names = {loop.name: _asked_names(sheet, loop) for loop in sheet.job.lay.loops}
    for each in setting.task_pegs(ground, sheet.job.lay, sheet.tapes, names):
        tapes = ((each.tie.a, each.tie.a_m), (each.tie.b, each.tie.b_m))
        answers = tuple(
            length_answer(sheet, words("task.tape", name=name), length) for name, length in tapes
        )
        peg = words(f"peg-of.{each.key}", **each.facts)
        steps = setting.tie_steps(ground.reckon, each, fixed)
        yield Task("set-out", words("task.tie", peg=peg), answers, steps)


def safety_tasks(sheet: Sheet) -> Iterator[Task]:
    words = sheet.words
    for key in ("ground", "signal", "dead"):
        text = words(f"answer.safety-{key}")
        answer = Answer("", text, words("within.sense"))
        yield Task("safety", words(f"task.safety-{key}"), (answer,))
