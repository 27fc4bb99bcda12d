"""Chords along one stretch of wire: the longest that keep spacing and sag."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from renderer.ground.reach import Reach
from renderer.ground.spacing import Limits, bends, chord_sags, even_choice, on_curve
from tests.ground.walks import Points, arc


def along(points: Points) -> Points:
    steps = np.diff(points, axis=0)
    return np.concatenate(([0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))))


def test_sags_of_chords_on_an_arc() -> None:
    points = arc(0, 0, 2.0, 0, 90, 900)
    at = along(points)
    sags = chord_sags(points, at, np.linspace(at[0], at[-1], 4))
    assert sags == pytest.approx([2.0 * (1 - math.cos(math.radians(15)))] * 3, rel=1e-3)


def test_a_wire_that_doubles_back_is_held_at_its_tip() -> None:
    tip = arc(3.0, 0.0, 0.01, -90, 90, 12)
    points = np.concatenate(([(0.0, -0.01)], tip, [(2.2, 0.01)]))
    at = along(points)
    for sag in (0.03, 0.05, 0.08):
        cuts = on_curve(points, at, Limits(9.0, 9.0, sag))
        assert chord_sags(points, at, cuts).max() <= sag


@given(st.lists(st.floats(0.0, 0.3), min_size=3, max_size=60), st.floats(0.004, 0.06))
def test_each_chord_is_as_long_as_the_sag_allows(turns: list[float], sag: float) -> None:
    """On a bend one way; where a wire bends back, a longer chord may come nearer to it again."""
    ways = np.cumsum(turns)
    steps = 0.2 * np.column_stack((np.cos(ways), np.sin(ways)))
    points = np.concatenate((np.zeros((1, 2)), np.cumsum(steps, axis=0)))
    at = along(points)
    cuts = Reach(points, at, 3.0, sag).cuts()
    assert (np.diff(cuts) <= 3.0 + 1e-9).all()
    for from_m, to_m in pairwise(cuts[:-1]):
        if to_m - from_m > 3.0 - 1e-6:
            continue
        longer = min(to_m + 0.01, at[-1])
        ends = np.array([np.interp([from_m, longer], at, points[:, k]) for k in (0, 1)]).T
        chord = ends[1] - ends[0]
        inner = points[(at > from_m) & (at < longer)] - ends[0]
        off = np.abs(chord[0] * inner[:, 1] - chord[1] * inner[:, 0]) / np.hypot(*chord)
        assert off.max() > sag * (1 - 1e-5)


@given(st.integers(1, 400), st.integers(1, 12))
def test_equal_groups_are_as_few_as_they_can_be_and_alike(count: int, group: int) -> None:
    index = even_choice(count, group)
    sizes = np.diff(index)
    assert (index[0], index[-1]) == (0, count)
    assert len(sizes) == math.ceil(count / group)
    assert sizes.max() <= group
    assert sizes.max() - sizes.min() <= 1


def test_tangents_of_a_straight_a_bend_and_a_straight() -> None:
    points = np.concatenate(([(-5.0, -1.0)], arc(0, 0, 1.0, -90, 0, 20), [(1.0, 6.0)]))
    at = along(points)
    found = bends(points, at, 0.02, math.radians(20))
    assert found.tangents == pytest.approx([5.0, at[-2]])
    assert found.marked.all()
    assert np.abs(found.turns).sum() == pytest.approx(math.pi / 2)


def test_points_in_line_are_no_bends() -> None:
    points = np.column_stack((np.linspace(0, 9, 400), np.zeros(400)))
    points[1::2, 1] = 1e-4
    assert len(bends(points, along(points), 0.02, math.radians(20)).places) == 0
