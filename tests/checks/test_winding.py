"""The winding number, against another reckoning of it and against worked cases."""

from __future__ import annotations

import math

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from renderer.checks.winding import Winding, places_in

SQUARE = np.array([[0, 0], [20, 0], [20, 12], [0, 12], [0, 0]], dtype=float)


def by_angles(path: np.ndarray, point: tuple[float, float]) -> int:
    """The sum of the angles under which the path's segments are seen, in whole turns."""
    away = path - point
    angles = np.arctan2(away[:, 1], away[:, 0])
    steps = (np.diff(angles) + math.pi) % math.tau - math.pi
    return round(float(steps.sum()) / math.tau)


def bed(clockwise: bool) -> np.ndarray:
    """A lawn of 20 x 12 with a lead pair to a round bed at (10, 6), walked as one path."""
    turn = np.linspace(0, math.tau, 65)[:: -1 if clockwise else 1] - math.pi / 2
    ring = np.column_stack((10 + 1.3 * np.cos(turn), 6 + 1.3 * np.sin(turn)))
    start = [[10, 0]]
    return np.concatenate((start, ring, start, SQUARE[1:4], [[0, 0]], start))


def test_a_bed_walked_against_the_lawn_is_left_out() -> None:
    at = np.array([[2, 6], [10, 6], [25, 6]], dtype=float)
    assert Winding(bed(clockwise=True)).numbers(at).tolist() == [1, 0, 0]


def test_crossed_leads_make_it_two() -> None:
    at = np.array([[2, 6], [10, 6], [25, 6]], dtype=float)
    assert Winding(bed(clockwise=False)).numbers(at).tolist() == [1, 2, 0]


def test_the_other_way_round_is_the_negative() -> None:
    at = np.array([[2, 6], [10, 6], [25, 6]], dtype=float)
    assert Winding(bed(clockwise=True)[::-1]).numbers(at).tolist() == [-1, 0, 0]


POINTS = st.tuples(st.integers(-50, 50), st.integers(-50, 50))


@given(st.lists(POINTS, min_size=3, max_size=24), POINTS)
@settings(max_examples=150, deadline=None, derandomize=True, database=None)
def test_it_agrees_with_the_sum_of_angles(
    corners: list[tuple[int, int]], at: tuple[int, int]
) -> None:
    path = np.array([*corners, corners[0]], dtype=float)
    point = np.add(at, [0.31, 0.17])  # on no line between whole numbers
    if shapely.distance(shapely.linestrings(path), shapely.Point(point)) < 1e-3:
        return
    assert Winding(path).numbers(point[None])[0] == by_angles(path, tuple(point))


def test_a_grid_of_points_at_once() -> None:
    x, y = np.meshgrid(np.arange(-2.5, 23), np.arange(-2.5, 15))
    points = np.column_stack((x.ravel(), y.ravel()))
    inside = shapely.contains_xy(shapely.Polygon(SQUARE), points[:, 0], points[:, 1])
    assert Winding(SQUARE).numbers(points).tolist() == inside.astype(int).tolist()


def test_places_lie_in_their_shape() -> None:
    shape = shapely.Polygon(SQUARE, [[(4, 4), (16, 4), (16, 8), (4, 8)]])
    places = places_in(shape)
    assert len(places) >= 4
    assert shapely.contains_xy(shape, places[:, 0], places[:, 1]).all()


def test_places_on_the_wire_are_left_out() -> None:
    points = np.array([[10.0, 0.0], [10.0, 0.0005], [10.0, 0.01], [3.0, 3.0]])
    assert Winding(SQUARE).clear(points).tolist() == [[10.0, 0.01], [3.0, 3.0]]
