"""One meaning to a letter, how each plan lies on its page, and steps that agree with the van."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from renderer import draw
from renderer.drawing.paper import USUAL
from renderer.ground.references import references
from renderer.job import Job
from renderer.language import load_words
from renderer.plan import load, loads
from renderer.primitives import Document, Line, Page, Text
from renderer.sheets import in_language, load_layout
from renderer.sheets.figure import figure
from renderer.sheets.layout import read_blocks
from tests.plans import demo_plans
from tests.shared import compose, job_of, lay_plan

SMALL_PLANS = tuple(path for path in demo_plans() if "hollin" not in path.name)
LETTER = re.compile(r"(?<![\w'’.\-°])[A-Z](?![\w'’\-°º]|\.º)")  # not of a unit or number sign
HANDS = {"en": "LR", "de": "LR"}  # elsewhere small letters


def job(path: Path) -> Job:
    return job_of(load(path))


def letters(document: Document) -> Iterator[tuple[Text, re.Match[str]]]:
    for page in document.pages:
        for item in page.items:
            if isinstance(item, Text) and item.role != "title-block":
                yield from ((item, found) for found in LETTER.finditer(item.text))


@pytest.mark.parametrize(
    ("name", "language"),
    [("crew-work-order", each) for each in ("en", "de", "es", "fr")]
    + [("wiring-map", "en"), ("wiring-map", "es"), ("fault-plates", "fr")],
)
@pytest.mark.parametrize("path", SMALL_PLANS, ids=lambda p: str(p.stem))
def test_a_letter_on_a_sheet_names_a_reference_point(path: Path, name: str, language: str) -> None:
    """Besides those: volts after a figure, and the hand of a tie, which no such point is called."""
    given = job(path)
    points = {point.name for point in references(given.plan, given.lay.lawns)}
    hands = set(HANDS.get(language, ""))
    assert not points & hands
    own = " ".join(str(value) for value in _texts(given.plan.model_dump()))
    for item, found in letters(compose([given], in_language(load_layout(name), language))):
        letter, text = found[0], item.text
        if letter in points:
            bare = text.strip() == letter != given.plan.job.revision
            assert not bare or item.role == f"label reference {letter}", f"{text!r} in a table"
            assert not re.search(rf"\d[\s\u00a0]{letter}$", text), f"{text!r}: not a point"
            continue
        after_figure = (
            letter == "V" and text[: found.start()].rstrip("\u00a0\u202f ")[-1:].isdigit()
        )
        assert letter in hands or after_figure or f"{letter}." in own, text


def _texts(value: object) -> Iterator[str]:
    if isinstance(value, dict):
        for each in value.values():
            yield from _texts(each)
    elif isinstance(value, (list, tuple)):
        for each in value:
            yield from _texts(each)
    elif isinstance(value, str):
        yield value


TALL = """
plan: 1
job: {{number: T-1}}
{north}
machine:
  label: Sample machine
  setback: {{wall: 0.3, bed: 0.3}}
  passage_min: 1
  loop_max: 400
  tail: 0.3
  peg_spacing: {{first: 3, final: 0.75}}
survey: {{points: [{{name: P, at: [0, 0]}}, {{name: Q, at: [{width}, 0]}}]}}
lawns:
  - name: Rear
    outline: [[0, 0, wall], [{width}, 0, wall], [{width}, {height}, bed], [0, {height}, wall]]
loops: [{{dock: {{at: [4, 0.3]}}, supply: {{at: [4, -1], lead: 3}}}}]
wire: {{conductor_mm2: 0.75, spools: [400]}}
"""


def up(page: Page) -> float | None:
    """Which way the plan's y axis points on a page, degrees clockwise; from the lawn's outline."""
    for item in page.items:
        if isinstance(item, Line) and item.id == "lawn-rear":
            (x0, y0), *_, (x1, y1) = item.points
            return math.degrees(math.atan2(x1 - x0, y0 - y1)) % 360
    return None


def arrows(page: Page, role: str) -> list[float]:
    """Where the arrows of a page point, degrees clockwise; a north arrow has two halves."""
    found = []
    lines = [item for item in page.items if isinstance(item, Line) and item.role == role]
    for start in range(0, len(lines), 2 if role == "north" else 1):
        parts = lines[start : start + (2 if role == "north" else 1)]
        middle = np.mean([point for part in parts for point in part.points], axis=0)
        tip = np.array(parts[0].points[0])
        found.append(math.degrees(math.atan2(tip[0] - middle[0], middle[1] - tip[1])) % 360)
    return found


@pytest.mark.parametrize("size", [(12, 30), (44, 12), (20, 14)])
@pytest.mark.parametrize("north", [None, 0.0, 30.0, -100.0])
def test_each_page_with_a_plan_tells_how_it_lies(
    size: tuple[int, int], north: float | None
) -> None:
    """North where it is known; else where the plan's top is, on the pages that turn it."""
    text = TALL.format(
        width=size[0], height=size[1], north="" if north is None else f"north: {north}"
    )
    plan = loads(text, "tall.plan.yaml")
    given = Job.known(plan, lay_plan(plan), ())
    layout = load_layout("crew-work-order")
    turned = 0
    for page in compose([given], layout).pages:
        lies = up(page)
        north_arrows, tops = arrows(page, "north"), arrows(page, "plan-top")
        if lies is None:  # a sheet of several shows no whole outline
            assert not tops and all(n == pytest.approx(north % 360, abs=1) for n in north_arrows)
        elif north is None:
            assert not north_arrows
            assert [top == pytest.approx(lies, abs=1.0) for top in tops] == [True] * (lies > 0.1)
        else:
            assert not tops and len(north_arrows) == 1
            off = (north_arrows[0] - lies - north + 180) % 360 - 180
            assert off == pytest.approx(0.0, abs=1.0)
        turned += lies is not None and lies > 0.1
    assert turned or size != (44, 12)


# Each tool as a step names it, and the item of the load list that it is.
LOADED = {
    "plan": None,  # the sheets themselves
    "answer": None,
    "load list": None,
    "maker's charger": "part.machine",
    "pencil": "tool.pencil",
    "steel rule": "tool.steel_rule",
    "flags": "tool.flags",
    "mower": "tool.mower",
    "rake": "tool.rake",
    "saw": "tool.saw",
    "marker": "tool.marker",
    "meter": "tool.meter",
    "tape": "tool.tape",
    "two tapes": "tool.tape",
    "gauge": "gauge",
    "mallet": "tool.mallet",
    "label": "tool.label",
    "spool stand": "tool.spool_stand",
    "conduit": "part.conduit",
    "wet saw": "tool.wet_saw",
    "mask": "tool.dust_mask",
    "stripper": "tool.stripper",
    "connector": "connector.order",
    "cutters": "tool.cutter",
    "insulation tester": "tool.insulation_tester",
    "level": "tool.level",
    "screwdriver": "tool.screwdriver",
    "clips": "tool.clips",
    "indicator": "tool.indicator",
    "camera": "tool.camera",
}


def tools_of(document: Document) -> set[str]:
    """The tools at the end of the printed steps, in italics, tool by tool."""
    found = set()
    for page in document.pages:
        texts = [item for item in page.items if isinstance(item, Text)]
        if not any(item.text == "Do · Limit · Tool" for item in texts):
            continue
        for text in _cells([item for item in texts if item.face == "italic"]):
            found |= {part.strip().lower() for part in re.split(r",| or | with ", text)} - {""}
    return found


def _cells(lines: list[Text]) -> list[str]:
    """Lines of one cell stand at the pitch of the text; a step's cells are further apart."""
    found: list[list[Text]] = []
    for line in sorted(lines, key=lambda item: item.at[1]):
        if found and line.at[1] - found[-1][-1].at[1] < 5.2:
            found[-1].append(line)
        else:
            found.append([line])
    return [" ".join(line.text for line in cell) for cell in found]


@pytest.mark.parametrize("path", SMALL_PLANS, ids=lambda p: str(p.stem))
def test_every_tool_that_a_step_names_is_on_the_load_list(path: Path) -> None:
    given = job(path)
    layout = load_layout("crew-work-order")
    steps = layout.model_copy(update={"blocks": read_blocks(["steps"])})
    loads_ = layout.model_copy(update={"blocks": read_blocks(["load-list"])})
    named = tools_of(compose([given], steps))
    assert len(named) > 15
    assert named <= set(LOADED), "a step names a tool that this test does not know"
    items = {item.item for item in given.lay.takeoff}
    missing = {LOADED[tool] for tool in named} - items - {None}
    if any(leg.kind == "crossing" for loop in given.lay.loops for leg in loop.legs):
        missing -= {"tool.wet_saw", "tool.dust_mask"}  # conduit, where the ground is not hard
    assert missing == set()
    words = load_words("en")
    shown = " ".join(
        item.text
        for page in compose([given], loads_).pages
        for item in page.items
        if isinstance(item, Text)
    )
    for item in given.lay.takeoff:
        if item.item.startswith(("tool.", "part.")):
            assert words(f"item.{item.item}", of=item.of) in shown


def test_only_spools_that_are_loaded_are_measured() -> None:
    """100 m and 60 m are stated, the garden takes one of them: nothing asks for the other."""
    text = TALL.format(width=20, height=10, north="").replace("spools: [400]", "spools: [100, 60]")
    plan = loads(text, "two.plan.yaml")
    given = Job.known(plan, lay_plan(plan), ())
    assert len(given.lay.spools.unused) == 1
    layout = load_layout("crew-work-order")
    for block in ("load-list", "steps", "test-record"):
        one = layout.model_copy(update={"blocks": read_blocks([block])})
        shown = " ".join(
            item.text
            for page in compose([given], one).pages
            for item in page.items
            if isinstance(item, Text)
        )
        assert len(set(re.findall(r"[Ss]pool (\d)", shown))) == 1, block


@pytest.mark.parametrize(("units", "size"), [("m", (210.0, 297.0)), ("ft", (215.9, 279.4))])
def test_a_plan_is_drawn_and_printed_on_the_paper_of_its_units(
    units: str, size: tuple[float, float]
) -> None:
    text = TALL.format(width="12 m", height="9 m", north="").replace(
        "plan: 1", f"plan: 1\nunits: {units}"
    )
    plan = loads(text, "paper.plan.yaml")
    layout = load_layout("crew-work-order").model_copy(update={"blocks": read_blocks(["job"])})
    given = Job.known(plan, lay_plan(plan), ())
    (page,) = compose([given], layout).pages
    assert (page.width_mm, page.height_mm) == pytest.approx(size)
    for own in (layout.model_copy(update={"paper": "A3"}), layout):
        paper = None if own.paper else "A3"
        assert compose([given], own, paper=paper).pages[0].width_mm == 297.0
    picture = figure(given, paper=USUAL[units])
    assert sorted((picture.width_mm, picture.height_mm)) == pytest.approx(size)
    drawn = draw(plan, "svg").decode()
    assert f'width="{picture.width_mm:g}mm"' in drawn


@pytest.mark.parametrize(("name", "paper"), [("quarry-lane", "A4"), ("practice-lawn", "Letter")])
def test_squares_to_sketch_on_are_whole_units(name: str, paper: str) -> None:
    """5 mm squares of A4 were 3' 3 1/4" of a plan in feet, quarter inches 6.35 m of another."""
    (path,) = (each for each in demo_plans() if name in each.name)
    layout = load_layout("survey-form")
    layout = layout.model_copy(update={"blocks": read_blocks(["survey-sketch"])})
    (page,) = compose([job(path)], layout, paper=paper).pages
    shown = " ".join(item.text for item in page.items if isinstance(item, Text))
    found = re.search(r"squares are (\d+)'\s0\"\. The|squares are (\d+\.[05]0)\sm\. The", shown)
    assert found, shown
    scale = float(re.search(r"1:(\d+)", shown)[1])  # type: ignore[index]
    side_m = float(found[1]) * 0.3048 if found[1] else float(found[2])
    grid = sorted({item.points[0][0] for item in page.items if _is_grid(item)})
    steps = np.diff(grid)
    assert steps[1:-1] == pytest.approx(side_m * 1000 / scale, abs=0.02)


def _is_grid(item: object) -> bool:
    """A level or upright grey line of the squares, here the upright ones."""
    if not isinstance(item, Line) or item.pen is None or item.pen.colour != "#8c8c8c":
        return False
    return abs(item.points[0][0] - item.points[1][0]) < 1e-6
