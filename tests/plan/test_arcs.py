"""Arcs through three points."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from renderer.plan.arcs import arc_through, flattened

near = st.floats(-50, 50)
points = st.tuples(near, near)


def test_a_half_circle() -> None:
    arc = arc_through((1, 0), (0, 1), (-1, 0))
    assert arc is not None
    assert arc.centre == pytest.approx((0, 0))
    assert arc.radius == pytest.approx(1)
    assert arc.turn == pytest.approx(math.pi)


def test_the_other_way_round_turns_the_other_way() -> None:
    arc = arc_through((1, 0), (0, -1), (-1, 0))
    assert arc is not None
    assert arc.turn == pytest.approx(-math.pi)


@pytest.mark.parametrize(
    ("start", "through", "end"),
    [
        ((0, 0), (5, 0), (10, 0)),
        ((0, 0), (5, 0.0004), (10, 0)),
        ((0, 0), (0, 0), (10, 0)),
        ((0, 0), (10, 0), (10, 0)),
        ((0, 0), (5, 5), (0, 0)),
        ((0, 0), (15, 0), (10, 0)),
    ],
)
def test_no_arc(start: tuple[float, float], through: tuple[float, float], end: object) -> None:
    assert arc_through(start, through, end) is None  # type: ignore[arg-type]


@settings(max_examples=100, deadline=None)
@given(points, points, points)
def test_passes_its_three_points(
    start: tuple[float, float], through: tuple[float, float], end: tuple[float, float]
) -> None:
    arc = arc_through(start, through, end)
    assume(arc is not None and arc.radius < 1e4)
    assert arc is not None
    assert arc.point(0.0) == pytest.approx(start, abs=1e-6)
    assert arc.point(1.0) == pytest.approx(end, abs=1e-6)
    angle = math.atan2(through[1] - arc.centre[1], through[0] - arc.centre[0])
    share = ((angle - arc.begin) * math.copysign(1, arc.turn)) % math.tau / abs(arc.turn)
    assert -1e-9 <= share <= 1 + 1e-9
    assert arc.point(share) == pytest.approx(through, abs=1e-6)


@settings(max_examples=50, deadline=None)
@given(st.floats(0.3, 100), st.floats(0.0001, 0.05))
def test_chords_keep_within_the_sag(radius: float, sag: float) -> None:
    chain = [*flattened((radius, 0), (0, radius), (-radius, 0), sag), (-radius, 0)]
    for (ax, ay), (bx, by) in pairwise(chain):
        assert radius - math.hypot((ax + bx) / 2, (ay + by) / 2) <= sag * 1.001
    assert math.hypot(*chain[len(chain) // 2]) == pytest.approx(radius)
