"""The allowed ground against a second offset engine: Clipper (Angus Johnson), through pyclipper."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, reject, settings
from hypothesis import strategies as st

from renderer.ground.area import allowed_ground
from renderer.ground.outline import lawn_sides, outline_polygon
from tests.ground.gardens import as_text, figures, notched, plan_of, ring_of, star

pyclipper = pytest.importorskip("pyclipper")

SCALE = 1e6  # Clipper counts in whole micrometres
ARC_M = 2e-5  # how near its arcs keep to the true ones

quick = settings(max_examples=60, deadline=None, derandomize=True, database=None)


@st.composite
def rings(draw: st.DrawFn) -> list[tuple[float, float]]:
    """A simple polygon, to the millimetre."""
    ring = (
        star(draw, draw(st.sampled_from([6.0, 15.0])), 4, 24)
        if draw(st.booleans())
        else notched(draw)
    )
    return [(round(x, 3), round(y, 3)) for x, y in ring]


def clipper_offset(polygon: shapely.Polygon, by_m: float) -> shapely.Geometry:
    """A polygon grown (or shrunk, where negative) with round joins."""
    offset = pyclipper.PyclipperOffset(2.0, ARC_M * SCALE)
    offset.AddPath(_counts(polygon.exterior), pyclipper.JT_ROUND, pyclipper.ET_CLOSEDPOLYGON)
    found = [shapely.Polygon(np.array(path) / SCALE) for path in offset.Execute(by_m * SCALE)]
    return shapely.union_all(found)


def _counts(ring: Any) -> list[tuple[int, int]]:
    return [(round(x * SCALE), round(y * SCALE)) for x, y in ring.coords[:-1]]


def clipper_difference(ground: shapely.Geometry, taken: list[shapely.Geometry]) -> shapely.Geometry:
    """Ground less what obstacles take, all of it by Clipper."""
    clip = pyclipper.Pyclipper()
    clip.AddPaths([_counts(p.exterior) for p in shapely.get_parts(ground)], pyclipper.PT_SUBJECT)
    clip.AddPaths([_counts(p.exterior) for p in taken], pyclipper.PT_CLIP, True)
    tree = clip.Execute2(pyclipper.CT_DIFFERENCE, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO)
    return shapely.union_all(list(_polygons(tree)))


def _polygons(node: Any) -> Any:
    for outer in node.Childs:
        holes = [np.array(hole.Contour) / SCALE for hole in outer.Childs]
        yield shapely.Polygon(np.array(outer.Contour) / SCALE, holes)
        for hole in outer.Childs:
            yield from _polygons(hole)


def ours(
    ring: list[tuple[float, float]], things: list[Any], setback: float
) -> shapely.MultiPolygon:
    lawn = {"name": "Lawn", "outline": ring_of(ring)}
    plan = plan_of(as_text(figures(back=setback), [lawn], things, [{"dock": {"at": [0, 0]}}]))
    if plan is None:
        reject()
    sides = lawn_sides(plan.lawns[0])
    return allowed_ground(outline_polygon(sides), sides, plan.obstacles, plan.machine)


def assert_same(one: shapely.Geometry, two: shapely.Geometry) -> None:
    """Equal to half a millimetre along the border, and in area to a millimetre's width of it.

    Slivers under 1 cm2, which both engines may keep or drop, are passed over.
    """
    one, two = (
        shapely.union_all([p for p in shapely.get_parts(g) if p.area > 1e-4]) for g in (one, two)
    )
    assert one.is_empty == two.is_empty
    if one.is_empty:
        return
    assert abs(one.area - two.area) <= 5e-4 * two.length
    assert shapely.hausdorff_distance(one.boundary, two.boundary) <= 1e-3 + 1e-2 * _tips(one, two)


def _tips(one: shapely.Geometry, two: shapely.Geometry) -> bool:
    """Whether the engines differ in the tip of a needle only, no wider than a millimetre."""
    rest = shapely.symmetric_difference(one, two)
    return bool(shapely.buffer(rest, -5e-4).is_empty) and rest.area < 1e-3 * two.length


@quick
@given(rings(), st.sampled_from([0.1, 0.3, 1.0]))
def test_setbacks_of_random_outlines(ring: list[tuple[float, float]], setback: float) -> None:
    assume(shapely.Polygon(ring).is_valid)
    assert_same(ours(ring, [], setback), clipper_offset(shapely.Polygon(ring), -setback))


@quick
@given(rings(), st.lists(rings(), min_size=1, max_size=4), st.sampled_from([0.1, 0.3]), st.data())
def test_setbacks_of_outlines_and_obstacles(
    ring: list[tuple[float, float]],
    others: list[list[tuple[float, float]]],
    setback: float,
    data: st.DataObject,
) -> None:
    things, taken = [], []
    for k, other in enumerate(others):
        dx, dy, size = (data.draw(st.integers(-60, 60)) / 10 for _ in range(3))
        size = 0.05 + abs(size) / 40
        points = [(round(dx + size * x, 3), round(dy + size * y, 3)) for x, y in other]
        shape = shapely.Polygon(points)
        assume(shape.is_valid and shape.area > 0.01)
        things.append({"name": f"Bed {k}", "kind": "bed", "polygon": [list(p) for p in points]})
        taken.extend(shapely.get_parts(clipper_offset(shape, setback)))
    inset = clipper_offset(shapely.Polygon(ring), -setback)
    assert_same(ours(ring, things, setback), clipper_difference(inset, taken))


def test_the_comparison_can_fail() -> None:
    """A setback 1 mm out is seen on any outline of usual size."""
    ring = [(0.0, 0.0), (20.0, 0.0), (20.0, 12.0), (9.0, 7.0), (0.0, 12.0)]
    allowed = ours(ring, [], 0.3)
    assert_same(allowed, clipper_offset(shapely.Polygon(ring), -0.3))
    with pytest.raises(AssertionError):
        assert_same(allowed, clipper_offset(shapely.Polygon(ring), -0.302))
