"""An exercise states each rule that its garden needs, and speaks of nothing that it has not."""

from __future__ import annotations

import math
import re
from functools import lru_cache
from itertools import combinations

import numpy as np
import pytest
import shapely

from renderer.commands.print import LESSON_SET
from renderer.drawing import drawing_words, plan_drawing
from renderer.drawing.lessons import UNLAID, unlaid
from renderer.job import Job
from renderer.language import load_words
from renderer.plan import load
from renderer.primitives import Page, Text
from renderer.sheets import in_language, load_layout
from renderer.teaching.anonymous import anonymous_job
from renderer.text.measure import width_mm
from tests.drawing import handmade
from tests.plans import demo_plans, example_plans
from tests.shared import compose, job_of
from tests.sheets.sample import all_text

# Two lawns of 8 m joined by grass of 1.2 m, which leaves 0.6 m between the wires.
NECK = [
    [0, 0, "bed"], [8, 0, "bed"], [8, 3, "bed"], [11, 3, "bed"], [11, 0, "bed"], [19, 0, "bed"],
    [19, 8, "bed"], [11, 8, "bed"], [11, 4.2, "bed"], [8, 4.2, "bed"], [8, 8, "bed"], [0, 8, "bed"],
]  # fmt: skip
PLAIN = [[0, 0, "wall"], [12, 0, "bed"], [12, 8, "flush"], [0, 8, "hedge"]]
SLANTED = [[0, 0, "wall"], [12, 1, "bed"], [15, 10, "flush"], [-2, 8, "hedge"]]
PASSAGE_M = 1.0


@lru_cache
def taught(name: str, language: str = "en") -> Job:
    """A garden as a class sees it, by the name of what there is to it."""
    outlines = {"neck": NECK, "slanted": SLANTED}
    changes: dict[str, object] = {"features": []}
    if name != "island":
        changes["obstacles"] = []
        changes["lawns"] = [{"name": "Rear", "outline": outlines.get(name, PLAIN)}]
        changes["loops"] = [{"name": "main", "dock": {"at": [4, 0.3]}}]
    if name == "neck":
        changes["loops"] = [
            {
                "name": "main",
                "dock": {"at": [4, 0.3]},
                "crossings": [{"between": ["Rear", "Rear"], "via": [[9.5, 3.6]]}],
            }
        ]
    return anonymous_job(job_of(handmade.plan(**changes)), load_words(language), 1)


@lru_cache
def text(name: str, layout: str, language: str = "en") -> str:
    document = compose([taught(name, language)], in_language(load_layout(layout), language))
    return " ".join(all_text(document).replace("\xa0", " ").split())


def rules(name: str, language: str = "en") -> str:
    told, words = text(name, "exercise", language), load_words(language)
    start = told.index(words("heading.exercise-rules"))
    return told[start : told.index(words("teach.practice"), start)]


@pytest.mark.parametrize("language", ["en", "de", "es", "fr"])
def test_where_the_wire_closes_a_neck_is_stated_only_where_it_does(language: str) -> None:
    words = load_words(language)
    decimal = "." if language == "en" else ","
    passage, deep = f"1{decimal}00 m", f"2{decimal}00 m"
    told = " ".join(words("rule.closed", passage=passage, deep=deep).replace("\xa0", " ").split())
    assert told in rules("neck", language)
    assert told.split(":")[0] not in rules("plain", language)
    assert told.split(":")[0] not in rules("island", language)


def test_the_wire_closes_a_neck_between_the_touches_of_a_disc_as_the_rule_says() -> None:
    """A disc on the open side of each straight across touches the wire at its two ends only."""
    (loop,) = taught("neck").lay.loops
    outer = [ring for ring in loop.rings if ring.kind == "outer"]
    assert len(outer) == 2
    for ring in outer:
        ground, points = shapely.Polygon(ring.points), np.asarray(ring.points)
        chords = [
            (one, two)
            for one, two in zip(points, np.roll(points, -1, axis=0), strict=True)
            if 8.0 < (one[0] + two[0]) / 2 < 11.0 or 0.2 < math.dist(one, two) < 0.98 * PASSAGE_M
            if abs(one[0] - two[0]) < 1e-3 and 0.3 < abs(one[1] - two[1]) < PASSAGE_M
        ]
        ((one, two),) = chords
        middle, half = (one + two) / 2, math.dist(one, two) / 2
        away = math.sqrt((PASSAGE_M / 2) ** 2 - half**2)
        inwards = 1.0 if shapely.contains_xy(ground, middle[0] + 0.1, middle[1]) else -1.0
        centre = shapely.Point(middle[0] + inwards * away, middle[1])
        across = shapely.LineString([one, two])
        rest = ground.exterior.difference(across.buffer(1e-3))
        assert rest.distance(centre) == pytest.approx(PASSAGE_M / 2, abs=4e-3)


@pytest.mark.parametrize("layout", ["exercise", "class-set"])
def test_a_garden_without_obstacles_is_told_nothing_of_islands_and_pairs(layout: str) -> None:
    told = text("plain", layout)
    for start, end in (
        ("Exercise E", "Figures of the machine"),
        ("Rules for the answers", "Two people"),
        ("Level 1", "Questions,"),
        ("Level 3", "Questions,"),
    ):
        if start in told:
            part = told[told.index(start) : told.index(end, told.index(start))]
            assert re.findall(r"island|pair|obstacle", part) == []
    assert "Islands and passages" not in told
    with_one = text("island", layout)
    assert "Islands and passages" in with_one


@pytest.mark.parametrize("name", ["plain", "island"])
def test_the_parts_and_the_grid_share_a_hundred_marks_in_the_same_way(name: str) -> None:
    key = text(name, "exercise-key")
    asked = dict(re.findall(r"([A-Z][a-z ]+), (\d+) marks(?! \(continued)", key))
    assert sum(map(int, asked.values())) == 100
    assert ("Islands and passages" in asked) == (name == "island")
    grid = key[key.index("What is looked at") :]
    for part, points in asked.items():
        assert re.search(rf"{part} [A-Z][^0-9]+(?:5 cm[^0-9]+)?{points} ", grid), part
    assert " Total 100 " in grid


def test_a_level_of_hardly_any_questions_is_left_out_of_all_that_speaks_of_it() -> None:
    """A lawn without square corners and obstacles has nothing to work out for level 3."""
    for layout in (LESSON_SET, "class-set-key"):
        assert "Level 3" in text("island", layout)
        assert "Level 3" not in text("slanted", layout)
        assert "Level 2" in text("slanted", layout)
    record = text("slanted", "class-set-key").split("Scores of the sheets")[1]
    assert "Setbacks" not in record


def test_no_place_of_a_splice_is_right_that_is_off_by_more_than_a_tape_may_be() -> None:
    key = text("island", "exercise-key")
    place = re.search(r"Where can splice S1 .*?([\d.]+ m to [\d.]+ m)+ (± [\d.]+ c?m)", key)
    assert place is not None and place[2] == "± 5 cm"
    assert "a splice within 5 cm of where it may be" in rules("island")


def test_a_list_of_pegs_that_all_name_their_board_says_nothing_of_others() -> None:
    told = text("plain", "class-set-key")
    assert re.search(r"wall 0\.30 G1", told)
    assert "No board named" not in told


@pytest.mark.parametrize("language", ["en", "de", "es", "fr"])
def test_a_side_without_room_for_its_number_is_told_below_the_plan(language: str) -> None:
    """Old smithy has short sides in nooks; each number stands on the plan or in the line below."""
    path = next(path for path in demo_plans() if path.stem.startswith("old-smithy"))
    job = anonymous_job(job_of(load(path)), load_words(language), 1)
    pages = compose([job], in_language(load_layout("exercise"), language), paper="A4").pages
    words = load_words(language)
    page = next(page for page in pages if words("heading.exercise-plan") in texts(page))
    roles = [item.role for item in page.items if isinstance(item, Text)]
    on_plan = {int(role.split()[-1]) for role in roles if role.startswith("label side number ")}
    drawing = drawing_words(language)
    start = drawing["legend.no-side.other"].split("{")[0]
    (line,) = [text for text in texts(page) if text.startswith(start)]
    told = {int(each) for each in re.findall(r"\d+", line)}
    assert on_plan.isdisjoint(told)
    assert on_plan | told == set(range(1, sum(len(lawn.sides) for lawn in job.lay.lawns) + 1))
    alone = drawing["legend.no-side.one"].split("{")[0]
    practice = compose([taught("plain", language)], in_language(load_layout("exercise"), language))
    for each in practice.pages:
        assert not any(text.startswith((start, alone)) for text in texts(each))


def texts(page: Page) -> list[str]:
    return [item.text for item in page.items if isinstance(item, Text)]


def test_no_number_of_a_side_stands_beside_the_next_side_too() -> None:
    """Sides of mill bank run on in one line: there two numbers in a row were read as one."""
    path = next((path for path in example_plans() if path.stem.startswith("mill-bank")), None)
    if path is None:
        pytest.skip("the example plans are elsewhere")
    job = anonymous_job(job_of(load(path)), load_words(), 1)
    for height in (90.0, 225.0):
        drawn = plan_drawing(
            job.plan,
            job.lay,
            (),
            box_mm=(190.0, height),
            inch_paper=False,
            words=drawing_words("en"),
            show=UNLAID,
            extra=unlaid,
            setting=job.setting,
        )
        labels = [
            item
            for item in drawn.drawing.items
            if isinstance(item, Text) and item.role.startswith("label side number ")
        ]
        assert len(labels) == 15
        for one, two in combinations(labels, 2):
            if one.angle_deg != two.angle_deg:
                continue
            angle = math.radians(one.angle_deg)
            dx, dy = np.subtract(two.at, one.at)
            along = abs(dx * math.cos(angle) - dy * math.sin(angle))
            across = abs(dx * math.sin(angle) + dy * math.cos(angle))
            half = sum(width_mm(each.text, each.face, each.size_pt) for each in (one, two)) / 2
            assert across > 1.0 or along > half + 2.0, (one.text, two.text)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("high", [8.0, 12.5])
def test_the_plan_of_a_level_is_smaller_where_that_spares_a_page(paper: str, high: float) -> None:
    """A plain lawn's level 3 takes one page of A4; level 1 asks for the scale that is drawn."""
    corners = [(0.0, 0.0), (21.0, 0.0), (21.0, high), (0.0, high)]
    lawn = {"name": "Rear", "outline": [[x, y, "wall"] for x, y in corners]}
    loop = {"name": "main", "dock": {"at": [7, 0.3]}}
    plan = handmade.plan(lawns=[lawn], loops=[loop], obstacles=[], features=[])
    job = anonymous_job(job_of(plan), load_words(), 1)
    pages = compose([job], load_layout(LESSON_SET), paper=paper).pages
    first = {
        name: number
        for number, page in enumerate(pages)
        for name in ("Level 1", "Level 2", "Level 3", "Exercise E")
        if any(text.startswith(name) and "E-1" in text for text in texts(page))
    }
    if paper == "A4":
        assert first["Exercise E"] - first["Level 3"] == 1
    drawn = [text for text in texts(pages[0]) if text.startswith("Scale 1:")]
    key = " ".join(all_text(compose([job], load_layout("class-set-key"), paper=paper)).split())
    sheet = " ".join(text for page in pages[: first["Level 2"]] for text in texts(page))
    asked = {re.findall(r"drawn at 1:(\d+)", each)[0] for each in (sheet, key)}
    assert drawn == [f"Scale 1:{scale}" for scale in asked]
