"""The easier sheets, solved again from nothing but what they print; the yard, the meter, the plan.

The solver here reads the text of the trainee's pages and computes by itself; what it gets is
compared with the answers of the key.
"""

from __future__ import annotations

import math
import re
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
import shapely

from renderer.commands.print import LESSON_SET
from renderer.job import Job
from renderer.language import load_words
from renderer.plan import load
from renderer.primitives import Document, Text
from renderer.sheets import load_layout
from renderer.sheets.blocks import worked
from renderer.sheets.blocks.yard import yard_of
from renderer.sheets.level_tasks import level_tasks, meter_tasks, total
from renderer.sheets.measure import Measure
from renderer.sheets.sheet import Sheet
from renderer.sheets.tasks import Task, tasks
from renderer.teaching import practice
from renderer.teaching.anonymous import anonymous_job
from tests.drawing import handmade
from tests.plans import demo_plans
from tests.shared import compose, exercises, lay_plan
from tests.sheets.sample import all_text
from tests.sheets.test_exercise_answers import metres

NAMES = ("practice-lawn", "quarry-lane", "mill-cottage")  # metres, feet, arcs
NUMBER = r"(?:−?(?:\d+' )?\d*[¼½¾]?\"|−?\d+(?:\.\d+)?)"
LENGTH = r"(?:\d+\.\d+ m|(?:\d+' )?\d*[¼½¾]?\")"


@lru_cache
def exercise(name: str) -> Job:
    (path,) = (each for each in demo_plans() if each.name.startswith(name))
    return exercises(load(path), 3, 3)[0]  # other tests have these


@lru_cache
def document(name: str, layout: str = LESSON_SET) -> Document:
    return compose([exercise(name)], load_layout(layout), paper="A4")


@lru_cache
def sheet(name: str) -> Sheet:
    """As the pages of A4 are built."""
    from renderer.sheets.pages import frame_of, sheet_of

    frame, lying = frame_of("A4", draft=False)
    return sheet_of(exercise(name), load_layout(LESSON_SET), frame, lying, None, 1)


def printed(text: str) -> str:
    return " ".join(text.replace("\u00a0", " ").split())


@lru_cache
def level_text(name: str, level: int) -> str:
    """What the pages of a level print."""
    text = printed(all_text(document(name)))
    start = re.search(rf"Level {level}: ", text)
    end = re.search(
        rf"Level {level + 1}: |Exercise E\d+-\d+ Name", text[start.end() :] if start else ""
    )
    assert start and end
    return text[start.start() : start.end() + end.start()]


def value(text: str) -> float:
    """A printed coordinate or length without unit, in metres."""
    if text.startswith("−"):
        return -value(text[1:])
    return metres(text if text.endswith('"') else f"{text} m")


class Given:
    """The tables of a level, as read off its pages."""

    def __init__(self, name: str, level: int) -> None:
        self.text = text = level_text(name, level)
        kinds = "|".join(load_words()(f"kind.{kind}") for kind in sorted(exercise(name).kinds()))
        row = re.compile(rf"(?<!\S)(\d+) ({kinds})(, arc)? ({NUMBER}), ({NUMBER}) ({NUMBER})(?!\S)")
        found = {
            int(number): (kind, (value(x), value(y)), value(length), bool(arc))
            for number, kind, arc, x, y, length in row.findall(
                text.split("Obstacles on the lawn")[0]
            )
        }
        self.sides = dict(sorted(found.items()))
        self.setbacks = {
            kind: metres(at) for kind, at in re.findall(rf"({kinds}) ({LENGTH})[,.]", text)
        }
        self.points = {
            name: (value(x), value(y))
            for name, x, y in re.findall(rf"\b([A-Z]\d?) at ({NUMBER}), ({NUMBER})", text)
        }

    def start(self, side: int) -> tuple[float, float]:
        return self.sides[side][1]

    def end(self, side: int) -> tuple[float, float]:
        return self.start(side % len(self.sides) + 1)


def asked(name: str, level: int, start: str) -> list[Task]:
    """Questions that begin so; each stands on the page as it is asked."""
    found = [task for task in level_tasks(sheet(name), level) if task.text.startswith(start)]
    for task in found:
        assert printed(task.text) in level_text(name, level)
    return found


def near(text: str, length_m: float, within_m: float = 0.0) -> bool:
    tolerance = max(within_m, practice.LENGTH_M["ft" if text.endswith('"') else "m"])
    return abs(metres(text) - length_m) <= tolerance


@pytest.mark.parametrize("name", NAMES)
def test_level_one_is_read_off_the_sheet(name: str) -> None:
    given = Given(name, 1)
    assert given.sides
    (scale,) = asked(name, 1, "The plan is drawn at")
    n, size, unit = re.findall(r"1:(\d+).* (\d+)\s(mm|in) long", printed(scale.text))[0]
    assert f"Scale 1:{n}" in given.text
    ground = int(n) * int(size) * (0.001 if unit == "mm" else 0.0254)
    assert metres(scale.answers[0].text) == pytest.approx(ground, abs=0.004)
    (longest,) = asked(name, 1, "How long is the longest side")
    assert near(longest.answers[0].text, max(length for _, _, length, _ in given.sides.values()))
    (outline,) = asked(name, 1, "How long is the outline")
    whole = sum(length for _, _, length, _ in given.sides.values())
    assert near(outline.answers[0].text, whole, 0.005 * whole)
    (count,) = asked(name, 1, "How many sides")
    kind = count.text.removesuffix("?").split(": ")[1]
    assert int(count.answers[0].text) == sum(each[0] == kind for each in given.sides.values())
    (setback,) = asked(name, 1, "How far in from side")
    side = int(re.findall(r"side (\d+)", setback.text)[0])
    assert metres(setback.answers[0].text) == given.setbacks[given.sides[side][0]]
    (way,) = asked(name, 1, "In which direction")
    left = "keeps the lawn on its left" in given.text
    assert way.answers[0].text == ("anticlockwise" if left else "clockwise")


@pytest.mark.parametrize("name", NAMES)
def test_level_two_is_worked_out_from_the_coordinates(name: str) -> None:
    given = Given(name, 2)
    (check,) = asked(name, 2, "How far is it from")
    one, two = re.findall(r"from (\w+) to (\w+)\?", check.text)[0]
    assert near(check.answers[0].text, math.dist(given.points[one], given.points[two]))
    corners = asked(name, 2, "Tape to the corner")
    assert len(corners) >= 2
    for task in corners:
        at = given.start(int(re.findall(r"side (\d+)", task.text)[0]))
        for point, answer in zip((one, two), task.answers, strict=True):
            assert answer.label == f"from {point}"
            assert near(answer.text, math.dist(given.points[point], at))
    (which,) = asked(name, 2, "Two tapes meet")
    first, second = (metres(each) for each in re.findall(rf"({LENGTH}) from", printed(which.text)))
    off = {
        side: max(
            abs(math.dist(given.points[one], given.start(side)) - first),
            abs(math.dist(given.points[two], given.start(side)) - second),
        )
        for side in given.sides
    }
    best, other = sorted(off, key=lambda side: off[side])[:2]
    assert which.answers[0].text == str(best)
    assert off[best] < 0.03 < 0.4 < off[other]
    given_away = {re.findall(r"side (\d+)", task.text)[0] for task in corners}
    assert which.answers[0].text not in given_away
    (square,) = asked(name, 2, "A square corner")
    a, b = (metres(each) for each in re.findall(rf"({LENGTH}) along", printed(square.text)))
    assert near(square.answers[0].text, math.hypot(a, b))
    (along,) = asked(name, 2, "A peg stands")
    number, far = re.findall(rf"side (\d+), ({LENGTH})", printed(along.text))[0]
    (u, v), (x, y) = given.start(int(number)), given.end(int(number))
    share = metres(far) / math.dist((u, v), (x, y))
    for answer, right in zip(
        along.answers, (u + (x - u) * share, v + (y - v) * share), strict=True
    ):
        assert abs(value(printed(answer.text).removesuffix(" m")) - right) <= 0.05


@pytest.mark.parametrize("name", NAMES)
def test_level_three_is_sums_of_setbacks(name: str) -> None:
    given, job = Given(name, 3), exercise(name)
    for task in asked(name, 3, "Side "):
        number = int(re.findall(r"Side (\d+)", task.text)[0])
        count = len(given.sides)
        ends = [
            given.setbacks[given.sides[n][0]]
            for n in ((number - 2) % count + 1, number % count + 1)
        ]
        assert near(task.answers[0].text, given.sides[number][2] - sum(ends))
    rings = asked(name, 3, "How long would a ring of wire round")
    round_ones = {each.name: each for each in job.plan.obstacles if each.circle}
    for task in rings:
        of = task.text.split("wire round ")[1].removesuffix(" alone be?")
        if of in round_ones:
            row = rf"{of} ([a-z ]+) {NUMBER}, {NUMBER} ({NUMBER})"
            kind, radius = re.findall(row, given.text)[0]
            around = 2 * math.pi * (value(radius) + given.setbacks[kind])
            assert near(task.answers[0].text, around, 0.005 * around)
    passage = metres(re.findall(rf"a passage of ({LENGTH})", given.text)[0])
    for task in asked(name, 3, "Grass between"):
        one, two = re.findall(r"between (.+) and (.+): wide enough", task.text)[0]
        sided = re.fullmatch(r"side (\d+) \((.+)\)", two)
        if sided:
            number, two = int(sided[1]), sided[2]
            assert given.sides[number][0] == two
            if one in round_ones and not given.sides[number][3]:
                row = rf"{one} [a-z ]+ ({NUMBER}), ({NUMBER}) ({NUMBER})"
                x, y, radius = map(value, re.findall(row, given.text)[0])
                side = shapely.LineString([given.start(number), given.end(number)])
                assert near(task.answers[1].text, side.distance(shapely.Point(x, y)) - radius)
        kinds = [re.findall(rf"{each} ([a-z ]+?) {NUMBER}, ", given.text) for each in (one, two)]
        needed = passage + sum(
            given.setbacks[found[0] if found else each]
            for each, found in zip((one, two), kinds, strict=True)
        )
        assert near(task.answers[0].text, needed)
        does = metres(task.answers[1].text) >= metres(task.answers[0].text) - 0.05
        assert task.answers[2].text == ("yes" if does else "no")


# The meter


def ohms(text: str) -> float:
    return float(text.removesuffix(" Ω").replace("\u00a0Ω", ""))


@pytest.mark.parametrize("name", NAMES)
def test_each_fault_is_told_by_its_reading(name: str) -> None:
    text = printed(all_text(document(name, "class-set-key")))
    text = text[text.index("What does the meter say?") :]
    length, unit = re.findall(r"has (\d+\.\d+) (m|ft) of wire", text)[0]
    rate = float(re.findall(r"measured: (\d\.\d+) Ω", text)[0]) / 100
    low, high = (float(each) for each in re.findall(r"reads (\d\.\d+) to (\d\.\d+) Ω", text)[0])
    islands = dict(
        re.findall(
            rf"([A-Z][a-z0-9 ]+): (\d+\.\d+) {unit}\b",
            text.split("hang on it:")[-1].split("Splices")[0],
        )
    )
    told = text.partition("It is one of these:")[2].partition(".")[0]
    assert ("island bypassed" in told) == bool(islands)
    assert ("poor splice" in told) == ("Splices" in text)
    assert "What does the meter say?, of" not in text and "Meter practice, of" in text
    seen = set()
    for task in meter_tasks(sheet(name)):
        fault, where = (printed(answer.text) for answer in task.answers)
        assert printed(task.text) in text
        seen.add(fault)
        if "reads OL" in printed(task.text):
            assert fault == "open"
            continue
        reads = ohms(re.findall(r"reads (\d+\.\d+)", task.text)[0])
        if low <= reads <= high:
            assert (fault, where) == ("sound", "nowhere")
        elif reads > high:
            first, second = re.findall(r"(\d+\.\d+)\sΩ (?:from START|from it)", task.text)
            assert fault == "poor splice"
            assert f"{reads - float(first) - float(second):.2f} Ω" in where
        else:
            gone = float(length) - reads / rate
            fits = [of for of, wire in islands.items() if abs(float(wire) - gone) <= 0.01 / rate]
            if fits:
                assert (fault, where) == ("island bypassed", fits[0])
            else:
                far = metres(re.findall(rf"({LENGTH}) from the terminals", where)[0])
                scale = 0.3048 if unit == "ft" else 1.0
                assert fault == "short"
                assert abs(far - reads / rate / 2 * scale) <= 0.25
    assert {"sound", "open", "short"} <= seen
    assert len(seen) == len(meter_tasks(sheet(name)))


# Marks, yard, plan, names


def test_marks_stand_beside_each_question_and_add_up() -> None:
    name = "practice-lawn"
    for level in (1, 2, 3):
        found = level_tasks(sheet(name), level)
        text = level_text(name, level)
        assert f"Questions, {total(found)} marks" in text
        told = [int(each) for each in re.findall(r"/ (\d+)\b", text)]
        assert sum(told) == total(found) and len(told) == len(found)
    assert sum(task.points for task in tasks(sheet(name))) == 100
    assert all(task.points > 0 for task in tasks(sheet(name)))


@pytest.mark.parametrize("name", NAMES)
def test_the_yard_sheet_gives_the_pegs_where_the_plan_has_them(name: str) -> None:
    job = exercise(name)
    found = yard_of(sheet(name))
    assert found is not None
    text = printed(all_text(document(name, "class-set-key")))
    text = text[text.index("Yard sheet E") :]
    measure = Measure(job.plan.units, load_words())
    before = None
    for peg, hand in found.pegs:
        tapes = [printed(measure.bare(math.dist(each.at, (peg.x, peg.y)))) for each in found.pair]
        assert f"{peg.id} {tapes[0]} {tapes[1]} {hand}" in text
        if before:
            apart = math.dist((peg.x, peg.y), (before.x, before.y))
            assert apart >= practice.YARD_APART_M - 1e-6
            assert f"to {before.id}: {printed(measure.bare(apart))}" in text
        before = peg


@pytest.mark.parametrize("name", NAMES)
def test_a_yard_of_the_usual_size_holds_the_stakes_and_pegs_as_the_sheet_says(name: str) -> None:
    found = yard_of(sheet(name))
    assert found is not None
    places = np.array(
        [*(each.at for each in found.pair), *((peg.x, peg.y) for peg, _ in found.pegs)]
    )
    sizes = []
    for angle in np.radians(np.arange(0.0, 180.0, 0.1)):
        turned = places @ [[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]]
        sizes.append(sorted(np.ptp(turned, axis=0)))
    units = exercise(name).plan.units
    long, wide = practice.YARD_M[units]
    assert any(size[0] <= wide + 0.01 and size[1] <= long + 0.01 for size in sizes)
    told = sorted(found.room_m)
    assert any(size == pytest.approx(told, abs=0.03) for size in sizes)
    least = min(max(size[1] / 1.5, size[0]) for size in sizes)  # of yards half as long again
    assert least - 0.01 <= max(told[1] / 1.5, told[0]) <= 1.02 * least
    measure = Measure(units, load_words())
    room = " by ".join(printed(measure.length(each)) for each in found.room_m)
    assert f"take a yard of {room}." in printed(all_text(document(name, "class-set-key")))


def test_the_lesson_plan_adds_up_and_counts_what_the_garden_has() -> None:
    job = exercise("practice-lawn")
    text = printed(all_text(document("practice-lawn", "class-set-key")))
    text = text[: text.index("Level 1: Read the plan, E")]
    (hours, rest) = re.findall(r"Total (\d+) h (\d+) min", text)[0]
    minutes = [int(each) for each in re.findall(r" (\d+) (?=[A-Z])", text.split("What is done")[1])]
    assert sum(minutes[:10]) == 60 * int(hours) + int(rest)
    pegs = sum(len(loop.pegs) for loop in job.lay.loops)
    assert f"pegs {pegs}" in text
    assert f"corners of the lawn {len(job.plan.lawns[0].outline)}" in text


def test_the_command_prints_a_set_and_refuses_a_layout_beside_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from renderer.cli import main

    (plan,) = (str(each) for each in demo_plans() if each.name.startswith("practice"))
    out = tmp_path / "set.pdf"
    assert main(["print", plan, "--set", "-o", str(out)]) == 0
    assert out.exists() and (tmp_path / "set-key.pdf").exists()
    assert main(["print", plan, "--set", "--layout", "exercise", "-o", str(out)]) == 2
    assert "--set is a layout of its own" in capsys.readouterr().err


def test_a_plan_that_is_stopped_itself_is_told_so_where_no_garden_can_be_made_from_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from renderer.cli import main

    (plan,) = (each for each in demo_plans() if each.name.startswith("practice"))
    pipe = "\n  - {name: Old pipe, kind: buried pipe, line: [[1, -3], [1, 20]], depth: 0.6}"
    text = plan.read_text(encoding="utf-8").replace("\nfeatures:", f"\nfeatures:{pipe}")
    (tmp_path / "pipe.plan.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "machine.yaml").write_bytes((plan.parent / "machine.yaml").read_bytes())
    out = tmp_path / "set.pdf"
    assert main(["print", str(tmp_path / "pipe.plan.yaml"), "--set", "-o", str(out)]) == 2
    told = capsys.readouterr().err
    assert "nor the plan itself (service-not-located)" in told and "pegline check" in told
    assert not list(tmp_path.glob("*.pdf"))


def test_no_answer_stands_in_the_trainees_file_and_no_name_in_either() -> None:
    sheets = all_text(document("quarry-lane"))
    key = all_text(document("quarry-lane", "class-set-key"))
    for name in ("Quarry", "Alderby", "household", "0101"):
        assert name not in sheets + key
    for word in ("Worked", "Within", "in meaning", "Yard sheet", "What does the meter say"):
        assert word not in sheets
        assert word in key


@pytest.mark.parametrize("name", NAMES)
def test_how_near_an_answer_must_be_stands_above_the_questions(name: str) -> None:
    """On their page: a line of rules that begins a page by itself is not read."""
    found = 0
    for page in document(name).pages:
        texts = [item.text for item in page.items if isinstance(item, Text)]
        heads = [text for text in texts if text.startswith("Questions, ")]
        rules = [text for text in texts if text.startswith("Right* is a length within")]
        assert len(heads) == len(rules)
        assert not heads or "No." in texts
        found += len(heads)
    assert found == 3


@pytest.mark.parametrize("name", NAMES)
def test_no_sum_of_lines_above_begins_a_computation(name: str) -> None:
    """The key says so only where lines stand above it."""
    for level in (1, 3):
        for task in level_tasks(sheet(name), level):
            if task.steps and not task.steps[0].letters:
                told = worked._arithmetic(sheet(name), task.steps[0])
                assert told.startswith("sum of the sides")


def test_a_meter_sheet_names_no_island_and_no_splice_where_there_are_none() -> None:
    plan = handmade.plan(obstacles=[], features=[], wire={"conductor_mm2": 0.75})
    job = anonymous_job(Job.known(plan, lay_plan(plan), ()), load_words(), 1)
    text = printed(all_text(compose([job], load_layout("class-set-key"))))
    told = text.partition("It is one of these:")[2].partition(".")[0]
    assert "short, bare wires" in told
    assert "island" not in told and "splice" not in told


@pytest.mark.parametrize("layout", [LESSON_SET, "class-set-key"])
def test_a_coordinate_below_nought_has_a_minus_sign(layout: str) -> None:
    """The same in the tables and in the worked lines."""
    text = all_text(document("quarry-lane", layout))
    assert not re.search(r"(?<![\w-])-\d", text)


def test_one_mark_is_not_told_as_several() -> None:
    words = load_words()
    assert words.count("level.questions", 1) == "Questions, 1 mark"
    assert words.count("level.questions", 11) == "Questions, 11 marks"
