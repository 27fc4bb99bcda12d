"""The allowed ground: its border stands at the setback, no nearer and no further."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given

from renderer.ground.area import allowed_ground
from renderer.ground.offset import disc_ring
from renderer.ground.outline import lawn_sides, outline_polygon
from tests.ground import plain, wire_rules
from tests.ground.gardens import (
    as_text,
    box,
    box_bed,
    figures,
    gardens,
    over_gardens,
    plan_of,
    ring_of,
    round_bed,
)

MM = 1e-3


def ground_of(text: str, extra_m: float = 0.0) -> shapely.MultiPolygon:
    plan = plan_of(text)
    assert plan is not None
    sides = lawn_sides(plan.lawns[0])
    return allowed_ground(outline_polygon(sides), sides, plan.obstacles, plan.machine, extra_m)


def one_lawn(outline: object, things: list[object], machine: dict[str, object]) -> str:
    return as_text(
        machine, [{"name": "Lawn", "outline": outline}], things, [{"dock": {"at": [0, 0]}}]
    )


@over_gardens
@given(gardens(lawns_most=1))
def test_the_border_stands_at_the_setback_of_something(text: str) -> None:
    plan = plan_of(text)
    assert plan is not None
    ground = ground_of(text)
    border = shapely.get_coordinates(shapely.segmentize(ground, 0.3))
    if len(border) == 0:
        return
    spare = wire_rules.room_to_wire(plan, plan.lawns[0], border)
    assert spare.min() > -0.2 * MM
    wide = wire_rules.room_to_bends(plan, plan.lawns[0], border)
    assert np.minimum(spare, np.maximum(wide, 0)).max() < 0.5 * MM


@over_gardens
@given(gardens(lawns_most=1))
def test_sampled_ground_is_allowed_exactly_where_every_setback_is_kept(text: str) -> None:
    plan = plan_of(text)
    assert plan is not None
    ground = ground_of(text)
    rng = np.random.default_rng(5)
    left, low, right, high = outline_polygon(lawn_sides(plan.lawns[0])).bounds
    points = np.array([left, low]) + rng.random((200, 2)) * [right - left, high - low]
    points = points[plain.in_lawn(plan.lawns[0], points)]
    spare = wire_rules.room_to_wire(plan, plan.lawns[0], points)
    wide = wire_rules.room_to_bends(plan, plan.lawns[0], points)
    inside = shapely.intersects_xy(ground, points)
    assert not np.any(inside & (spare < -MM))
    assert not np.any(~inside & (np.minimum(spare, wide) > MM))


def test_ground_that_is_off_is_never_taken_for_ground_that_is_left() -> None:
    """Found by random gardens: the overlay left most of a lawn where next to none is left."""
    arc = {"at": [0, 0], "side": "fence", "through": [3.245, 2.129]}
    corners = [([6.49, 0], "bed"), ([6.49, 3.55], "kerb"), ([0, 3.55], "fence")]
    drop = [[1.524, 2.772], [-0.884, 2.772], [-0.884, 1.708], [1.524, 1.708]]
    text = one_lawn(
        [arc, *({"at": at, "side": kind} for at, kind in corners)],
        [{"name": "Drop", "kind": "drop", "polygon": drop}],
        figures(back={"fence": 0.35, "bed": 0.1, "kerb": 1.0, "drop": 0.35}, corner_radius=0.0),
    )
    plan, extra_m = plan_of(text), (0.8 - MM) / 2
    assert plan is not None
    ground = ground_of(text, extra_m)
    across, along = np.meshgrid(np.arange(-0.1, 6.6, 0.02), np.arange(-0.1, 3.7, 0.02))
    points = np.column_stack((across.ravel(), along.ravel()))
    points = points[plain.in_lawn(plan.lawns[0], points)]
    spare = wire_rules.room_to_wire(plan, plan.lawns[0], points) - extra_m
    inside = shapely.intersects_xy(ground, points)
    assert ground.is_valid
    assert np.any(inside)
    assert not np.any(inside & (spare < -MM))
    assert not np.any(~inside & (spare > MM))


def test_extra_setback_is_the_same_as_eroding() -> None:
    things = [round_bed(8, 6, 1.0), box_bed(14, 3, 17, 5), round_bed(3, 3, 0.4, kind="water")]
    back = figures()["setback"] | {"water": 1.0, "flush": 0.1}
    sides = ring_of([(0, 0), (20, 0), (20, 12), (12, 12), (12, 8), (0, 8)], ["wall", "flush"] * 3)
    text = one_lawn(sides, things, figures(back=back))
    for extra in (0.1, 0.5, 1.2):
        eroded = ground_of(text).buffer(-extra, quad_segs=256)
        assert ground_of(text, extra).symmetric_difference(eroded).area < 2 * MM * 40


def test_firm_obstacles_take_no_ground() -> None:
    firm = [round_bed(5, 5, 1.0, kind="firm")]
    bare = ground_of(one_lawn(ring_of(box(20, 10)), [], figures()))
    assert ground_of(one_lawn(ring_of(box(20, 10)), firm, figures())).equals(bare)


def test_a_setback_of_nothing_lets_the_wire_lie_on_the_edge() -> None:
    ground = ground_of(one_lawn(ring_of(box(20, 10)), [], figures(back=0.0)))
    assert ground.area == pytest.approx(200)


def test_a_lawn_all_within_its_setbacks_has_no_ground() -> None:
    assert ground_of(one_lawn(ring_of(box(20, 0.6)), [], figures())).is_empty


def test_the_longer_setback_reaches_round_the_end_of_its_side() -> None:
    """Setbacks hold from the ends of a side as well, so its neighbour's wire goes round an arc."""
    back = figures()["setback"] | {"water": 1.0, "flush": 0.1}
    outline = ring_of(
        [(0, 0), (10, 0), (20, 0), (20, 10), (0, 10)], ["flush", "water", *["wall"] * 3]
    )
    ground = ground_of(one_lawn(outline, [], figures(back=back)))
    for along in np.linspace(0, 0.99, 12):  # left of the water's end at (10, 0)
        x = 10 - along
        low = max(0.1, float(np.sqrt(1 - along**2)))
        assert ground.distance(shapely.Point(x, low)) < 0.3 * MM
        assert not ground.contains(shapely.Point(x, low - 2 * MM))


@pytest.mark.parametrize("radius", [0.1, 0.37, 1.0, 2.2, 9.9])
def test_a_flattened_circle_is_the_same_turned_square_and_mirrored(radius: float) -> None:
    ring = disc_ring((0.0, 0.0), radius)
    for x, y in ((-ring[:, 1], ring[:, 0]), (-ring[:, 0], ring[:, 1])):
        gaps = np.hypot(x[:, None] - ring[None, :, 0], y[:, None] - ring[None, :, 1])
        assert gaps.min(axis=1).max() < 1e-12
