"""The shortest way over open ground, against a visibility graph searched by networkx."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from renderer.ground import route
from renderer.trade import FIRM_GAP_M

networkx = pytest.importorskip("networkx")

quick = settings(max_examples=25, deadline=None, derandomize=True, database=None)
tenths = st.integers(0, 200).map(lambda n: n / 10)


@st.composite
def grounds(draw: st.DrawFn) -> shapely.Polygon:
    """A field of 20 x 20 with some boxes standing in it, turned this way and that."""
    field = shapely.box(0, 0, 20, 20)
    for _ in range(draw(st.integers(1, 5))):
        x, y = draw(tenths), draw(tenths)
        w, h = draw(st.integers(3, 60)) / 10, draw(st.integers(3, 60)) / 10
        c, s = math.cos(turn := draw(st.integers(0, 18)) / 3), math.sin(turn)
        ring = [(x + c * u - s * v, y + s * u + c * v) for u, v in ((0, 0), (w, 0), (w, h), (0, h))]
        field = field.difference(shapely.Polygon(ring))
    return max(shapely.get_parts(field), key=lambda part: part.area)


def reference(ground: shapely.Polygon, starts: list[object], ends: list[object]) -> float:
    """The shortest way from any start to any end over all corners of the ground."""
    corners = [tuple(p) for p in shapely.get_coordinates(ground)]
    nodes = list(dict.fromkeys([*starts, *ends, *corners]))
    pairs = list(itertools.combinations(nodes, 2))
    lines = shapely.linestrings(np.array(pairs))
    seen = shapely.covers(ground.buffer(1e-6, join_style="mitre"), lines)
    graph = networkx.Graph()
    graph.add_nodes_from(nodes)
    for (a, b), clear in zip(pairs, seen, strict=True):
        if clear:
            graph.add_edge(a, b, weight=math.dist(a, b))
    graph.add_weighted_edges_from(("start", p, 0.0) for p in starts)
    graph.add_weighted_edges_from((p, "end", 0.0) for p in ends)
    try:
        return float(networkx.shortest_path_length(graph, "start", "end", weight="weight"))
    except networkx.NetworkXNoPath:
        return math.inf


def inside(ground: shapely.Polygon) -> shapely.Geometry:
    """The ground without slits narrower than 5 cm, through which no way is looked for."""
    return ground.buffer(-0.025, join_style="mitre")


@quick
@given(grounds(), st.tuples(tenths, tenths), st.tuples(tenths, tenths))
def test_between_two_places(ground: shapely.Polygon, a: object, b: object) -> None:
    inner = ground.buffer(-0.05)
    assume(a != b and inner.covers(shapely.Point(a)) and inner.covers(shapely.Point(b)))
    line = route.shortest(ground, shapely.Point(a), shapely.Point(b))
    if line is None:
        assert reference(inside(ground), [a], [b]) == math.inf
        return
    assert route.clear(line, ground)
    assert reference(ground, [a], [b]) - 1e-6 <= route.length(line)
    assert route.length(line) <= reference(inside(ground), [a], [b]) + 0.05


@quick
@given(grounds())
def test_between_an_island_and_the_edge(ground: shapely.Polygon) -> None:
    """From anywhere on the edge of the field to anywhere on a bed in its middle."""
    bed, field = shapely.box(9, 9, 11, 11), shapely.box(0, 0, 20, 20)
    ground = max(shapely.get_parts(ground.difference(bed)), key=lambda part: part.area)
    edge, ring = (ground.boundary.intersection(thing.boundary) for thing in (field, bed))
    assume(edge.length > 1 and ring.length > 0.5)
    line = route.shortest(ground, edge, ring)
    open_ground = inside(ground)
    ends = [
        _places(open_ground.boundary.intersection(thing.boundary))
        for thing in (field.buffer(-0.025), bed.buffer(0.025, join_style="mitre"))
    ]
    least = reference(open_ground, *ends)
    if line is None:
        assert least == math.inf
        return
    assert route.clear(line, ground)
    assert route.length(line) <= least + 0.1


def _places(line: shapely.Geometry) -> list[object]:
    return [tuple(p) for p in shapely.get_coordinates(shapely.segmentize(line, 1))]


def test_a_straight_way_is_taken_where_it_is_free() -> None:
    field = shapely.box(0, 0, 10, 10)
    line = route.shortest(field, shapely.Point(1, 1), shapely.Point(9, 4))
    assert line is not None
    assert line.tolist() == [[1, 1], [9, 4]]


def test_a_wall_across_leaves_no_way() -> None:
    field = shapely.box(0, 0, 10, 10).difference(shapely.box(4, -1, 5, 11))
    assert route.shortest(field, shapely.Point(1, 1), shapely.Point(9, 9)) is None


def test_firm_things_are_passed_at_a_hands_breadth() -> None:
    post = shapely.Point(5, 5).buffer(1.0)
    keep = route.firm_keepout([post])
    assert keep is not None
    field = shapely.box(0, 0, 10, 10).difference(keep)
    line = route.shortest(field, shapely.Point(1, 5), shapely.Point(9, 5))
    assert line is not None
    off = shapely.LineString(line).distance(post)
    assert FIRM_GAP_M - 1e-3 <= off <= FIRM_GAP_M + 0.03
    assert route.firm_keepout([]) is None


def test_no_way_is_looked_for_between_parts_that_do_not_meet(monkeypatch) -> None:
    def search(*_: object) -> None:
        raise AssertionError("the whole ground was searched")

    monkeypatch.setattr(route, "_Search", search)
    apart = shapely.union(shapely.box(0, 0, 10, 10), shapely.box(10.2, 0, 20, 10))
    starts, ends = (shapely.LineString([(x, 1), (x, 9)]) for x in (2, 18))
    assert route.shortest(apart, starts, ends) is None


def test_bends_are_saved_at_both_ends_only_while_the_sum_stays_within_ten_centimetres() -> None:
    """Each of two bends of 21 degrees, 0.8 m off its end, takes 5.7 cm to save."""
    turn = math.radians(21.0)
    across = 8.0 * math.tan(turn)
    bars = shapely.box(5.0, 0.7, 9.0, 0.8) | shapely.box(3.0, 8.8, 5.0 + across, 8.9)
    way = route.shortest(
        shapely.box(0.0, 0.0, 15.0, 9.6) - bars,
        shapely.LineString([(0.0, 0.0), (5.0, 0.0)]),
        shapely.LineString([(5.0 + across, 9.6), (15.0, 9.6)]),
    )
    assert way is not None
    least, saving = 1.6 + 8.0 / math.cos(turn), 0.8 * (1.0 / math.cos(turn) - 1.0)
    assert len(way) == 3  # two would be longer than that
    assert shapely.LineString(way).length == pytest.approx(least + saving, abs=0.02)
