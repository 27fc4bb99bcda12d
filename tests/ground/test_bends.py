"""Bends of the wire: the least radius, and acute corners cut off."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from tests.ground.gardens import box, box_bed, figures, lay_of, ring_of, round_bed
from tests.ground.wire_rules import bends_as_asked, violations


def ring_area(points: object) -> float:
    return shapely.Polygon(points).area


@pytest.mark.parametrize("radius", [0.1, 0.3, 0.5])
def test_each_inside_corner_of_a_rectangle_is_rounded_to_the_radius(radius: float) -> None:
    """An inset rectangle with rounded corners: 2(a + b) - (8 - 2 pi) r round, (4 - pi) r2 less."""
    plan, lay = lay_of(box(20.6, 12.6), machine=figures(corner_radius=radius))
    ring = shapely.LineString(lay.loops[0].path)
    assert ring.length == pytest.approx(64 - (8 - math.tau) * radius, abs=2e-3)
    area = 240 - (4 - math.pi) * radius**2
    assert lay.loops[0].working_area_m2 == pytest.approx(area, abs=5e-3)
    assert violations(plan, lay) == []


@pytest.mark.parametrize("radius", [0.35, 0.5])
def test_an_arc_smaller_than_the_least_radius_is_widened_to_it(radius: float) -> None:
    """Round the corners of a bed the setback of 0.3 would bend too tightly."""
    plan, lay = lay_of(box(30, 20), [box_bed(12, 8, 18, 12)], machine=figures(corner_radius=radius))
    (island,) = (ring for ring in lay.loops[0].rings if ring.kind == "island")
    corners = np.array([[12, 8], [18, 8], [18, 12], [12, 12]])
    off = np.hypot(*(island.points[:, None] - corners[None]).transpose(2, 0, 1)).min(axis=1)
    assert off.min() == pytest.approx(radius, abs=1e-3)
    assert violations(plan, lay) == []


def test_a_round_thing_too_small_to_bend_round_gets_the_least_radius() -> None:
    plan, lay = lay_of(box(20, 12), [round_bed(10, 6, 0.05)], machine=figures(corner_radius=0.5))
    (island,) = (ring for ring in lay.loops[0].rings if ring.kind == "island")
    assert ring_area(island.points) == pytest.approx(math.pi * 0.25, rel=1e-3)
    assert violations(plan, lay) == []


def test_an_arc_that_bulges_into_the_lawn_is_widened_to_the_least_radius() -> None:
    """A half circle of 0.4 with a setback of 0.1: the wire keeps 0.75 from its centre, not 0.5."""
    outline = box(20, 12)
    outline[2:3] = [
        [20, 12, "wall"],
        {"at": [10.4, 12], "side": "wall", "through": [10, 11.6]},
        [9.6, 12, "wall"],
    ]
    plan, lay = lay_of(outline, machine=figures(back=0.1, corner_radius=0.75, passage_min=1.5))
    ring = shapely.LineString(lay.loops[0].rings[0].points)
    assert shapely.distance(ring, shapely.Point(10, 12)) == pytest.approx(0.75, abs=1e-3)
    assert violations(plan, lay) == []


# a change from a long setback to a short one at a slight bend, to the left and to the right
CHANGES = [
    pytest.param(turn, long, short, radius, id=f"{turn}-{long}-{short}-{radius}")
    for turn in (-15, 0, 15, 26)
    for long, short in ((0.2, 0.0), (0.35, 0.1), (1.0, 0.1))
    for radius in (0.2, 0.5)
]


@pytest.mark.parametrize(("turn", "long", "short", "radius"), CHANGES)
def test_bends_at_a_change_of_kind(turn: float, long: float, short: float, radius: float) -> None:
    """Where a long setback ends, the wire goes round its end and back to the short one."""
    slope = math.tan(math.radians(turn))
    outline = [(0, 0), (10, 0), (20, 10 * slope), (20, 14), (0, 14)]
    back = figures()["setback"] | {"water": long, "flush": short}
    machine = figures(back=back, corner_radius=radius)
    sides = ring_of(outline, ["water", "flush", "wall", "wall", "wall"])
    plan, lay = lay_of(sides, machine=machine)
    assert bends_as_asked(plan, lay) == []
    assert violations(plan, lay) == []


@pytest.mark.parametrize("radius", [0.5, 0.75])
@pytest.mark.parametrize("turn", [0.0, 12.0])
def test_no_bulge_where_only_the_kind_changes(turn: float, radius: float) -> None:
    """A circle of the least radius that touches the longer setback's line where its side ends.

    It lies behind that line and round the end's own circle, which touches it from inside: circles
    of radius R and r with centres R - r apart touch (Euclid, Elements III, 11).
    """
    slope = math.tan(math.radians(turn))
    outline = [(0, 0), (10, 0), (20, 10 * slope), (20, 12), (0, 12)]
    back = figures()["setback"] | {"flush": 0.1}
    machine = figures(back=back, corner_radius=radius, passage_min=1.5)
    sides = ring_of(outline, ["wall", "flush", "wall", "wall", "wall"])
    plan, lay = lay_of(sides, machine=machine, dock=(4, 0))
    ring = shapely.LinearRing(lay.loops[0].rings[0].points)
    low = shapely.get_coordinates(shapely.segmentize(ring, 0.02))
    low = low[(low[:, 0] > 8) & (low[:, 0] < 12) & (low[:, 1] < 3)]
    assert low[low[:, 0] < 10, 1] == pytest.approx(0.3, abs=3e-4)
    beyond = np.hypot(low[:, 0] - 10, low[:, 1] - (0.3 - radius)) - radius
    assert beyond.min() > -6e-4
    if turn == 0.0:
        assert low[:, 1].max() <= 0.3 + 3e-4
    assert bends_as_asked(plan, lay) == []
    assert violations(plan, lay) == []


def test_a_corner_of_fifty_degrees_is_cut_back_by_seven_tenths() -> None:
    """Cut chord 0.6 at a corner of 50 degrees: legs of 0.710 m and two corners of 115 degrees.

    Common practice, no published source: c / (2 sin(angle / 2)).
    """
    wide = math.radians(50)
    outline = [(0, 0), (10, 0), (10 * math.cos(wide), 10 * math.sin(wide))]
    plan, lay = lay_of(outline, machine=figures(back=0, corner_angle_min=60), dock=(5, 0))
    (ring,) = lay.loops[0].rings
    near = ring.points[:-1][np.hypot(*ring.points[:-1].T) < 1]
    assert np.hypot(*near.T) == pytest.approx([0.710, 0.710], abs=5e-4)
    assert math.dist(*near) == pytest.approx(0.6, abs=2e-3)
    angles = sorted(_angles(shapely.Polygon(ring.points)))
    assert angles == pytest.approx([65, 65, 115, 115], abs=0.1)
    assert violations(plan, lay) == []


def _angles(polygon: shapely.Polygon) -> list[float]:
    points = shapely.get_coordinates(polygon.simplify(1e-3).exterior)[:-1]
    ahead, back = np.roll(points, -1, axis=0) - points, np.roll(points, 1, axis=0) - points
    turn = np.arctan2(back[:, 1], back[:, 0]) - np.arctan2(ahead[:, 1], ahead[:, 0])
    inside = np.degrees(turn % math.tau)
    return [float(angle) for angle in inside if abs(angle - 180) > 1]


def test_a_right_angle_is_no_sharp_corner() -> None:
    _, lay = lay_of(box(10, 8), machine=figures(corner_angle_min=90))
    assert lay.loops[0].working_area_m2 == pytest.approx(9.4 * 7.4)


@pytest.mark.parametrize("least", [60, 90])
def test_a_wedge_of_a_lawn_ends_in_corners_that_the_machine_can_turn(least: float) -> None:
    plan, lay = lay_of([(0, 0), (30, 0), (0, 14)], machine=figures(corner_angle_min=least))
    assert bends_as_asked(plan, lay) == []
    assert violations(plan, lay) == []


@pytest.mark.parametrize("skew", [0.0, 0.1, 0.4])
def test_no_corner_sharper_than_the_least_angle(skew: float) -> None:
    """A blind strip whose end is shorter than the cut would be."""
    outline = [
        (0, 0),
        (10, 0),
        (10, 4),
        (11.5, 4),
        (11.5 + skew, 4.9),
        (10, 4.9),
        (10, 10),
        (0, 10),
    ]
    plan, lay = lay_of(outline, machine=figures(corner_angle_min=90))
    assert lay.lawns[0].working.bounds[2] > 10
    assert bends_as_asked(plan, lay) == []


@pytest.mark.parametrize("step", [0.283, 0.29, 0.2955])
def test_a_sharp_corner_between_a_side_and_an_arc_is_cut(step: float) -> None:
    """The arc round the end of one setback meets the wire along another side at a narrow angle."""
    back = figures()["setback"] | {"bed": 0.2, "drop": 0.0, "wall": 0.1, "flush": 0.1}
    outline = [(0, 0), (10, 0), (10, 10), (step, 10), (step, 5), (0, 5)]
    sides = ring_of(outline, ["wall", "wall", "wall", "flush", "drop", "bed"])
    plan, lay = lay_of(sides, machine=figures(back=back, corner_angle_min=90), dock=(10, 10))
    assert bends_as_asked(plan, lay) == []


def test_the_chord_of_a_cut_is_as_long_as_asked_where_a_side_is_an_arc() -> None:
    """Between a straight side and the ring of a round bed, which meet almost in a tangent."""
    bed = round_bed(10, 2.55, 2.2)  # with its setback of 0.3, a quarter of a metre over the side's
    plan, lay = lay_of(box(30, 20), [bed], machine=figures(corner_radius=0, corner_angle_min=60))
    ring = lay.loops[0].rings[0].points
    steps = np.hypot(*np.diff(np.vstack([ring, ring[:1]]), axis=0).T)
    chords = [
        step
        for step, (a, b) in zip(
            steps, zip(ring, np.roll(ring, -1, axis=0), strict=True), strict=True
        )
        if abs(a[1] - b[1]) > 0.1 and max(a[1], b[1]) < 5 and abs(a[0] - 10) < 5 and step > 0.2
    ]
    assert chords == pytest.approx([0.6, 0.6], abs=2e-3)
    assert violations(plan, lay) == []


@pytest.mark.parametrize("width", [0.34, 0.36, 0.38])
def test_a_throat_narrower_than_two_radii(width: float) -> None:
    """A short blind end behind a throat through which the wire could not bend at radius 0.2."""
    left, right = 4.6 - width / 2 - 0.3, 4.6 + width / 2 + 0.3
    end = [
        (right, 8),
        (right, 8.02),
        (6.3, 8.02),
        (6.3, 10.2),
        (3, 10.2),
        (3, 8.02),
        (left, 8.02),
        (left, 8),
    ]
    outline = [(0, 0), (10, 0), (10, 8), *end, (0, 8)]
    plan, lay = lay_of(outline, machine=figures(corner_radius=0.2, passage_min=1.9))
    assert bends_as_asked(plan, lay) == []
    assert violations(plan, lay) == []


@pytest.mark.parametrize("radius", [0.2, 0.5])
def test_rounding_takes_only_what_a_disc_cannot_reach(radius: float) -> None:
    """The working area is the allowed ground opened by the disc, here with setbacks of nothing."""
    outline = [(0, 0), (8, 0), (9, 6), (5, 8), (0, 7)]
    _, lay = lay_of(outline, machine=figures(back=0, corner_radius=radius))
    opened = shapely.Polygon(outline).buffer(-radius).buffer(radius, quad_segs=256)
    assert lay.lawns[0].working.symmetric_difference(opened).area < 5e-3
