"""The sweep that finds sides that cross, against a geometry library and against counting."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LinearRing

from renderer.plan import simple
from renderer.plan.simple import Clash, first_clash, turn

XY = tuple[float, float]


def test_a_bow_tie_names_its_two_sides() -> None:
    assert first_clash([(0, 0), (10, 10), (10, 0), (0, 10)]) == Clash(0, 2, crosses=True)


def test_a_corner_on_another_side_touches() -> None:
    clash = first_clash([(0, 0), (10, 0), (10, 10), (5, 0), (0, 10)])
    assert clash is not None
    assert not clash.crosses
    assert 0 in clash[:2]


def test_a_side_that_runs_back_along_the_one_before() -> None:
    clash = first_clash([(0, 0), (10, 0), (4, 0), (4, 8)])
    assert clash is not None
    assert not clash.crosses


def test_a_side_that_meets_one_that_runs_back_over_it() -> None:
    assert first_clash([(3, 4), (2, 4), (5, 1), (1, 4)]) is not None
    assert first_clash([(8, 5), (2, 5), (2, 6), (2, 3), (4, 1)]) is not None


def test_three_points_on_a_line_are_no_ring() -> None:
    assert first_clash([(0, 0), (10, 0), (4, 0)]) is not None


@pytest.mark.parametrize("way", [1, -1])
def test_right_angles_and_upright_sides_are_fine(way: int) -> None:
    points = [(0, 0), (6, 0), (6, 6), (4, 6), (4, 2), (2, 2), (2, 6), (0, 6)]
    assert first_clash(points[::way]) is None


def test_points_along_a_straight_side_are_fine() -> None:
    assert first_clash([(0, 0), (0.1, 0), (0.3, 0), (1, 0), (1, 1), (0.5, 1), (0, 1)]) is None


def test_the_sign_is_exact_where_rounding_would_hide_it() -> None:
    a, b = (0.1, 0.1), (0.7, 0.7)
    assert turn(a, b, (0.3, 0.3)) == 0
    assert turn(a, b, (0.3, math.nextafter(0.3, 1.0))) == 1
    assert turn(a, b, (0.3, math.nextafter(0.3, 0.0))) == -1


@settings(max_examples=300, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(0, 6), st.integers(0, 6)), min_size=3, max_size=9, unique=True
    ).map(lambda points: [(float(x), float(y)) for x, y in points])
)
def test_agrees_with_a_geometry_library(points: list[XY]) -> None:
    assert (first_clash(points) is None) == bool(LinearRing(points).is_simple)


def test_agrees_on_small_grids_where_sides_often_lie_on_each_other() -> None:
    chance = random.Random(5)
    outcomes = {True: 0, False: 0}
    for _ in range(3000):
        grid = chance.choice([3, 5, 8])
        drawn = [
            (float(chance.randint(0, grid)), float(chance.randint(0, grid)))
            for _ in range(chance.randrange(3, 10))
        ]
        points = list(dict.fromkeys(drawn))
        if len(points) >= 3:
            is_simple = bool(LinearRing(points).is_simple)
            assert (first_clash(points) is None) == is_simple, points
            outcomes[is_simple] += 1
    assert min(outcomes.values()) > 500


def test_agrees_on_stars_with_one_corner_moved() -> None:
    chance = random.Random(11)
    outcomes = set()
    for _ in range(200):
        count = chance.randrange(4, 40)
        points = [
            (
                chance.uniform(4, 9) * math.cos(math.tau * k / count),
                chance.uniform(4, 9) * math.sin(math.tau * k / count),
            )
            for k in range(count)
        ]
        points[chance.randrange(count)] = (chance.uniform(-9, 9), chance.uniform(-9, 9))
        simple_ring = bool(LinearRing(points).is_simple)
        assert (first_clash(points) is None) == simple_ring
        outcomes.add(simple_ring)
    assert outcomes == {True, False}


def _comb(teeth: int) -> list[XY]:
    """Long parallel sides, slanted: boxes and grids see all of them as neighbours."""
    points: list[XY] = []
    for tooth in range(teeth):
        points += [(tooth * 0.02, 0.0), (tooth * 0.02 + 0.01, 100.0)]
    points += [(teeth * 0.02, 200.0), (0.0, 200.0)]
    return [(0.6 * x - 0.8 * y, 0.8 * x + 0.6 * y) for x, y in points]


def _star(corners: int) -> list[XY]:
    return [
        (
            (50 + 5 * math.sin(9 * k)) * math.cos(math.tau * k / corners),
            (50 + 5 * math.sin(9 * k)) * math.sin(math.tau * k / corners),
        )
        for k in range(corners)
    ]


@pytest.mark.parametrize("shape", [_comb, _star])
def test_the_work_grows_little_faster_than_the_sides(
    shape: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert callable(shape)
    calls = 0

    def counted(a: XY, b: XY, p: XY) -> int:
        nonlocal calls
        calls += 1
        return turn(a, b, p)

    monkeypatch.setattr(simple, "turn", counted)
    work = []
    for size in (500, 4000):
        calls = 0
        assert first_clash(shape(size)) is None
        work.append(calls)
    assert work[1] / work[0] < 8 * 2
