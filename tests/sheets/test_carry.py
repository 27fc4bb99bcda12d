"""The carry sheet, read back from its finished pages and compared with the lay."""

from __future__ import annotations

import re
from functools import cache
from types import SimpleNamespace

import pytest
from shapely import LineString, Polygon

from renderer.drawing import linemap
from renderer.drawing.legends import NO_KEY
from renderer.drawing.linemap import line_maps
from renderer.drawing.scale import close_scales
from renderer.drawing.words import drawing_words
from renderer.plan import Plan, load, loads
from renderer.primitives import Document, Field, Line, Text
from renderer.sheets import load_layout
from renderer.sheets.blocks.furniture import key_table
from renderer.sheets.pages import frame_of, sheet_of
from tests.drawing.audit import faults
from tests.plans import demo_plans, example_plans
from tests.shared import compose, job_of, lay_plan
from tests.sheets.sample import SMALL

HIDING = {"orchard-hall": 1}  # numbers on the wire: where two trees and a splice stand in one ring
BARS = {"check-bar", "check-tick", "scale-bar", "north", "plan-top"}
PLANS = [*demo_plans(), *example_plans()]
# pages: one leaf, and what larger gardens take
LEAF = {("practice-lawn", "A4"): 2, ("practice-lawn", "Letter"): 2, ("mill-cottage", "A4"): 2}
LEAF |= {("larch-close", "A4"): 2}
SETBACKS = {"wall": 0.40, "hedge": 0.32, "fence": 0.36, "bed": 0.25}  # of the old smithy
MOST = {"quarry-lane": 3, "old-smithy": 5, "hollin-park": 9}


@cache
def printed(name: str, paper: str = "A4", draft: bool = False) -> tuple[Plan, Document]:
    (path,) = (path for path in PLANS if path.name == f"{name}.plan.yaml")
    plan = load(path)
    return plan, compose([job_of(plan)], load_layout("carry"), paper=paper, draft=draft)


NAMES = [path.name.removesuffix(".plan.yaml") for path in PLANS]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", NAMES)
def test_every_control_peg_is_numbered_on_a_plan(name: str, paper: str) -> None:
    plan, document = printed(name, paper)
    texts = [item for page in document.pages for item in page.items if isinstance(item, Text)]
    numbers = {text.text for text in texts if text.role.startswith("label peg")}
    wanted = {peg.id for loop in lay_plan(plan).loops for peg in loop.pegs if peg.control}
    assert wanted <= numbers
    between = {peg.id for loop in lay_plan(plan).loops for peg in loop.pegs if not peg.control}
    marks = {item.id for page in document.pages for item in page.items if getattr(item, "id", None)}
    assert not {f"peg-{number}" for number in between} & marks


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", NAMES)
def test_no_number_of_a_peg_hides_the_wire(name: str, paper: str) -> None:
    _, document = printed(name, paper)
    hidden = 0
    for page in document.pages:
        lines = [item for item in page.items if isinstance(item, Line) and len(item.points) > 1]
        wires = [LineString(item.points) for item in lines if item.role.startswith("wire")]
        for mask in (Polygon(item.points) for item in lines if item.role == "mask"):
            hidden += sum(wire.intersection(mask).length for wire in wires) > 0.3
    assert hidden <= HIDING.get(name, 0)


@pytest.mark.parametrize("name", NAMES)
def test_every_leg_is_on_the_line_map_once_with_its_running_distances(name: str) -> None:
    plan, document = printed(name)
    wires = [
        item.id
        for page in document.pages
        for item in page.items
        if isinstance(item, Line) and item.role == "line-wire" and item.id
    ]
    lay = lay_plan(plan)
    legs = [(loop.name, n) for loop in lay.loops for n in range(1, len(loop.legs) + 1)]
    assert {f"line-{loop}-{n}" for loop, n in legs} == set(wires)
    discs = [
        item.text
        for page in document.pages
        for item in page.items
        if isinstance(item, Text) and item.role == "line-leg"
    ]
    assert sorted(discs, key=int) == sorted((str(n) for _, n in legs), key=int)
    told = {
        item.text
        for page in document.pages
        for item in page.items
        if isinstance(item, Text) and item.role == "line-text"
    }
    written = in_feet if plan.units == "ft" else "{:.2f}".format
    plain = {text.replace("\u00a0", " ") for text in told}
    for loop in lay.loops:
        for leg in loop.legs:
            assert {written(leg.from_m), written(leg.to_m)} <= plain
    splices = {splice.id for loop in lay.loops for splice in loop.splices}
    bars = [
        item.title
        for page in document.pages
        for item in page.items
        if isinstance(item, Line) and item.role == "line-splice"
    ]
    assert sorted(bars) == sorted(splices)


def in_feet(length_m: float) -> str:
    """A length as a tape in feet shows it, to a quarter of an inch."""
    quarters = round(length_m / 0.0254 * 4)
    feet, rest = divmod(quarters, 48)
    inches = f"{rest // 4}" + ("", "¼", "½", "¾")[rest % 4]
    return f"{feet}' {inches}\"" if feet else f'{inches}"'


def test_a_leaf_in_feet_on_inch_paper_goes_down_to_forty_feet_to_an_inch() -> None:
    (path,) = (path for path in PLANS if path.name == "quarry-lane.plan.yaml")
    plan = load(path)
    assert close_scales(plan, inch_paper=True, control=True)[-1] == 40 * 12
    assert close_scales(plan, inch_paper=False, control=True)[-1] == 400


@pytest.mark.parametrize("name", NAMES)
def test_hold_points_name_steps_of_the_order(name: str) -> None:
    _, document = printed(name)
    boxes = [
        item
        for page in document.pages
        for item in page.items
        if isinstance(item, Field) and ".hold." in item.name
    ]
    assert {"services", "check-bar", "start", "cut", "ohms", "insulation", "lap"} <= {
        box.name.rsplit(".", 1)[-1] for box in boxes
    }
    for box in boxes:
        told = re.search(r"\((step|steps)\s([^)]*)\)$", box.tooltip)
        assert told is not None, box.tooltip
        runs = [[int(n) for n in run.split("–")] for run in told[2].removesuffix(", …").split(", ")]
        flat = [number for run in runs for number in run]
        assert flat == sorted(set(flat)) and (len(flat) > 1) == (told[1] == "steps")
        assert all(len(run) == 1 or run[1] - run[0] > 1 for run in runs)


def test_a_small_garden_takes_one_leaf_and_others_no_more_than_they_do() -> None:
    here = {path.name.split(".")[0] for path in PLANS}
    for (name, paper), pages in LEAF.items():
        assert name not in here or len(printed(name, paper)[1].pages) == pages
    for name, pages in MOST.items():
        assert len(printed(name)[1].pages) <= pages


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", NAMES)
def test_no_paper_is_blank_between_a_plan_and_its_bars(name: str, paper: str) -> None:
    """The plan is as high as its ink: what stands under it begins a few millimetres below that."""
    _, document = printed(name, paper)
    lines = [item for item in document.pages[0].items if isinstance(item, Line)]
    bars = [item for item in lines if item.role in BARS]
    if not bars:
        return  # a plan of several sheets
    top = min(y for item in bars for _, y in item.points)
    inked = [y for item in lines if item.role not in BARS for _, y in item.points if y <= top]
    texts = [item.at[1] for item in document.pages[0].items if isinstance(item, Text)]
    # the figures of a scale bar stand this much above it
    inked += [y for y in texts if y <= top - 2.5]
    assert top - max(inked) <= 9.5


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", ["hollin-park", "orchard-hall"])
def test_a_park_begins_with_its_hazards_and_has_room_for_notes_under_a_head(
    name: str, paper: str
) -> None:
    if not any(path.name.startswith(name) for path in PLANS):
        pytest.skip("no such plan here")
    _, document = printed(name, paper)
    told = [
        item.text
        for item in sorted(
            (item for item in document.pages[0].items if isinstance(item, Text)),
            key=lambda item: item.at[1],
        )
    ]
    assert told.index("WARNING") < told.index("START")
    noted = 0
    for page in document.pages:
        rows = [
            each for each in page.items if isinstance(each, Field) and ".noted." in f".{each.name}."
        ]
        heads = [each for each in page.items if getattr(each, "text", "") == "At peg"]
        noted += len(rows)
        assert bool(rows) == bool(heads)
        assert not rows or len(rows) >= 4  # two rows, each with its peg and what
    # orchard-hall's pages leave no room for them on Letter
    assert noted or (name, paper) == ("orchard-hall", "Letter")


def test_the_figures_are_those_of_the_lay() -> None:
    plan, document = printed("practice-lawn")
    lay = lay_plan(plan)
    first = [item.text for item in document.pages[0].items if isinstance(item, Text)]
    pegs = lay.loops[0].pegs
    ones = sum(peg.round == 1 for peg in pegs)
    assert f"{ones} + {len(pegs) - ones}" in first
    assert f"{lay.loops[0].length_m:.2f}\u00a0m" in first
    assert any(text.startswith("G1") and "G4" in text for text in first)


def test_the_last_place_of_a_line_map_stands_at_the_edge_rather_than_in_a_row_of_its_own() -> None:
    places = [linemap.Place(9.0, 9.0, 5.0, tuple) for _ in range(8)]
    wide = sum(18.0 for _ in places) + linemap.LINK_MM * (len(places) - 1)
    for width_mm, rows in ((wide, 1), (wide - 0.1, 2)):
        told = SimpleNamespace(width_mm=width_mm)
        assert len(list(linemap._rows(told, places))) == rows  # type: ignore[arg-type]


def test_a_wire_without_free_ends_starts_and_finishes_once() -> None:
    plan = loads(SMALL.format(units="m").replace("tail: 0.3 m", "tail: 0 m"), "small.plan.yaml")
    (row,) = line_maps(lay_plan(plan).loops, units="m", words=drawing_words("en"), width_mm=190.0)
    told = [item.text for item in row.items if isinstance(item, Text)]
    assert (told.count("START"), told.count("FINISH"), told.count("1")) == (1, 1, 3)  # a disc too


def texts_on(document: Document) -> list[str]:
    texts = [item for page in document.pages for item in page.items if isinstance(item, Text)]
    return [item.text.replace("\u00a0", " ") for item in texts]


def test_a_board_is_named_where_the_offset_is_its_own() -> None:
    """Peg 118 of the old smithy stands 0.49 m from a wall whose board is 0.40 m."""
    told = texts_on(printed("old-smithy")[1])
    assert "wall 0.49" in told and "wall 0.40 G3" in told
    for text in told:
        found = re.fullmatch(r"(wall|hedge|fence|bed) (\d\.\d\d) G\d", text)
        assert not found or abs(float(found[2]) - SETBACKS[found[1]]) <= 0.03


def test_a_leaf_by_itself_says_what_its_marks_mean() -> None:
    """That boxes name steps of another paper, and what an asterisk, a board, a sum stand for."""
    told = " ".join(texts_on(printed("practice-lawn")[1]))
    for said in (
        "(steps: see the work order)",
        "* Common practice",
        "Offset shorter than its board: at its mark",
        "first + second pass",
        "Again: back at a peg that is in",
    ):
        assert said in told
    led = compose([job_of(printed("practice-lawn")[0])], load_layout("crew-work-order"), paper="A4")
    assert "see the work order" not in " ".join(texts_on(led))


def test_what_a_sheet_of_the_plan_has_no_room_for_is_said_in_words() -> None:
    frame, lying = frame_of("A4", False)
    sheet = sheet_of(
        job_of(printed("practice-lawn")[0]), load_layout("carry"), frame, lying, None, 1
    )
    keys = [("1", "N1", "Pond"), ("2", NO_KEY, "261"), ("2", NO_KEY, "Maple")]
    items = [item for piece in key_table(sheet, keys) for item in piece.items]
    told = [item.text for item in items if isinstance(item, Text)]
    assert {"N1", "Pond", "Sheet 2: Not named on the plan: Maple."} <= set(told)
    assert "Sheet 2: No room on the plan for the number of peg 261." in told
    assert NO_KEY not in told


def test_a_draft_prints_too() -> None:
    assert len(printed("practice-lawn", draft=True)[1].pages) <= 4


@pytest.mark.parametrize("name", NAMES)
def test_nothing_on_a_line_map_touches_anything(name: str) -> None:
    plan, _ = printed(name)
    loops = lay_plan(plan).loops
    for row in line_maps(loops, units=plan.units, words=drawing_words("en"), width_mm=190.0):
        assert row.width_mm == 190.0
        assert [fault for fault in faults(row) if "touches" in fault or "edge" in fault] == []
