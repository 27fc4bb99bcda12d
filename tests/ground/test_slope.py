"""Wire on slopes is longer than its length on the plan."""

from __future__ import annotations

import math

import numpy as np
import pytest

from renderer.ground.slope import slope_extra
from renderer.plan.model import Circle, Feature

LINE = np.array([[0.0, 0.0], [20.0, 0.0], [20.0, 10.0]])


def bank(percent: float, x0: float, y0: float, x1: float, y1: float) -> Feature:
    corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    return Feature(name="Bank", kind="slope", polygon=corners, percent=percent)


def test_wire_off_the_slopes_takes_nothing_more() -> None:
    assert slope_extra(LINE, [bank(30, 0, 5, 10, 9)]) == 0.0
    assert slope_extra(LINE, []) == 0.0


def test_only_the_part_on_the_slope_counts() -> None:
    extra = slope_extra(LINE, [bank(30, 5, -1, 12, 1)])
    assert extra == pytest.approx(7 * (math.sqrt(1.09) - 1))


def test_a_whole_line_on_a_slope() -> None:
    extra = slope_extra(LINE, [bank(25, -1, -1, 21, 11)])
    assert extra == pytest.approx(30 * (math.hypot(1, 0.25) - 1))


def test_where_slopes_overlap_the_steeper_counts_once() -> None:
    slopes = [bank(10, 0, -1, 10, 1), bank(40, 5, -1, 15, 1)]
    expected = 5 * (math.hypot(1, 0.1) - 1) + 10 * (math.hypot(1, 0.4) - 1)
    assert slope_extra(LINE, slopes) == pytest.approx(expected)
    assert slope_extra(LINE, slopes[::-1]) == pytest.approx(expected)


def test_a_round_slope_and_other_features() -> None:
    mound = Feature(name="Mound", kind="slope", circle=Circle(at=(10, 0), radius=2), percent=20)
    play = Feature(name="Frame", kind="play", circle=Circle(at=(3, 0), radius=2))
    assert slope_extra(LINE, [mound, play]) == pytest.approx(4 * (math.hypot(1, 0.2) - 1), rel=1e-3)


def test_both_wires_of_a_pair_count() -> None:
    there_and_back = np.array([[0.0, 0.0], [5.0, 0.0], [0.0, 0.0]])
    extra = slope_extra(there_and_back, [bank(30, 0, -1, 5, 1)])
    assert extra == pytest.approx(10 * (math.sqrt(1.09) - 1))
