"""Distances from the plan's own corners, arcs and circles, against points laid densely on them."""

from __future__ import annotations

import math

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from renderer.checks.measured import Block, Bow, Disc, Straight, _side, bounds
from renderer.ground import area
from tests.checks.jobs import JOB, changed, one_lawn, plan_of, tripped
from tests.ground import plain

place = st.tuples(st.integers(-500, 500), st.integers(-500, 500)).map(
    lambda p: (p[0] / 100, p[1] / 100)
)
often = settings(max_examples=300, deadline=None, derandomize=True)


def dense(one: complex, two: complex, count: int = 4001) -> np.ndarray:
    return one + (two - one) * np.linspace(0, 1, count)


def least(points: np.ndarray, others: np.ndarray) -> float:
    parts = np.array_split(others, 8)
    return float(min(np.abs(points[:, None] - part[None]).min() for part in parts))


@often
@given(place, place, place, place)
def test_a_straight(one, two, a, b) -> None:
    p, q, r, s = (complex(*each) for each in (one, two, a, b))
    got = float(Straight(p, q).off(np.array([r]), np.array([s]))[0])
    brute = least(dense(p, q, 801), dense(r, s, 801))
    assert brute - 0.02 <= got <= brute + 1e-9


@often
@given(place, place, place, place, place)
def test_an_arc(one, through, two, a, b) -> None:
    shape = _side(one, through, two)
    if not isinstance(shape, Bow) or abs(shape.one - shape.centre) > 50:
        return
    way = np.linspace(0, shape.turn, 2001)
    on = shape.centre + (shape.one - shape.centre) * np.exp(1j * way)
    for point in (one, through, two):
        assert np.abs(on - complex(*point)).min() < 0.1
    assert abs(on[-1] - complex(*two)) < 1e-6
    r, s = complex(*a), complex(*b)
    got = float(shape.off(np.array([r]), np.array([s]))[0])
    brute = least(on, dense(r, s, 801))
    assert brute - 0.2 <= got <= brute + 1e-9
    exact = plain.Arc(one, through, two).off(np.array([a]), np.array([b]))
    assert math.isclose(got, exact, abs_tol=1e-6)


@often
@given(place, st.floats(0.1, 3), place, place)
def test_a_disc(centre, radius, a, b) -> None:
    r, s = complex(*a), complex(*b)
    got = float(Disc(complex(*centre), radius).off(np.array([r]), np.array([s]))[0])
    brute = float(np.abs(dense(r, s) - complex(*centre)).min()) - radius
    assert math.isclose(got, max(0.0, brute), abs_tol=5e-3)


def test_a_block_holds_what_is_inside_it() -> None:
    block = Block((0j, 4 + 0j, 4 + 3j, 2 + 1j, 3j))
    inside = np.array([1 + 1j, 3 + 1.5j, 0.5 + 2j])
    outside = np.array([2 + 2j, -1 + 1j, 5 + 1j, 2 - 1j])
    assert block.holds(inside).all() and not block.holds(outside).any()
    assert (block.off(inside, inside) == 0).all()
    assert block.off(outside, outside).min() > 0.5


def test_all_sides_and_obstacles_bound_the_wire() -> None:
    plan = plan_of(JOB)
    found = list(bounds(plan))
    assert len(found) == sum(len(lawn.outline) for lawn in plan.lawns) + sum(
        thing.kind != "firm" for thing in plan.obstacles
    )


def test_a_fault_in_the_outlines_of_the_layer_is_found(monkeypatch) -> None:
    """A bed laid with one corner less than it has: the wire runs through it, and checks say so."""
    right = area.obstacle_ring
    monkeypatch.setattr(
        area, "obstacle_ring", lambda o: right(o)[:-1] if o.polygon and o.name == BED else right(o)
    )
    bed = {"name": BED, "kind": "bed", "polygon": [[10, 5], [14, 5], [14, 8], [10, 8]]}
    job = changed(one_lawn(), {"obstacles": [bed], "features": []})
    assert {"wire-too-near-side", "island-not-left-out"} <= tripped(plan_of(job))


BED = "Long bed"
