"""What meets a window of the ground, against shapely's own boxes."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
import shapely

import renderer
from benchmarks.gardens import SMALL
from renderer.geometry.rects import Rect
from renderer.ground.lay import Lay
from renderer.ground.whereabouts import LoopPlaces, Whereabouts, meeting
from renderer.plan.model import Plan
from tests.shared import lay_plan

WINDOWS = [
    Rect(-100.0, -100.0, 200.0, 200.0),
    *(Rect(x, y, x + 3.5, y + 2.5) for x in range(-4, 24, 4) for y in range(-4, 16, 4)),
]


@cache
def garden() -> tuple[Plan, Lay]:
    plan = renderer.load(SMALL)
    return plan, lay_plan(plan)


@pytest.mark.parametrize("window", WINDOWS)
def test_no_pair_leg_or_obstacle_that_a_window_shows_is_left_out(window: Rect) -> None:
    plan, lay = garden()
    places = Whereabouts(plan, lay)
    frame = shapely.box(*window)
    for loop in places.loops:
        near = set(meeting(loop.leads, window))
        for number, lead in enumerate(loop.loop.leads):
            assert number in near or not frame.intersects(shapely.LineString(lead.points))
        near = set(meeting(loop.legs, window))
        for number, leg in enumerate(loop.loop.legs):
            if leg.kind != "tail":
                assert number in near or not frame.intersects(walked(loop, leg.from_m, leg.to_m))
    near = set(meeting(places.obstacles, window))
    for number, thing in enumerate(plan.obstacles):
        if thing.circle is not None:
            shape = shapely.Point(thing.circle.at).buffer(thing.circle.radius)
        else:
            shape = shapely.Polygon(thing.polygon)
        assert number in near or not frame.intersects(shape)


@pytest.mark.parametrize("window", WINDOWS)
def test_no_wire_and_no_ring_that_a_window_shows_is_left_out(window: Rect) -> None:
    frame = shapely.box(*window)
    for loop in Whereabouts(*garden()).loops:
        lines = [shapely.LineString(part) for part in loop.near(window)]
        seen = shapely.union_all(lines).intersection(frame).length
        whole = shapely.union_all(shapely.LineString(loop.loop.path)).intersection(frame).length
        assert seen == pytest.approx(whole, abs=1e-6)
        near = set(meeting(loop.rings, window))
        for number, ring in enumerate(loop.loop.rings):
            assert number in near or not frame.intersects(shapely.LineString(ring.points))


@pytest.mark.parametrize("span", [(0.3, 0.3), (0.0, 0.1), (0.4, 0.7), (0.9, 1.0)])
def test_a_stretch_holds_the_running_distances_asked_for(span: tuple[float, float]) -> None:
    for loop in Whereabouts(*garden()).loops:
        known = loop.loop.at_m
        at_m = known[0] + np.array(span) * (known[-1] - known[0])
        first, last = loop.stretch(at_m, 0.0)
        assert first < last < len(known)
        assert known[first] <= at_m.min() and known[last] >= at_m.max()


def walked(places: LoopPlaces, from_m: float, to_m: float) -> shapely.LineString:
    """The wire between two running distances, by numpy's own interpolation."""
    loop = places.loop
    at = np.linspace(from_m, to_m, 200)
    xy = [np.interp(at, loop.at_m, loop.path[:, axis]) for axis in (0, 1)]
    return shapely.LineString(np.column_stack(xy))


def test_a_small_window_leaves_most_out() -> None:
    plan, lay = garden()
    (loop,) = Whereabouts(plan, lay).loops
    x, y = loop.loop.start
    few = meeting(loop.leads, Rect(x - 0.1, y - 0.1, x + 0.1, y + 0.1))
    assert len(few) < len(loop.loop.leads)


def test_pegs_are_where_the_lay_has_them() -> None:
    for loop in Whereabouts(*garden()).loops:
        assert loop.pegs.tolist() == [[peg.x, peg.y] for peg in loop.loop.pegs]
        passed = loop.passed_at_m.tolist()
        assert passed == sorted(set(passed))
        assert {peg.at_m for peg in loop.loop.pegs} <= set(passed)
