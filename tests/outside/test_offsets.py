"""Closed forms of offsets against the laid wire.

Sources: the inset of a rectangle and of a regular polygon, and the keyhole form of the shoelace,
are school geometry; the offset of a convex body is Steiner's formula (J. Steiner, 1840): area
A + P r + pi r2 and length P + 2 pi r outward, and inward with mitred corners A - P d + S d2 and
P - 2 S d, where S is the sum of the tangents of half the exterior angles.
"""

from __future__ import annotations

import math
import random

import pytest
import shapely

from tests.ground.gardens import box, figures, lay_of, ring_of, round_bed
from tests.ground.plain import shoelace

RECTANGLES = 5e-4  # 0.05 % where all is straight
ARCS = 1e-3  # 0.1 % where the wire goes round corners


def convex(seed: int, size: float, centre: tuple[float, float]) -> shapely.Polygon:
    """A convex polygon of 3 to 9 corners, none of them very sharp."""
    rng = random.Random(seed)
    count = rng.randint(3, 9)
    angles = [math.tau * (k + rng.uniform(0, 0.6)) / count for k in range(count)]
    x, y = centre
    ring = [(x + size * math.cos(a), y + size * math.sin(a)) for a in angles]
    return shapely.Polygon(ring)


def tangents(polygon: shapely.Polygon) -> float:
    """Sum of the tangents of half the exterior angles."""
    ring = list(polygon.exterior.coords)[:-1]
    total = 0.0
    for before, here, after in zip(ring[-1:] + ring, ring, ring[1:] + ring[:1], strict=False):
        one = math.atan2(here[1] - before[1], here[0] - before[0])
        two = math.atan2(after[1] - here[1], after[0] - here[0])
        total += math.tan(((two - one) % math.tau) / 2)
    return total


def bed(polygon: shapely.Polygon, name: str = "Bed") -> dict[str, object]:
    ring = [[x, y] for x, y in polygon.exterior.coords[:-1]]
    return {"name": name, "kind": "bed", "polygon": ring}


def outer_length(lay: object) -> float:
    return sum(leg.length_m for leg in lay.loops[0].legs if leg.kind == "outer")


def island_length(lay: object) -> float:
    return sum(leg.length_m for leg in lay.loops[0].legs if leg.kind == "island")


def lead_length(lay: object) -> float:
    return sum(leg.length_m for leg in lay.loops[0].legs if leg.kind == "lead")


@pytest.mark.parametrize("hand", ["anticlockwise", "clockwise"])
@pytest.mark.parametrize("d", [0.0, 0.1, 0.35, 1.0])
def test_rectangle(d: float, hand: str) -> None:
    """2 (a + b) - 8 d, and (a - 2 d)(b - 2 d): 30 x 20 at 0.35 is 97.2 m and 565.49 m2."""
    _, lay = lay_of(box(30, 20), machine=figures(back=d, lay_direction=hand))
    assert outer_length(lay) == pytest.approx(100 - 8 * d, rel=RECTANGLES)
    assert lay.loops[0].working_area_m2 == pytest.approx(
        (30 - 2 * d) * (20 - 2 * d), rel=RECTANGLES
    )
    if d == 0.35:
        assert outer_length(lay) == pytest.approx(97.2, abs=1e-3)
        assert lay.loops[0].working_area_m2 == pytest.approx(565.49, abs=1e-2)
    signed = shoelace(lay.loops[0].path)
    assert (signed > 0) is (hand == "anticlockwise")


def test_rectangle_of_four_kinds() -> None:
    """(a - d1 - d3)(b - d2 - d4): inside corners stay square whatever meets there."""
    back = figures()["setback"] | {"flush": 0.1, "wall": 0.3, "water": 1.0, "hedge": 0.5}
    sides = ring_of(box(30, 20), ["flush", "water", "wall", "hedge"])
    _, lay = lay_of(sides, machine=figures(back=back))
    a, b = 30 - 1.0 - 0.5, 20 - 0.1 - 0.3
    assert outer_length(lay) == pytest.approx(2 * (a + b), rel=RECTANGLES)
    assert lay.loops[0].working_area_m2 == pytest.approx(a * b, rel=RECTANGLES)


@pytest.mark.parametrize(("radius", "setback"), [(0.05, 0.3), (0.5, 0.1), (1.5, 1.0), (4.0, 0.35)])
def test_rectangle_with_a_round_island(radius: float, setback: float) -> None:
    """The ring is a circle of radius r + d; the walk is both rings and the lead pair twice."""
    back = figures()["setback"] | {"water": setback}
    pond = round_bed(15, 9, radius, "Pond", kind="water")
    _, lay = lay_of(box(30, 20), [pond], machine=figures(back=back, tail=0.5))
    ring, lead = radius + setback, 9 - 0.3 - radius - setback
    assert island_length(lay) == pytest.approx(math.tau * ring, rel=ARCS)
    assert lead_length(lay) == pytest.approx(2 * lead, abs=2e-3)
    area = 29.4 * 19.4 - math.pi * ring**2
    assert lay.loops[0].working_area_m2 == pytest.approx(area, rel=ARCS)
    length = 2 * (29.4 + 19.4) + math.tau * ring + 2 * lead + 1.0
    assert lay.loops[0].length_m == pytest.approx(length, rel=ARCS)


@pytest.mark.parametrize("n", [3, 4, 5, 6, 8, 12, 36])
def test_regular_polygon(n: int) -> None:
    """P - 2 n d tan(pi / n); it scales by (apothem - d) / apothem."""
    far, d = 12.0, 0.35
    ring = [(far * math.cos(math.tau * k / n), far * math.sin(math.tau * k / n)) for k in range(n)]
    _, lay = lay_of(ring, machine=figures(back=d))
    perimeter, apothem = 2 * n * far * math.sin(math.pi / n), far * math.cos(math.pi / n)
    inset = perimeter - 2 * n * d * math.tan(math.pi / n)
    assert outer_length(lay) == pytest.approx(inset, rel=RECTANGLES)
    assert inset == pytest.approx(perimeter * (apothem - d) / apothem)
    area = shapely.Polygon(ring).area * ((apothem - d) / apothem) ** 2
    assert lay.loops[0].working_area_m2 == pytest.approx(area, rel=RECTANGLES)


def test_l_shape_goes_round_its_reentrant_corner() -> None:
    """20 x 20 less 10 x 10 at 0.5, a quarter circle for the mitre: 75.785398 and 261.053650."""
    ring = [(0, 0), (20, 0), (20, 10), (10, 10), (10, 20), (0, 20)]
    _, lay = lay_of(ring, machine=figures(back=0.5))
    assert outer_length(lay) == pytest.approx(75.785398, rel=ARCS)
    assert lay.loops[0].working_area_m2 == pytest.approx(261.053650, rel=ARCS)


def test_a_convex_hole_in_an_inset_field() -> None:
    """6 x 4 in 40 x 30, all at 1 m: ring 20 + 2 pi = 26.283185, working area 1016.858407."""
    hole = bed(shapely.box(17, 13, 23, 17))
    _, lay = lay_of(box(40, 30), [hole], machine=figures(back=1.0))
    assert island_length(lay) == pytest.approx(26.283185, rel=ARCS)
    assert lay.loops[0].working_area_m2 == pytest.approx(1016.858407, rel=ARCS)


def test_keyhole() -> None:
    """Shoelace A less the holes = 1176; length P + holes + 2 x bridge. Wound wrongly, 1224."""
    hole = bed(shapely.box(17, 13, 23, 17))
    _, lay = lay_of(box(40, 30), [hole], machine=figures(back=0.0, tail=0.0))
    loop = lay.loops[0]
    assert shoelace(loop.path) == pytest.approx(1176, rel=RECTANGLES)
    assert loop.length_m == pytest.approx(140 + 20 + 2 * 13, rel=RECTANGLES)
    path = loop.path.copy()
    leg = next(leg for leg in loop.legs if leg.kind == "island")
    first, last = (int(abs(loop.at_m - at).argmin()) for at in (leg.from_m, leg.to_m))
    path[first : last + 1] = path[first : last + 1][::-1]
    assert shoelace(path) == pytest.approx(1224, rel=RECTANGLES)


@pytest.mark.parametrize("seed", range(12))
def test_steiner_outward(seed: int) -> None:
    """A ring round a convex bed: P + 2 pi r long, round A + P r + pi r2."""
    shape, r = convex(seed, 3.0, (15, 15)), 0.1 + 0.09 * seed
    back = figures()["setback"] | {"bed": r}
    _, lay = lay_of(box(30, 30), [bed(shape)], machine=figures(back=back))
    assert island_length(lay) == pytest.approx(shape.length + math.tau * r, rel=ARCS)
    (ring,) = (ring for ring in lay.loops[0].rings if ring.kind == "island")
    area = shape.area + shape.length * r + math.pi * r * r
    assert abs(shoelace(ring.points)) == pytest.approx(area, rel=ARCS)


@pytest.mark.parametrize("seed", range(12))
def test_steiner_inward_with_mitred_corners(seed: int) -> None:
    """The wire inside a convex lawn: P - 2 d S long, round A - P d + d2 S."""
    shape, d = convex(100 + seed, 14.0, (0, 0)), 0.05 + 0.05 * seed
    ring = [(x, y) for x, y in shape.exterior.coords[:-1]]
    _, lay = lay_of(ring, machine=figures(back=d, passage_min=0.5))
    s = tangents(shape)
    assert outer_length(lay) == pytest.approx(shape.length - 2 * d * s, rel=RECTANGLES)
    area = shape.area - shape.length * d + d * d * s
    assert lay.loops[0].working_area_m2 == pytest.approx(area, rel=RECTANGLES)


@pytest.mark.parametrize("d", [0.1, 0.3, 1.0])
def test_a_lawn_with_round_ends(d: float) -> None:
    """Two straight sides of 20 and two half circles of radius 6: 2 L + 2 pi (R - d)."""
    outline = [
        [0, -6, "wall"],
        {"at": [20, -6], "side": "wall", "through": [26, 0]},
        [20, 6, "wall"],
        {"at": [0, 6], "side": "wall", "through": [-6, 0]},
    ]
    _, lay = lay_of(outline, machine=figures(back=d), dock=(10, -6))
    assert outer_length(lay) == pytest.approx(40 + math.tau * (6 - d), rel=ARCS)
    area = 40 * (6 - d) + math.pi * (6 - d) ** 2
    assert lay.loops[0].working_area_m2 == pytest.approx(area, rel=ARCS)


def test_a_lawn_with_a_round_bite() -> None:
    """A half circle of radius 4 stands in from the north: the wire keeps R + d from its centre."""
    d = 0.3
    bite = {"at": [14, 12], "side": "wall", "through": [10, 8]}
    outline = [
        [0, 0, "wall"],
        [20, 0, "wall"],
        [20, 12, "wall"],
        bite,
        [6, 12, "wall"],
        [0, 12, "wall"],
    ]
    _, lay = lay_of(outline, machine=figures(back=d))
    radius, low = (
        4 + d,
        d,
    )  # the circle of the wire meets the wire of the straight sides below y = 12
    half = math.acos(low / radius)
    straight = 20 - 2 * d - 2 * radius * math.sin(half)
    length = 2 * (12 - 2 * d) + (20 - 2 * d) + straight + 2 * radius * half
    segment = radius**2 * (half - math.sin(half) * math.cos(half))
    assert outer_length(lay) == pytest.approx(length, rel=ARCS)
    area = (20 - 2 * d) * (12 - 2 * d) - segment
    assert lay.loops[0].working_area_m2 == pytest.approx(area, rel=ARCS)
