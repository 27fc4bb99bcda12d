"""Outlines on the ground: arcs, their flattening, and either way round."""

from __future__ import annotations

import json
import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from renderer.ground.limits import FLATTEN_M
from renderer.ground.outline import (
    lawn_sides,
    outline_polygon,
    signed_area,
)
from renderer.plan.arcs import flattened
from tests.ground import plain
from tests.ground.gardens import gardens, over_gardens, plan_of, turned_round

places = st.tuples(st.floats(-50, 50), st.floats(-50, 50))
quick = settings(max_examples=60, deadline=None, derandomize=True, database=None)


def _is_arc(a: plain.XY, b: plain.XY, c: plain.XY) -> bool:
    """Apart enough, and bent enough, to be measured with a tape."""
    sides = (math.dist(a, b), math.dist(b, c), math.dist(a, c))
    area = abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / 2
    return min(sides) > 0.05 and area > 0.01


@quick
@given(places, places, places)
def test_a_flattened_arc_keeps_to_the_true_one(a: plain.XY, b: plain.XY, c: plain.XY) -> None:
    assume(_is_arc(a, b, c))
    points = np.array([*flattened(a, b, c), c])
    arc = plain.Arc(a, b, c)
    assert tuple(points[0]) == a
    assert tuple(points[-1]) == c
    assert arc.points_off(points).max() < 1e-6
    assert arc.points_off((points[:-1] + points[1:]) / 2).max() <= FLATTEN_M + 1e-6
    assert shapely.LineString(points).distance(shapely.Point(b)) <= FLATTEN_M + 1e-6
    chords = np.hypot(*np.diff(points, axis=0).T).sum()
    assert chords == pytest.approx(arc.radius * arc.sweep, rel=1e-3, abs=1e-3)


@over_gardens
@given(gardens(lawns_most=1))
def test_sides_run_anticlockwise_whichever_way_they_were_measured(text: str) -> None:
    plan = plan_of(text)
    data = json.loads(text)
    data["lawns"][0]["outline"] = turned_round(data["lawns"][0]["outline"])
    other = plan_of(json.dumps(data))
    assert plan is not None and other is not None
    one, two = (lawn_sides(p.lawns[0]) for p in (plan, other))
    for sides in (one, two):
        ring = np.concatenate([side.points[:-1] for side in sides])
        assert signed_area(ring) > 0
        assert signed_area(ring) == pytest.approx(plain.shoelace(np.vstack([ring, ring[:1]])))
        for side, following in zip(sides, (*sides[1:], sides[0]), strict=True):
            assert tuple(side.points[-1]) == tuple(following.points[0])
    assert sorted(_ends(side) for side in one) == sorted(_ends(side) for side in two)
    shapes = [outline_polygon(sides) for sides in (one, two)]
    assert shapes[0].symmetric_difference(shapes[1]).area < 1e-6


def _ends(side: object) -> tuple[object, ...]:
    return (side.kind, side.arc, *side.points[0], *side.points[-1])
