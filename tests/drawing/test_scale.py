"""Scales, turns and papers."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from renderer.drawing.errors import DrawError
from renderer.drawing.paper import papers
from renderer.drawing.scale import (
    ENGINEER,
    METRIC,
    OFFICE,
    Fit,
    best_fit,
    close_scales,
    demanded_fit,
    fits,
    readable_scale,
    series,
    turned,
)
from renderer.drawing.view import centred
from renderer.geometry.rects import Rect, bounds
from tests.drawing import handmade


def rectangle(width: float, height: float, turn: float = 0.0) -> np.ndarray:
    corners = np.array([(0, 0), (width, 0), (width, height), (0, height)], dtype=float)
    return turned(corners, turn)


def test_metric_scales_are_those_of_iso_5455() -> None:
    assert METRIC == (10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000, 20000, 50000)


def test_engineer_scales_are_inches_to_whole_feet() -> None:
    assert {120, 240, 360, 480, 600, 720} <= set(ENGINEER)
    assert all(n / 12 == round(n / 12) for n in ENGINEER)


def test_engineer_scales_only_for_feet_on_inch_paper() -> None:
    assert series(inch_paper=True, units="ft") is ENGINEER
    assert series(inch_paper=True, units="m") is OFFICE
    assert series(inch_paper=False, units="ft") is OFFICE


def test_five_scales_of_drawing_offices_stand_between_those_of_iso_5455() -> None:
    """They are on scale rulers, or half of one that is: common practice, no published source."""
    assert set(OFFICE) - set(METRIC) == {250, 300, 400, 600, 750}
    assert sorted(OFFICE) == list(OFFICE)
    assert best_fit(rectangle(48, 27), (166, 200), OFFICE) == Fit(250, 90)


def test_the_largest_scale_that_fits_is_taken() -> None:
    assert best_fit(rectangle(15, 10), (160, 110), METRIC) == Fit(100, 0)
    assert best_fit(rectangle(16.01, 10), (160, 110), METRIC) == Fit(200, 0)


def test_the_plan_is_turned_only_where_that_gains_a_scale() -> None:
    assert best_fit(rectangle(10, 15), (160, 110), METRIC) == Fit(100, 90)
    assert best_fit(rectangle(10, 10.5), (160, 110), METRIC) == Fit(100, 0)


def test_a_plan_is_not_laid_aslant_for_the_next_scale() -> None:
    """Level it would fit at 1:250, aslant at 1:200: too little to lie as no other drawing does."""
    slanting = rectangle(30, 10, 20)
    box = (160.0, 110.0)
    assert fits(slanting, Fit(200, -20), box) and not fits(slanting, Fit(200, 0), (155.0, 110.0))
    assert best_fit(slanting, (155.0, 110.0), OFFICE) == Fit(250, 0)


def test_a_slanting_plan_is_laid_level_where_that_gains_a_scale() -> None:
    slanting = rectangle(15, 10, 30)
    fit = best_fit(slanting, (160, 110), METRIC)
    assert fit.scale == 100
    assert fit.rotation_deg == pytest.approx(-30)


@given(st.floats(1, 300), st.floats(1, 300), st.floats(-90, 90))
@settings(max_examples=60, deadline=None)
def test_what_fits_lies_inside_the_box_and_no_larger_scale_would(
    width: float, height: float, turn: float
) -> None:
    points, box = rectangle(width, height, turn), (180.0, 250.0)
    fit = best_fit(points, box, METRIC)
    on_paper = bounds([centred(points, fit, Rect(0, 0, *box)).chain(points)])
    assert on_paper.x0 >= -1e-6 and on_paper.y0 >= -1e-6
    assert on_paper.x1 <= box[0] + 1e-6 and on_paper.y1 <= box[1] + 1e-6
    larger = [n for n in METRIC if n < fit.scale]
    assert not any(fits(points, Fit(n, r), box) for n in larger for r in (0.0, 90.0))


def test_a_demanded_scale_that_does_not_fit_is_refused_with_reason_and_cure() -> None:
    with pytest.raises(DrawError) as refused:
        demanded_fit(rectangle(30, 20), (180, 250), 50, METRIC)
    text = str(refused.value)
    assert "1:50" in text and "600 x 400 mm" in text and "180 x 250 mm" in text
    assert "1:200" in text


@pytest.mark.parametrize("scale", [0.0, -100.0, float("nan"), float("inf")])
def test_a_scale_that_is_no_reduction_is_refused(scale: float) -> None:
    with pytest.raises(DrawError):
        demanded_fit(rectangle(3, 2), (180, 250), scale, METRIC)


def test_a_larger_paper_is_named_where_it_would_do() -> None:
    with pytest.raises(DrawError, match="A3"):
        demanded_fit(rectangle(22, 17), (150, 200), 100, METRIC)


def test_pegs_closer_together_ask_for_a_larger_scale() -> None:
    usual = handmade.plan()
    assert readable_scale(usual, inch_paper=False) == 200
    machine = {**handmade.plan_data()["machine"], "peg_spacing": {"first": 2.0, "final": 0.25}}
    assert readable_scale(handmade.plan(machine=machine), inch_paper=False) == 100


def test_pegs_keep_two_millimetres_at_the_scales_that_may_save_a_sheet() -> None:
    assert close_scales(handmade.plan(), inch_paper=False) == (250, 300)
    machine = {**handmade.plan_data()["machine"], "peg_spacing": {"first": 2.0, "final": 0.5}}
    assert close_scales(handmade.plan(machine=machine), inch_paper=False) == (250,)


def test_a_drawing_without_pegs_can_be_read_at_a_smaller_scale() -> None:
    for inch in (False, True):
        assert readable_scale(handmade.plan(), inch_paper=inch, pegs=False) == 500


@pytest.mark.parametrize(
    ("name", "sizes"),
    [
        ("A4", [(210, 297), (297, 210)]),
        ("a3 landscape", [(420, 297)]),
        ("Letter-portrait", [(215.9, 279.4)]),
        ("legal", [(215.9, 355.6), (355.6, 215.9)]),
        ("TABLOID landscape", [(431.8, 279.4)]),
    ],
)
def test_papers_both_ways(name: str, sizes: list[tuple[float, float]]) -> None:
    assert [(p.width_mm, p.height_mm) for p in papers(name)] == sizes


@pytest.mark.parametrize("name", ["A5", "A4 sideways", "", "A4 portrait twice"])
def test_an_unknown_paper_is_refused(name: str) -> None:
    with pytest.raises(DrawError):
        papers(name)


@given(st.floats(20, 2000), st.floats(-180, 180), st.floats(-50, 50), st.floats(-50, 50))
@settings(max_examples=40, deadline=None)
def test_a_view_leads_back_to_the_ground(scale: float, turn: float, x: float, y: float) -> None:
    view = centred(rectangle(30, 20), Fit(scale, turn), Rect(0, 0, 180, 250))
    assert view.back(view.point((x, y))) == pytest.approx((x, y), abs=1e-9)


def test_north_is_up_and_east_right_on_paper() -> None:
    view = centred(rectangle(30, 20), Fit(100, 0), Rect(0, 0, 400, 300))
    (x0, y0), (x1, y1), (x2, y2) = (view.point(p) for p in ((0, 0), (1, 0), (0, 1)))
    assert (x1 - x0, y1 - y0) == pytest.approx((10, 0))
    assert (x2 - x0, y2 - y0) == pytest.approx((0, -10))
