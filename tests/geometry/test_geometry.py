"""Chains cut, walked along, moved aside and hatched."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon, box
from shapely.ops import substring

from renderer.geometry.lines import (
    are_crossing,
    as_points,
    aside,
    at_distances,
    between,
    chain,
    distances,
    length,
    spaced,
    stretch,
)
from renderer.geometry.point import Point
from renderer.geometry.rects import Rect, clip_chain, clip_ring, is_met
from renderer.geometry.rings import hatch, inside

SQUARE = chain(((0, 0), (10, 0), (10, 10), (0, 10)))
points = st.lists(
    st.tuples(st.floats(-20, 30), st.floats(-20, 30)).map(
        lambda p: (round(p[0], 2), round(p[1], 2))
    ),
    min_size=2,
    max_size=12,
    unique=True,
)


@given(points)
@settings(max_examples=60, deadline=None)
def test_clipping_a_chain_agrees_with_an_independent_library(
    rows: list[tuple[float, float]],
) -> None:
    rect = Rect(0, 0, 10, 10)
    ours = sum(length(piece) for piece in clip_chain(chain(rows), rect))
    ground = box(*rect)
    theirs = sum(LineString(pair).intersection(ground).length for pair in pairwise(rows))
    assert ours == pytest.approx(theirs, abs=1e-6)
    assert is_met(chain(rows), rect) == (theirs > 1e-9)


def test_a_chain_inside_the_rectangle_stays_one_and_the_same() -> None:
    whole = chain(((1, 1), (5, 5), (9, 1)))
    (only,) = clip_chain(whole, Rect(0, 0, 10, 10))
    assert only is whole


def test_clipping_a_ring_keeps_its_area_inside() -> None:
    ring = clip_ring(chain(((-5, 5), (5, -5), (15, 5), (5, 15))), Rect(0, 0, 10, 10))
    expected = Polygon(((-5, 5), (5, -5), (15, 5), (5, 15))).intersection(box(0, 0, 10, 10))
    assert Polygon(ring).area == pytest.approx(expected.area)


def test_moving_aside_goes_to_the_right_as_seen_on_paper() -> None:
    east = chain(((0, 0), (10, 0)))
    assert as_points(aside(east, 2)) == ((0, 2), (10, 2))
    corner = chain(((0, 0), (10, 0), (10, 10)))
    assert as_points(aside(corner, -1)) == ((0, -1), (11, -1), (11, 10))


def test_places_and_directions_along_a_chain() -> None:
    where, way = at_distances(chain(((0, 0), (10, 0), (10, 10))), np.array([5.0, 15.0]))
    assert as_points(where) == ((5, 0), (10, 5))
    assert as_points(way) == ((1, 0), (0, 1))


def test_even_marks_keep_their_margin() -> None:
    marks = spaced(30, 4, 1)
    assert marks[0] > 1 and marks[-1] < 29
    assert np.ptp(np.diff(marks)) < 1e-9


def test_a_stretch_has_the_length_asked_for() -> None:
    assert length(between(chain(((0, 0), (10, 0), (10, 10))), 3, 14.5)) == pytest.approx(11.5)


@given(points, st.floats(0.0, 1.0), st.floats(0.0, 1.0))
@settings(max_examples=60, deadline=None)
def test_a_stretch_is_the_one_that_an_independent_library_cuts_out(
    rows: list[tuple[float, float]], one: float, other: float
) -> None:
    line = chain(rows)
    run = distances(line)
    start, end = sorted((one * float(run[-1]), other * float(run[-1])))
    assume(end - start > 1e-3)
    part, at = stretch(line, run, start, end)
    theirs = substring(LineString(rows), start, end)
    assert LineString(part).hausdorff_distance(theirs) < 1e-5
    assert at[0] == start and at[-1] == end
    assert np.allclose(np.diff(at), np.hypot(*np.diff(part, axis=0).T), atol=1e-5)


@pytest.mark.parametrize("angle", [0, 30, 45, 90, 135])
def test_hatching_leaves_holes_open_and_stays_inside(angle: float) -> None:
    hole = chain(((3, 3), (7, 3), (7, 7), (3, 7)))
    ground = Polygon(SQUARE, [hole])
    lines = hatch([SQUARE, hole], 1.0, angle)
    assert lines
    assert all(ground.buffer(1e-5).covers(LineString(line)) for line in lines)
    total = sum(LineString(line).length for line in lines)
    assert total == pytest.approx(ground.area / 1.0, rel=0.15)


def test_inside_by_the_even_odd_rule() -> None:
    assert inside((5, 5), SQUARE)
    assert not inside((15, 5), SQUARE)


near = st.floats(-5, 5).map(lambda value: round(value, 1))
segments = st.tuples(st.tuples(near, near), st.tuples(near, near))


@given(segments, segments)
@settings(max_examples=200, deadline=None)
def test_lines_that_cross_are_those_that_an_independent_library_says_cross(
    one: tuple[Point, Point], other: tuple[Point, Point]
) -> None:
    first, second = LineString(one), LineString(other)
    if first.crosses(second):
        assert are_crossing(one, other)
    if first.disjoint(second):
        assert not are_crossing(one, other)
