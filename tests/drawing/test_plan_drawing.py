"""The plan drawing: true to scale, complete, the same each time, and nothing touches."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from renderer.checks.finding import Finding
from renderer.drawing import LAYERS, DrawError, PlanDrawing, drawing_words, plan_drawing
from renderer.drawing.legends import rows
from renderer.drawing.pens import MIDDLE
from renderer.drawing.scene import slug
from renderer.plan import load
from renderer.primitives import Circle, Drawing, Line, Text
from tests.checks.jobs import JOB, changed, plan_of
from tests.drawing import handmade
from tests.drawing.audit import faults
from tests.shared import lay_plan

BOX = (230.0, 170.0)


def drawn(**options: object) -> PlanDrawing:
    settings_: dict[str, object] = {
        "box_mm": BOX,
        "inch_paper": False,
        "words": drawing_words(),
        **options,
    }
    return plan_drawing(handmade.plan(), handmade.lay(), (), **settings_)  # type: ignore[arg-type]


def by_id(drawing: Drawing, id: str) -> Line | Circle:
    (found,) = (i for i in drawing.items if isinstance(i, Line | Circle) and i.id == id)
    return found


def test_the_reach_of_a_sprinkler_is_whole_where_the_scale_has_room_for_it() -> None:
    """Water that flies beyond a side asks for no other scale, but for more of the paper."""
    reach_m = 5.0
    sprinkler = {"name": "S", "kind": "sprinkler", "at": [10, 0.2], "radius": reach_m}
    plan, without = handmade.plan(features=[sprinkler]), handmade.plan(features=[])
    shown = []
    for height in (100.0, 130.0):
        made, other = (
            plan_drawing(
                *(each, handmade.lay(), ()),
                box_mm=(240.0, height),
                inch_paper=False,
                words=drawing_words(),
                scale=200,
            )
            for each in (plan, without)
        )
        assert made.scale == other.scale
        points = np.array(
            [
                point
                for item in made.drawing.items
                if isinstance(item, Line) and item.role == "throw"
                for point in item.points
            ]
        )
        shown.append(np.ptp(points, axis=0))
        assert made.drawing.height_mm <= height
    assert shown[1] == pytest.approx(2 * reach_m * 1000 / 200, abs=0.2)


def test_the_scale_is_the_largest_that_fits() -> None:
    assert drawn().scale == 100
    assert drawn(box_mm=(440.0, 300.0)).scale == 50
    assert drawn(box_mm=(130.0, 100.0)).scale == 200


def test_a_demanded_scale_is_obeyed_or_refused() -> None:
    assert drawn(scale=250.0).scale == 250
    with pytest.raises(DrawError, match="1:50"):
        drawn(scale=50.0)


def test_the_outline_is_true_to_scale() -> None:
    outline = by_id(drawn().drawing, "lawn-rear")
    assert isinstance(outline, Line)
    points = np.array(outline.points)
    sides = np.hypot(*(np.roll(points, -1, axis=0) - points).T)
    assert sorted(sides) == pytest.approx([120.0, 120.0, 200.0, 200.0], abs=0.005)


def test_the_wire_keeps_every_point_and_its_true_place() -> None:
    path = handmade.lay().loops[0].path
    wire, outline = (by_id(drawn().drawing, id) for id in ("wire-main", "lawn-rear"))
    assert isinstance(wire, Line) and isinstance(outline, Line)
    origin = (min(x for x, _ in outline.points), max(y for _, y in outline.points))
    back = [((x - origin[0]) / 10, (origin[1] - y) / 10) for x, y in wire.points]
    assert np.abs(np.array(back) - path).max() < 0.0002


def test_every_peg_and_splice_is_an_element_at_its_place() -> None:
    loop = handmade.lay().loops[0]
    drawing = drawn().drawing
    outline = by_id(drawing, "lawn-rear")
    assert isinstance(outline, Line)
    x0, y1 = min(x for x, _ in outline.points), max(y for _, y in outline.points)
    marks = {f"peg-{p.id}": (p.x, p.y) for p in loop.pegs}
    marks |= {f"splice-{s.id}": (s.x, s.y) for s in loop.splices}
    for id, (x, y) in marks.items():
        mark = by_id(drawing, id)
        assert isinstance(mark, Circle)
        assert mark.at == pytest.approx((x0 + 10 * x, y1 - 10 * y), abs=0.003)


def test_the_arrows_run_the_way_the_wire_is_walked() -> None:
    drawing = drawn(show=frozenset({"wire", "arrows"})).drawing
    heads = [i for i in drawing.items if isinstance(i, Line) and i.fill == "#000000"]
    outline = by_id(drawing, "lawn-rear")
    assert isinstance(outline, Line)
    middle = np.mean(outline.points, axis=0)
    turning = []
    for head in heads:
        tip, base = np.array(head.points[0]), np.mean(head.points[1:], axis=0)
        arm = tip - middle
        if np.hypot(*arm) > 50:
            way = tip - base
            turning.append(arm[0] * way[1] - arm[1] * way[0])
    assert len(turning) > 5
    assert all(turn < 0 for turn in turning)


@pytest.mark.parametrize("box", [(120.0, 100.0), (180.0, 240.0), (210.0, 170.0), (440.0, 300.0)])
def test_nothing_touches(box: tuple[float, float]) -> None:
    assert faults(drawn(box_mm=box).drawing) == []


def test_the_same_plan_gives_the_same_drawing() -> None:
    assert drawn().drawing == drawn().drawing


def test_no_larger_than_the_box_and_no_higher_than_needed() -> None:
    drawing = drawn(box_mm=(230.0, 260.0)).drawing
    assert drawing.width_mm == 230.0
    assert drawing.height_mm < 180.0


@cache
def with_everything(*left_out: str) -> Drawing:
    """Two lawns, a splice, a finding and a doubtful point: each layer has something to show."""
    point = {"A": 5.0, "B": 5.0, "side": "left"}  # two tapes, so that nothing checks it
    survey = {
        "points": [{"name": "A", "at": [2, 2]}, {"name": "B", "at": [10, 2]}],
        "ties": {"p1": point},
    }
    plan = plan_of(changed(JOB, {"wire.spools": [150, 150], "survey": survey}))
    finding = Finding("rule", "warn", "rule.found", {}, at=(12.0, 5.0))
    return plan_drawing(
        plan,
        lay_plan(plan),
        [finding],
        box_mm=(190.0, 250.0),
        inch_paper=False,
        words=drawing_words(),
        show=LAYERS - {*left_out},
    ).drawing


@pytest.mark.parametrize("layer", sorted(LAYERS))
def test_a_layer_can_be_left_out(layer: str) -> None:
    less = with_everything(layer)
    assert faults(less) == []
    # room that is left by one layer may go to numbers or lengths, so they are counted alone
    others = {"peg-numbers", "dimensions"} - {layer}
    assert len(with_everything(layer, *others).items) < len(with_everything(*others).items)


def test_hidden_layers_leave_nothing_in_the_legend() -> None:
    used = drawn(show=LAYERS - {"pegs", "splices", "dock", "supply"}).used
    assert not used & {"peg1", "peg2", "control", "splice", "dock", "supply", "supply-lead"}


def test_sides_show_kind_and_setback_and_their_length() -> None:
    texts = {i.text for i in drawn().drawing.items if isinstance(i, Text)}
    assert {"wall 0.30", "bed 0.30", "flush 0.30", "hedge 0.30", "20.00", "12.00"} <= texts


def test_peg_numbers_stand_on_the_mown_side() -> None:
    drawing = drawn(show=frozenset({"wire", "pegs", "peg-numbers"})).drawing
    outline = by_id(drawing, "lawn-rear")
    assert isinstance(outline, Line)
    wire_level = max(y for _, y in outline.points) - 3.0
    control = {peg.id for peg in handmade.lay().loops[0].pegs if peg.control}
    numbers = [i for i in drawing.items if isinstance(i, Text) and i.text not in control]
    assert len(numbers) > 60
    assert all(number.at[1] - 1.25 < wire_level + 1.5 for number in numbers)


@pytest.mark.parametrize("downhill", [(18.0, 3.0), (12.0, 3.0), (15.0, 11.0)])
def test_an_arrow_points_down_a_slope(downhill: tuple[float, float]) -> None:
    """From the bar at its upper end to its head it runs towards the point that the plan names."""
    bank = {"name": "Bank", "kind": "slope", "polygon": [[13, 1], [17, 1], [17, 5], [13, 5]]}
    bank |= {"percent": 20, "downhill": downhill}
    sloping = handmade.plan(features=[bank])
    made = plan_drawing(
        sloping, handmade.lay(), (), box_mm=BOX, inch_paper=False, words=drawing_words()
    )
    assert "fall" in made.used and faults(made.drawing) == []
    strokes = [i for i in made.drawing.items if isinstance(i, Line) and i.pen == MIDDLE]
    tips = {line.points[1] for line in strokes if len(line.points) == 3 and not line.closed}
    (shaft,) = (line for line in strokes if len(line.points) == 2 and line.points[1] in tips)
    way = np.subtract(shaft.points[1], shaft.points[0])
    wanted = np.subtract(downhill, (15.0, 3.0)) * [1, -1]
    assert way / np.hypot(*way) == pytest.approx(wanted / np.hypot(*wanted), abs=0.01)


def test_no_arrow_where_nobody_says_which_way_a_slope_falls() -> None:
    bank = {"name": "Bank", "kind": "slope", "polygon": [[13, 1], [17, 1], [17, 5]], "percent": 9}
    made = plan_drawing(
        handmade.plan(features=[bank]), handmade.lay(), (),
        box_mm=BOX, inch_paper=False, words=drawing_words(),
    )  # fmt: skip
    assert "fall" not in made.used


def test_how_steep_a_slope_is_does_not_run_into_a_name_that_ends_in_a_number() -> None:
    bank = {"name": "Slope 2", "kind": "slope", "polygon": [[13, 1], [17, 1], [17, 5], [13, 5]]}
    made = plan_drawing(
        handmade.plan(features=[bank | {"percent": 24}]), handmade.lay(), (),
        box_mm=BOX, inch_paper=False, words=drawing_words(),
    )  # fmt: skip
    told = [
        item.text.replace("\u00a0", " ") for item in made.drawing.items if isinstance(item, Text)
    ]
    assert any("Slope 2," in text for text in told) and not any("2 24" in text for text in told)


def test_the_lead_pair_is_open_at_both_ends() -> None:
    """White runs through the wire of both rings, so that the pair reads as two wires."""
    drawing = drawn().drawing
    core = [i for i in drawing.items if isinstance(i, Line) and i.role == "pair"][-1]
    assert core.pen is not None and core.pen.colour == "#ffffff"
    ends = [math.dist(core.points[0], core.points[-1]) / 10]
    assert ends[0] > handmade.lay().loops[0].leads[0].length_m + 0.06


@given(st.text(max_size=20))
@settings(max_examples=50)
def test_ids_hold_letters_digits_and_dashes_only(name: str) -> None:
    assert all(c.isalnum() or c == "-" for c in slug(name))
    assert slug("Rear  lawn, (west)") == "rear-lawn-west"


def test_plans_on_disk(any_plan: Path) -> None:
    plan = load(any_plan)
    lay = lay_plan(plan)
    words = drawing_words()
    made = plan_drawing(plan, lay, (), box_mm=(277.0, 180.0), inch_paper=False, words=words)
    assert faults(made.drawing) == []
    ids = {i.id for i in made.drawing.items if isinstance(i, Line | Circle) and i.id}
    expected = {f"peg-{p.id}" for loop in lay.loops for p in loop.pegs}
    expected |= {f"splice-{s.id}" for loop in lay.loops for s in loop.splices}
    expected |= {f"wire-{slug(loop.name)}" for loop in lay.loops}
    expected |= {f"lawn-{slug(lawn.name)}" for lawn in lay.lawns}
    assert ids == expected
    assert all(row.text for row in rows(made.used, words))


@pytest.mark.parametrize("at", [(10.0, 9.0), handmade.lay().loops[0].start, (6.0, -1.0)])
def test_a_finding_is_flagged_at_its_place_even_under_a_symbol(at: tuple[float, float]) -> None:
    found = (
        Finding("dock-run", "warn", "dock-run.found", {}, at=at),
        Finding("machine-figures", "note", "machine-figures.found", {}, at=(5.0, 5.0)),
    )
    made = plan_drawing(
        handmade.plan(), handmade.lay(), found, box_mm=BOX, inch_paper=False, words=drawing_words()
    )
    texts = [i.text for i in made.drawing.items if isinstance(i, Text)]
    assert "! 1" in texts and "! 2" not in texts
    assert "finding" in made.used
    assert faults(made.drawing) == []
