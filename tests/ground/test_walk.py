"""The walk over a tree of rings, on rings and lead pairs set by hand."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from renderer.ground.tracks import Track, make_track, merged
from renderer.ground.tree import Link
from renderer.ground.walk import Walk, walk
from tests.ground import plain


def square(left: float, low: float, side: float, ccw: bool = True) -> np.ndarray:
    ring = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], dtype=float) * side + [left, low]
    return ring if ccw else ring[::-1]


def track(name: str, ring: np.ndarray, kind: str = "island") -> Track:
    return make_track(name, kind, name.title(), "Lawn", 0, ring)


def edge(one: int, two: int, *line: tuple[float, float], crossing: bool = False) -> Link:
    return Link(one, two, np.array(line, dtype=float), crossing)


def field(clockwise: bool = False) -> list[Track]:
    """An edge of 20 x 20 with three square beds; A and B in a row from the south, C to the east."""
    rings = [
        square(0, 0, 20),
        square(4, 4, 2, False),
        square(4, 9, 2, False),
        square(14, 4, 2, False),
    ]
    turned = [ring[::-1] if clockwise else ring for ring in rings]
    return [
        track("edge", turned[0], "outer"),
        *(track(n, r) for n, r in zip("abc", turned[1:], strict=True)),
    ]


PAIRS = [edge(0, 1, (5, 0), (5, 4)), edge(2, 1, (5, 9), (5, 6)), edge(0, 3, (15, 0), (15, 4))]


def parts(walked: Walk) -> list[str]:
    """What is walked in order: rings by name, lead pairs as > out and < back."""
    sign = {False: ">", True: "<"}
    return [
        sign[leg.back] + leg.of if leg.kind in ("lead", "crossing") else leg.of
        for leg in walked.legs[1:-1]
    ]


def test_out_along_each_pair_round_and_back() -> None:
    walked = walk(field(), PAIRS, 0, (10.0, np.array([10.0, 0.0])), 0.3)
    c, a = [">C", "C", "<C"], [">A", "A", ">B", "B", "<B", "A", "<A"]
    assert parts(walked) == ["Edge", *c, "Edge", *a, "Edge"]
    assert [ring.of for ring in walked.rings] == ["Edge", "C", "A", "B"]
    assert [(lead.id, lead.of) for lead in walked.leads] == [("L1", "C"), ("L2", "A"), ("L3", "B")]
    assert walked.at_m[-1] == pytest.approx(0.3 + 80 + 3 * 8 + 2 * (4 + 4 + 3))
    assert walked.legs[-1].to_m == pytest.approx(walked.at_m[-1] + 0.3)


def test_clockwise_the_pairs_come_the_other_way_round() -> None:
    walked = walk(field(True), PAIRS, 0, (50.0, np.array([10.0, 0.0])), 0.3)
    assert [leg for leg in parts(walked) if leg[0] == ">"] == [">A", ">B", ">C"]
    assert plain.shoelace(walked.path) == pytest.approx(-(400 - 3 * 4))


def test_the_working_area_is_on_the_same_hand_all_the_way() -> None:
    walked = walk(field(), PAIRS, 0, (10.0, np.array([10.0, 0.0])), 0.0)
    assert plain.shoelace(walked.path) == pytest.approx(400 - 3 * 4)
    places = np.array([[2.0, 2], [5, 5], [5, 10], [15, 5], [25, 5], [10, 15]])
    assert plain.winding(walked.path, places).tolist() == [1, 0, 0, 0, 0, 1]


def test_a_start_without_any_pair_walks_the_ring_once() -> None:
    walked = walk(field()[:1], [], 0, (0.0, np.array([0.0, 0.0])), 0.3)
    assert parts(walked) == ["Edge"]
    assert walked.at_m[-1] - walked.at_m[0] == pytest.approx(80)


def test_rings_that_no_pair_reaches_are_not_walked() -> None:
    walked = walk(field(), PAIRS[:1], 0, (10.0, np.array([10.0, 0.0])), 0.3)
    assert walked.reached == {0, 1}
    assert {ring.of for ring in walked.rings} == {"Edge", "A"}


def test_crossings_are_legs_of_their_own_kind() -> None:
    tracks = [track("west", square(0, 0, 10), "outer"), track("east", square(14, 0, 10), "outer")]
    walked = walk(
        tracks, [edge(0, 1, (10, 5), (12, 7), (14, 5), crossing=True)], 0, (0.0, np.zeros(2)), 0.3
    )
    kinds = [leg.kind for leg in walked.legs]
    assert kinds == ["tail", "outer", "crossing", "outer", "crossing", "outer", "tail"]
    assert plain.shoelace(walked.path) == pytest.approx(200)


def test_the_path_is_rounded_before_it_is_measured() -> None:
    ring = square(1 / 3, 1 / 7, 9.87654321)
    walked = walk([track("edge", ring, "outer")], [], 0, (0.0, ring[0]), 1.23)
    assert np.array_equal(walked.path, np.round(walked.path, 4))
    steps = np.hypot(*np.diff(walked.path, axis=0).T)
    assert np.array_equal(walked.at_m, 1.23 + np.concatenate([[0], np.cumsum(steps)]))
    assert not walked.path.flags.writeable


def test_a_chain_of_thousands_of_islands_is_no_matter() -> None:
    count = 3000
    tracks = [track("edge", square(-10, -10, 9), "outer")]
    tracks += [track(f"i{k}", square(2 * k, 0, 1, False)) for k in range(count)]
    pairs = [edge(0, 1, (-1, -1), (0, 0))]
    pairs += [edge(k, k + 1, (2 * k - 1, 0.5), (2 * k, 0.5)) for k in range(1, count)]
    walked = walk(tracks, pairs, 0, (0.0, np.array([-10.0, -10.0])), 0.3)
    assert len(walked.rings) == count + 1
    assert plain.shoelace(walked.path) == pytest.approx(81 - count)


@settings(max_examples=60, deadline=None, derandomize=True, database=None)
@given(st.data())
def test_any_tree_is_walked_with_its_pairs_nested(data: st.DataObject) -> None:
    """Squares on a grid joined by a random tree, each pair between two free places."""
    count = data.draw(st.integers(2, 25))
    tracks = [track(f"r{k}", square(10 * (k % 5), 10 * (k // 5), 4)) for k in range(count)]
    root = data.draw(st.integers(0, count - 1))
    used: dict[int, set[int]] = {k: set() for k in range(count)}
    used[root].add(0)
    pairs = []
    for child in range(1, count):
        parent = data.draw(st.integers(0, child - 1))
        ends = []
        for node in (parent, child):
            run = data.draw(st.integers(0, 159).filter(lambda n, node=node: n not in used[node]))
            used[node].add(run)
            ends.append(tuple(tracks[node].at(run / 10).round(4)))
        pairs.append(edge(parent, child, *ends))
    walked = walk(tracks, pairs, root, (0.0, tracks[root].points[0]), 0.3)
    assert plain.shoelace(walked.path) == pytest.approx(16 * count, abs=1e-3)
    total = 16 * count + 2 * sum(pair.length_m for pair in pairs)
    assert walked.at_m[-1] - walked.at_m[0] == pytest.approx(total, abs=0.1)
    open_pairs: list[str] = []
    for leg in walked.legs:
        if leg.kind == "lead" and leg.back:
            assert open_pairs.pop() == leg.part
        elif leg.kind == "lead":
            open_pairs.append(leg.part)
    assert open_pairs == []
    assert all(a.to_m == b.from_m for a, b in pairwise(walked.legs))


def test_places_on_a_track_snap_to_its_corners() -> None:
    edge_track = field()[0]
    assert edge_track.locate((19.9985, -0.5)) == (20.0, (20.0, 0.0))
    at, place = edge_track.locate((7.12344, -3))
    assert (at, place) == (pytest.approx(7.12344), (7.1234, 0.0))


def test_barred_stretches_wrap_round_the_ring() -> None:
    assert merged(((-1, 2), (1, 3), (70, 85)), 80) == [(0.0, 5), (70, 80)]
    assert merged(((5, 90),), 80) == [(0.0, 80)]
    edge_track = field()[0]
    left = edge_track.legal(((-1.0, 2.0), (30.0, 41.0)))
    assert left.length == pytest.approx(80 - 3 - 11)
    assert left.distance(shapely.Point(0, 0)) == pytest.approx(1, abs=1e-6)
