"""The garden of the window: what is pointed at stands where it was measured, on the line it has."""

from __future__ import annotations

import math

import pytest
import yaml

from renderer.job import Job, prepare
from renderer.plan import loads
from renderer.plan.lines import Lines
from renderer.preview.garden import Garden, garden_of
from renderer.preview.lines import excerpt
from tests.plans import ROOT, moved

TEXT = (ROOT / "demo" / "practice-lawn.plan.yaml").read_text("utf-8")
GRID = (5_412_000.0, 3_380_000.0)


def made(text: str, language: str = "en") -> tuple[Job, Garden]:
    plan = loads(text, "garden.plan.yaml", ROOT / "demo")
    job = prepare(plan).near
    return job, garden_of(job, Lines(text, "garden.plan.yaml", plan), language)


def written_moved(turn: float, mirror: bool, shift: tuple[float, float]) -> str:
    return yaml.safe_dump(moved(yaml.safe_load(TEXT), turn, mirror, shift), sort_keys=False)


@pytest.fixture(scope="module")
def practice() -> tuple[Job, Garden]:
    return made(TEXT)


def test_each_peg_stands_where_it_is_drawn(practice: tuple[Job, Garden]) -> None:
    job, garden = practice
    shown = [each for each in garden.for_window()["things"] if each["kind"] == "peg"]
    assert len(shown) == len(job.pegs)
    for thing, peg in zip(shown, job.pegs, strict=True):
        ((x, y),) = thing["points"]
        back = garden.view.back((x, y))
        assert math.dist(back, (peg.x, peg.y)) < 0.01
        circle = garden.svg[garden.svg.index(f'id="peg-{peg.id}"') - 120 :][:240]
        assert "circle" in circle or "rect" in circle or "polygon" in circle


@pytest.mark.parametrize(
    ("turn", "mirror", "shift"),
    [(0.7, False, (0.0, 0.0)), (2.0, True, (0.0, 0.0)), (0.3, False, GRID)],
    ids=["turned", "mirrored", "grid"],
)
def test_distances_on_the_window_are_those_of_the_ground(
    turn: float, mirror: bool, shift: tuple[float, float]
) -> None:
    job, garden = made(written_moved(turn, mirror, shift))
    told = garden.for_window()
    first, last = [thing["points"][0] for thing in told["things"] if thing["kind"] == "peg"][
        :: len(job.pegs) - 1
    ]
    one, other = job.pegs[0], job.pegs[-1]
    taped = math.dist(first, last) * told["metres"]
    assert taped == pytest.approx(math.dist((one.x, one.y), (other.x, other.y)), abs=0.01)
    (x, y), frame = first, garden.view.frame
    assert 0 < x < frame.width and 0 < y < frame.height


def test_coordinates_are_told_as_the_file_has_them() -> None:
    _, garden = made(written_moved(0.0, False, GRID))
    post = next(each for each in garden.things if each.kind == "start")
    (where,) = [fact for fact in post.facts if fact.startswith("x ")]
    x, y = (float(part.split()[1].replace(",", "")) for part in where.split(", "))
    assert (x, y) == pytest.approx((GRID[0] + 5.0, GRID[1] + 0.1), abs=0.5)


def test_feet_are_told_in_feet() -> None:
    text = TEXT.replace("units: m", "units: m\nshown_in: ft", 1)
    _, garden = made(text)
    side = next(each for each in garden.things if each.kind == "side")
    assert side.facts[0].endswith('" long')


def test_each_thing_knows_its_line(practice: tuple[Job, Garden]) -> None:
    lines = TEXT.splitlines()
    _, garden = practice
    for thing in garden.things:
        assert 1 <= thing.line <= len(lines), thing
        if thing.kind in ("obstacle", "feature"):
            assert f"name: {thing.name}," in lines[thing.line - 1]
        if thing.kind == "island":
            assert thing.name.split("round ")[1].split(" + ")[0] in lines[thing.line - 1]


def test_a_side_of_a_lawn_is_on_the_line_of_its_corner() -> None:
    text = (ROOT / "demo" / "quarry-lane.plan.yaml").read_text("utf-8")
    _, garden = made(text)
    lines = text.splitlines()
    sides = [each for each in garden.things if each.kind == "side"]
    assert len(sides) > 4
    for side in sides:
        assert side.name.split()[0] in lines[side.line - 1]


def test_the_other_languages_name_the_things() -> None:
    _, garden = made(TEXT, "de")
    assert any(each.name == "Hering 1" for each in garden.things)


def test_an_excerpt_is_the_lines_about_one() -> None:
    assert [number for number, _ in excerpt(TEXT, 5)] == [2, 3, 4, 5, 6, 7, 8]
    assert excerpt(TEXT, 1)[0] == (1, TEXT.splitlines()[0])
    assert excerpt(TEXT, 10**8) == [] and excerpt("", 1) == []
    assert len(excerpt("x" * 10_000, 1)[0][1]) == 200
