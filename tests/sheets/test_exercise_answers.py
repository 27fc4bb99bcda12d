"""Answers of exercises solved again from what the sheet prints, by other means than the key's."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
import shapely

from renderer.ground.lay import LoopLay
from renderer.job import Job
from renderer.language import load_words
from renderer.plan import load
from renderer.primitives import Text
from renderer.sheets import load_layout
from renderer.sheets.blocks import exercise_rules
from renderer.sheets.tasks import Answer, Task, tasks, told_stretches
from renderer.sheets.use import BlockUse
from renderer.teaching.anonymous import anonymous_job
from tests.checks.jobs import one_lawn, plan_of, sharp, two_loops
from tests.plans import ROOT, demo_plans, example_plans
from tests.shared import compose, exercises, lay_plan
from tests.sheets.sample import all_text
from tests.sheets.test_teaching import metres_of, sheet, taught

PLANS = [*demo_plans(), *example_plans()]
FEET = re.compile(r"(?:(\d+)'\s*)?(\d*)([¼½¾]?)\"")
QUARTERS = {"": 0.0, "¼": 0.25, "½": 0.5, "¾": 0.75}
STEP_M = 0.02  # in which headings are taken
INSET_M = 0.006  # of rounding
LENGTH = r"\d[\d.]*\sm|(?:\d+'\s*)?\d*[¼½¾]?\"|\d+\sft"


@lru_cache
def jobs(path: Path) -> tuple[Job, ...]:
    """The garden itself, the three exercises of it that other tests have too, and one by a seed."""
    plan = load(path)
    return taught(path), *exercises(plan, 3, 3), *exercises(plan, 1, 8)


def metres(text: str) -> float:
    """A printed length in metres."""
    text = text.replace("\xa0", " ").replace("± ", "")
    if text.endswith(" cm"):
        return float(text[:-3]) / 100
    if text.endswith(" mm"):
        return float(text[:-3]) / 1000
    if text.endswith(" m"):
        return float(text[:-2])
    if text.endswith(" ft"):
        return float(text[:-3]) * 0.3048
    found = FEET.fullmatch(text)
    assert found is not None, text
    feet, inches, quarter = found.groups()
    return int(feet or 0) * 0.3048 + (float(inches or 0) + QUARTERS[quarter]) * 0.0254


@lru_cache
def tasks_of(job: Job) -> tuple[Task, ...]:
    return tasks(sheet(job))


def found_tasks(job: Job, start: str) -> Iterator[Task]:
    return (task for task in tasks_of(job) if task.text.startswith(start))


def answers(job: Job, start: str) -> dict[str, Answer]:
    return {answer.label: answer for task in found_tasks(job, start) for answer in task.answers}


def round_islands(job: Job) -> dict[str, Answer]:
    """The answers on the wire round each island, by the names of its obstacles, as in the key."""
    given = answers(job, "How long is the wire round each island").values()
    return {answer.known.split(": ", 1)[1]: answer for answer in given}


def near(answer: Answer, length_m: float) -> bool:
    """Whether a trainee who gets this is marked right."""
    return abs(metres(answer.text) - length_m) <= metres(answer.within) + 0.005


def cases() -> list[object]:
    return [pytest.param(path, id=path.stem) for path in PLANS]


@pytest.mark.parametrize("path", cases())
def test_a_ring_round_one_obstacle_is_its_outline_and_a_circle(path: Path) -> None:
    for job in jobs(path):
        given = round_islands(job)
        for obstacle in job.plan.obstacles:
            answer = given.get(obstacle.name)
            if answer is None:
                continue
            setback, least = job.plan.machine.setback[obstacle.kind], job.plan.machine.corner_radius
            if obstacle.circle is not None:
                around = 2 * math.pi * (obstacle.circle.radius + setback)
            else:
                corners = np.array(obstacle.polygon)
                if not is_convex(corners):
                    continue
                swung = shapely.buffer(shapely.points(corners), max(setback, least), quad_segs=64)
                kept = shapely.buffer(shapely.polygons(corners), setback, quad_segs=64)
                around = float(shapely.union_all([kept, *swung]).exterior.length)
            assert near(answer, around), (job.plan.job.number, obstacle.name)


def is_convex(corners: np.ndarray) -> bool:
    one = np.roll(corners, -1, axis=0) - corners
    two = np.roll(one, -1, axis=0)
    cross = one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]
    return bool((cross > -1e-9).all() or (cross < 1e-9).all())


@pytest.mark.parametrize("path", cases())
def test_the_wire_is_rings_once_and_pairs_and_tails_twice(path: Path) -> None:
    for job in jobs(path):
        parts = [
            *answers(job, "How long is the wire along the edge").values(),
            *answers(job, "How long is the wire round each island").values(),
            *2 * list(answers(job, "How long is each lead pair").values()),
        ]
        told = sum(metres(part.text) for part in parts)
        told += 2 * job.plan.machine.tail * len(job.lay.loops)
        wire = [t.answers[0] for t in found_tasks(job, "How much wire is laid")]
        assert abs(told - sum(metres(each.text) for each in wire)) <= 0.006 * len(parts) + 0.01

        laid = sum(metres(each.text) for each in wire)
        (order,) = (t.answers[0] for t in found_tasks(job, "How much wire is ordered"))
        flat = laid * (1 + job.plan.wire.slack_percent / 100)
        steep = max((f.percent or 0 for f in job.plan.features if f.kind == "slope"), default=0)
        extra = laid * (math.hypot(1, steep / 100) - 1)
        assert flat - 0.2 <= metres(order.text) <= flat + extra + 1.2, job.plan.job.number


@pytest.mark.parametrize("path", cases())
def test_no_question_says_of_an_obstacle_whether_it_has_a_ring(path: Path) -> None:
    """Islands go by numbers, in the order of the table, where their own names would say it."""
    for job in jobs(path)[:2]:
        names = [each.name for each in job.plan.obstacles]
        asked = ("How long is", "How much less", "Tape to the peg")
        for task in (each for start in asked for each in found_tasks(job, start)):
            told = " ".join([task.text, *(answer.label for answer in task.answers)])
            assert not [name for name in names if re.search(rf"\b{name}\b", told)], told
        found = round_islands(job)
        firsts = [min(names.index(one) for one in of.split(" + ")) for of in found]
        assert firsts == sorted(firsts)
        labels = list(answers(job, "How long is the wire round each island"))
        assert labels == [f"island {number}" for number in range(1, len(found) + 1)]
        leads = [label for label in answers(job, "How long is each lead pair") if "island" in label]
        assert leads == labels


@pytest.mark.parametrize("path", cases())
def test_tapes_are_distances_from_the_points_given(path: Path) -> None:
    """The two circles about the reference points meet where the peg of that name stands."""
    for job in jobs(path):
        places = {point.name: point.at for point in sheet(job).references}
        taped = list(found_tasks(job, "Tape to the peg"))
        assert taped
        for task in taped:
            (one, r), (two, s) = (
                (places[a.label.removeprefix("from ")], metres(a.text)) for a in task.answers
            )
            pegs = np.array([(peg.x, peg.y) for peg in job.pegs])
            off = np.maximum(abs(np.hypot(*(pegs - one).T) - r), abs(np.hypot(*(pegs - two).T) - s))
            within = min(metres(a.within) for a in task.answers)
            assert off.min() <= 0.006 < within


@lru_cache
def clearance(job: Job, index: int) -> float:
    """What a splice has to keep, by the question or else by the machine's figures."""
    name = job.lay.loops[index].name
    for task in found_tasks(job, "Where can splice"):
        less = re.search(rf"({LENGTH}) will do", task.text.replace("\xa0", " "))
        if less and f"loop {name} " in task.text:
            return metres(less[1])
    return job.plan.machine.splice_clear


def clear_of(job: Job, index: int, at: float) -> tuple[bool, bool]:
    """Whether a splice keeps the printed rule, by looking along the wire: surely, and perhaps.

    Headings are taken every few centimetres, so a turn comes out a few degrees off, and where a
    wide arc begins to be a bend is a matter of some decimetres: between surely and perhaps.
    """
    clear = clearance(job, index)
    loop, machine = job.lay.loops[index], job.plan.machine
    slack = 0.004
    for leg in loop.legs:
        off = clear if leg.kind in ("lead", "crossing") else 0.0
        if leg.kind in ("lead", "crossing", "tail") and (
            leg.from_m - off + slack < at < leg.to_m + off - slack
        ):
            return False, False
    docked = any(each.name == loop.name and each.dock for each in job.plan.loops)
    first, last = float(loop.at_m[0]), float(loop.at_m[-1])
    if docked and not (
        first + machine.dock.straight_after - slack
        <= at
        <= last - machine.dock.straight_before + slack
    ):
        return False, False
    here = next(leg for leg in loop.legs if leg.from_m <= at <= leg.to_m)
    low, high = max(at - 3 * clear, here.from_m), min(at + 3 * clear, here.to_m)
    run = np.linspace(low, high, max(8, round((high - low) / STEP_M)))
    ways = np.diff(places(loop, run), axis=0)
    turn = np.arctan2(
        ways[:-1, 0] * ways[1:, 1] - ways[:-1, 1] * ways[1:, 0], (ways[:-1] * ways[1:]).sum(axis=1)
    )
    total = np.concatenate(([0.0], np.cumsum(np.degrees(np.abs(turn)))))
    where = run[1:-1]
    about = np.degrees(np.abs(turn))[np.abs(where - at) < clear - 0.1].sum()
    return not any(near_bend(where, total, turn, at, clear)), bool(about < 25.0)


def near_bend(
    where: np.ndarray, total: np.ndarray, turn: np.ndarray, at: float, clear: float
) -> Iterator[bool]:
    """For each place where a bend may begin, whether it is one and the splice is too near to it."""
    for first in np.flatnonzero(np.abs(turn) > 1e-3):
        last = int(np.searchsorted(total, total[first] + 18.0)) - 1
        if last < len(where) and where[last] - where[first] <= 2 * clear:
            yield bool(where[first] - clear - 0.1 < at < where[last] + clear + 0.1)


def places(loop: LoopLay, at: np.ndarray) -> np.ndarray:
    """Points of the wire at running distances."""
    return np.column_stack([np.interp(at, loop.at_m, loop.path[:, i]) for i in (0, 1)])


def stretches(text: str) -> list[tuple[float, float]]:
    found = re.findall(f"({LENGTH}) to ({LENGTH})", text.replace("\xa0", " "))
    return [(metres(a), metres(b)) for a, b in found]


def reaches(lengths: tuple[float, ...], index: int, at: float, total: float) -> bool:
    """Whether the spools before and after a splice are long enough, gaps between them aside."""
    before, after = lengths[: index + 1], lengths[index + 1 :]
    return at <= sum(before) + 0.004 and total - at <= sum(after) + 0.004


@pytest.mark.parametrize("path", cases())
def test_a_splice_is_right_in_each_stretch_and_nowhere_else(path: Path) -> None:
    for job in jobs(path):
        for index, loop in enumerate(job.lay.loops):
            given = [
                t for t in found_tasks(job, "Where can splice") if f"loop {loop.name} " in t.text
            ]
            assert len(given) == len(loop.splices)
            for number, task in enumerate(given):
                right = stretches(task.answers[0].text)
                assert right, task.answers[0].text
                for a, b in right:
                    for at in (
                        np.linspace(a + INSET_M, b - INSET_M, 7) if b - a > 2 * INSET_M else ()
                    ):
                        assert clear_of(job, index, at)[1], at
                if len(job.lay.loops) > 1 or len(given) > 1:
                    continue
                stock = job.plan.wire.spools
                for at in np.arange(1.0, loop.length_m - 1.0, 0.25):
                    enough = any(
                        reaches(pair, number, at, loop.length_m)
                        for pair in itertools.permutations(stock, 2)
                    )
                    legal = enough and clear_of(job, index, at)[0]
                    told = any(a - 0.12 <= at <= b + 0.12 for a, b in right)
                    assert told or not legal, (job.plan.job.number, at)


@pytest.mark.parametrize("path", cases())
def test_the_lay_s_own_splices_are_among_the_right_ones(path: Path) -> None:
    for job in jobs(path):
        laid = [splice.at_m for loop in job.lay.loops for splice in loop.splices]
        given = [t.answers[0].text for t in found_tasks(job, "Where can splice")]
        for at, text in zip(laid, given, strict=True):
            assert any(a - 0.02 <= at <= b + 0.02 for a, b in stretches(text)), text


def test_either_order_of_two_unlike_spools_is_right() -> None:
    """A class sheet whose spools of 25 m and 45 m both leave one splice."""
    plan = load(next(path for path in demo_plans() if path.stem.startswith("practice")))
    wire = plan.wire.model_copy(update={"spools": (25.0, 45.0)})
    plan = plan.model_copy(update={"wire": wire})
    job = anonymous_job(relaid(plan), load_words(), 1)
    (task,) = found_tasks(job, "Where can splice")
    right = stretches(task.answers[0].text)
    assert right[0][1] <= 25.0 < 40 < right[-1][1], right


def relaid(plan: object) -> Job:

    return Job.known(plan, lay_plan(plan), (), "sha256:" + "0" * 64)  # type: ignore[arg-type]


def rules_text(job: Job) -> str:
    return all_text(compose([job], load_layout("exercise"))).replace("\xa0", " ")


def test_the_sheet_states_the_figures_that_the_key_uses() -> None:
    """Figures of common practice that a machine's file replaces reach the printed rules."""
    text = demo_plans()[0].read_text()
    path = next(path for path in demo_plans() if path.stem.startswith("practice"))
    plan = load(path)
    practice = plan.machine.practice.model_copy(
        update={"reading_percent": 4.0, "reading_ohm": 0.17}
    )
    machine = plan.machine.model_copy(update={"practice": practice, "splice_clear": 1.37})
    told = rules_text(relaid(plan.model_copy(update={"machine": machine})))
    assert text and "4 %" in told and "0.17 Ω" in told and "1.37 m" in told


@pytest.mark.parametrize("path", cases())
def test_units_are_never_mixed(path: Path) -> None:
    """No metres on a sheet in feet, nor feet on one in metres."""
    told = re.sub(r"100 mm|±\s?1 mm", "", rules_text(taught(path)))  # of the check bar
    feet = metres_of(taught(path)) < 1
    mixed = r"\d\s?(?:m|cm|mm)\b(?!²)|a metre" if feet else r"\d'|\d\s?ft\b|a foot"
    assert re.findall(mixed, told) == []


@pytest.mark.parametrize("path", cases())
def test_every_tolerance_in_the_key_is_one_that_the_sheet_states(path: Path) -> None:
    job = taught(path)
    told = rules_text(job)
    (length, share, least, pegs, order, more, ohm, minutes) = re.search(
        rf"tape within ({LENGTH}|\d+ cm); .*?within ([\d.]+) % or ({LENGTH}|\d+ cm), .*?"
        rf"pegs within ([\d.]+) %, .*?order within ({LENGTH}) or ([\d.]+) %.*?"
        r"within ([\d.]+) Ω; a\s+time within (\d+) min",
        told.replace("\n", " "),
    ).groups()  # type: ignore[union-attr]
    assert length == least
    for task in tasks_of(job):
        for answer in task.answers:
            within = answer.within.replace("\xa0", " ")
            if within in ("exact", "in meaning"):
                continue
            assert within.startswith("± ")
            off = within.removeprefix("± ")
            if off.endswith("Ω"):
                assert off == f"{ohm} Ω"
            elif off.endswith("min"):
                assert off == f"{minutes} min"
            elif task.text.startswith("How many pegs"):
                assert int(off) == max(1, math.ceil(float(pegs) / 100 * int(answer.text)))
            elif task.text.startswith("How much wire is ordered"):
                most = max(metres(order), float(more) / 100 * metres(answer.text))
                assert most - 0.01 <= metres(off) <= most + 1.01
            elif off != length:
                longest = max(map(metres, re.findall(LENGTH, answer.text.replace("\xa0", " "))))
                assert metres(off) <= float(share) / 100 * longest + 0.03


@lru_cache
def told_rules(job: Job) -> str:
    """The rules of the answers as the sheet prints them."""
    block = "exercise-rules"
    pieces = exercise_rules.build(sheet(job), BlockUse(block=block))
    texts = (item.text for piece in pieces for item in piece.items if isinstance(item, Text))
    return " ".join(" ".join(texts).replace("\xa0", " ").split())


def inset(job: Job, lawn: object) -> shapely.Polygon | None:
    """Where the wire may lie on a lawn whose corners all stand out, by the sides' setbacks."""
    corners = np.concatenate([np.asarray(side.points)[:-1] for side in lawn.sides])  # type: ignore[attr-defined]
    if len(corners) != len(lawn.sides) or not is_convex(corners):  # type: ignore[attr-defined]
        return None
    room = shapely.Polygon(corners)
    for side in lawn.sides:  # type: ignore[attr-defined]
        one, two = np.asarray(side.points)[[0, -1]]
        way = (two - one) / math.dist(one, two)
        line = shapely.LineString([one - 500 * way, two + 500 * way])
        strip = line.buffer(job.plan.machine.setback[side.kind], cap_style="flat")
        room = room.difference(strip)
    return room


@pytest.mark.parametrize("path", cases())
def test_the_edge_follows_from_setbacks_and_the_bend_that_the_rules_state(path: Path) -> None:
    """Of lawns without inside corners of their own, and without obstacles taken into the edge."""
    for job in jobs(path)[:2]:
        if job.lay.cuts or job.plan.machine.corner_angle_min:
            continue
        given = answers(job, "How long is the wire along the edge")
        for lawn in job.lay.lawns:
            room = inset(job, lawn)
            if room is None or lawn.name not in given:
                continue
            told = told_rules(job)
            stated = re.search(rf"inside corner the wire turns in .*? ({LENGTH})\.", told)
            if stated:
                bend = metres(stated[1])
                room = room.buffer(-bend, quad_segs=64).buffer(bend, quad_segs=64)
            assert near(given[lawn.name], room.exterior.length), job.plan.job.number


def dock_run(job: Job, index: int) -> shapely.LineString:
    """The straight wire before and after the start of a loop."""
    loop, dock = job.lay.loops[index], job.plan.machine.dock
    docked = any(each.name == loop.name and each.dock for each in job.plan.loops)
    before, after = (dock.straight_before, dock.straight_after) if docked else (0.0, 0.0)
    first = next(leg.to_m for leg in loop.legs if leg.kind == "tail")
    last = [leg.from_m for leg in loop.legs if leg.kind == "tail"][-1]
    back, ahead = np.linspace(last - before, last, 40), np.linspace(first, first + after, 40)
    return shapely.LineString(np.concatenate([places(loop, back), places(loop, ahead)]))


def meets(job: Job, index: int, off_m: float, saved_m: float, tape_m: float) -> bool:
    """Whether each straight pair off an edge is the shortest that keeps so far off the dock."""
    loop = job.lay.loops[index]
    lines = {ring.id: shapely.LinearRing(ring.points) for ring in loop.rings}
    kinds = {ring.id: ring.kind for ring in loop.rings}
    zone = dock_run(job, index).buffer(off_m)
    for lead in loop.leads:
        if lead.kind != "lead" or len(lead.points) > 2 or kinds[lead.from_ring] != "outer":
            continue
        starts, end = lines[lead.from_ring].difference(zone), lines[lead.to_ring]
        least = starts.distance(end)
        if not least - 0.01 <= lead.length_m <= least + saved_m:
            return False
        steps = shapely.get_coordinates(starts.segmentize(0.01))
        as_near = steps[shapely.distance(shapely.points(steps), end) <= least + 1e-3]
        apart = np.flatnonzero(np.hypot(*np.diff(as_near, axis=0).T) > 0.05) + 1
        feet = [(run[0] + run[-1]) / 2 for run in np.split(as_near, apart)]
        if min(math.dist(lead.points[0], each) for each in feet) > tape_m:
            return False
    return True


@pytest.mark.parametrize("path", cases())
def test_pairs_lie_where_the_rules_send_them(path: Path) -> None:
    """So that whoever keeps them gets the tapes of the key: straight pairs that leave an edge."""
    for job in jobs(path)[:2]:
        told = told_rules(job)
        stated = re.search(
            rf"middle of these\. It keeps ({LENGTH}|\d+ cm) off the next pair "
            rf"and ({LENGTH}|\d+ cm) off the dock's straight run, or ({LENGTH}) where "
            rf".*? It takes a route up to ({LENGTH}|\d+ cm) longer",
            told,
        )
        assert stated
        _, dock, wide, saved = map(metres, stated.groups())
        tape = metres(re.search(rf"a tape within ({LENGTH}|\d+ cm)", told)[1])  # type: ignore[index]
        for index in range(len(job.lay.loops)):
            assert any(meets(job, index, off, saved, tape) for off in (dock, wide)), (
                job.plan.job.number,
                job.lay.loops[index].name,
            )


def test_a_place_for_a_splice_that_is_a_point_is_said_once() -> None:
    given = sheet(jobs(ROOT / "demo/practice-lawn.plan.yaml")[0])
    told = told_stretches(given, [(25.581, 25.583), (25.582, 25.584), (30.0, 31.5)])
    assert told.replace("\xa0", " ") == "25.58 m, 30.00 m to 31.50 m"


@pytest.mark.parametrize("language", ["de", "en", "es", "fr"])
def test_pegs_without_a_formula_are_called_the_same_on_a_straight_and_in_a_bend(
    language: str,
) -> None:
    """A cable beside a straight takes its formula, too."""
    words = load_words(language)
    facts = {"times": 1, "length": 2}
    read, curve = (words(f"step.pegs.{key}.what", **facts) for key in ("read", "curve"))
    assert read.split(",")[0] not in curve
    assert words("step.pegs.read.why") != words("step.pegs.curve.why")


def test_a_sheet_with_several_lawns_tells_which_sides_are_whose() -> None:
    """Two lawns of four sides, numbered through; one lawn alone needs no such line."""
    for data, told in ((two_loops(), True), (one_lawn(), False)):
        job = anonymous_job(Job.known(plan_of(data), lay_plan(plan_of(data)), ()), load_words(), 1)
        text = " ".join(
            all_text(compose([job], load_layout("exercise"))).replace("\xa0", " ").split()
        )
        found = re.findall(r"(Lawn \d): sides (\d+) to (\d+)", text)
        assert bool(found) == told
        if told:
            sides = [len(lawn.outline) for lawn in job.plan.lawns]
            ends = [sum(sides[: n + 1]) for n in range(len(sides))]
            assert found == [
                (f"Lawn {n}", str(end - count + 1), str(end))
                for n, (end, count) in enumerate(zip(ends, sides, strict=True), 1)
            ]


def without_islands(data: dict[str, object]) -> Job:
    """A garden whose wire has no pairs, so that its corners are asked for."""
    plan = plan_of({**data, "obstacles": []})
    return anonymous_job(Job.known(plan, lay_plan(plan), ()), load_words(), 1)


NECKS = {
    **one_lawn(),
    "machine": {
        **one_lawn()["machine"],
        "lay_direction": "clockwise",
        "setback": dict.fromkeys(("wall", "hedge", "fence", "kerb", "bed"), 0.3) | {"flush": 0.1},
        "corner_radius": 0,
        "passage_min": 0.8,
        "dock": {"straight_before": 0, "straight_after": 0, "clear_of_corner": 0.5, "lead_max": 10},
    },
    "survey": {"points": []},
    "features": [],
    "lawns": [
        {
            "name": "Lawn",
            "outline": [
                [0.0, 0.0, "wall"], [4.178, 0.0, "hedge"], [4.178, 9.821, "wall"],
                [2.703, 9.821, "fence"], [2.703, 3.476, "kerb"], [1.475, 3.476, "bed"],
                [1.475, 9.821, "wall"], [0.0, 9.821, "flush"],
            ],
        }
    ],
    "obstacles": [
        {"name": "I0", "kind": "bed", "circle": {"at": [0.0, 4.0], "radius": 0.5}},
        {"name": "I1", "kind": "bed", "circle": {"at": [2.4, 4.0], "radius": 0.5}},
    ],
    "loops": [{"name": "main", "dock": {"at": [2.703, 5.936]}}],
}  # fmt: skip


def test_the_peg_at_a_corner_is_the_only_one_there_and_keeps_both_setbacks() -> None:
    """By the two numbered sides and the corner pegs of the lay, in plain geometry.

    One garden has square corners alone, one a corner that is cut off by two pegs, and one beds in
    its edge with corners of their own, half a metre from those of the lawn.
    """
    asked = 0
    square = {**one_lawn(), "machine": {**one_lawn()["machine"], "corner_radius": 0}}
    necks = plan_of(NECKS)
    made = [without_islands(data) for data in (square, sharp(), {**square, "shown_in": "ft"})]
    made += exercises(necks, 4, 1)
    for job in made:
        sides = [
            (lawn.name, side) for lawn in job.lay.lawns for side in lawn.sides
        ]  # numbered through
        pegs = [p for loop in job.lay.loops for p in loop.pegs if p.reason == "corner"]
        for task in tasks(sheet(job)):
            told = re.search(r"corner of sides (\d+) and (\d+)", task.text.replace("\xa0", " "))
            if told is None:
                continue
            pair = [sides[int(number) - 1][1] for number in told.groups()]
            lines = [shapely.LineString(side.points) for side in pair]
            setbacks = [job.plan.machine.setback[side.kind] for side in pair]
            right = [
                peg
                for peg in pegs
                if all(
                    abs(line.distance(shapely.Point(peg.x, peg.y)) - setback) < 5e-3
                    for line, setback in zip(lines, setbacks, strict=True)
                )
            ]
            assert len(right) == 1, task.text
            asked += 1
            at = (right[0].x, right[0].y)
            assert sum(math.dist(at, (peg.x, peg.y)) < 0.5 for peg in pegs) == 1
            known = {point.name: point.at for point in sheet(job).references}
            for answer in task.answers:
                name = next(n for n in known if re.search(rf"\b{re.escape(n)}\b", answer.label))
                assert metres(answer.text) == pytest.approx(math.dist(known[name], at), abs=0.06)
    assert asked >= 4
