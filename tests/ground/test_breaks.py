"""Breaks found by halves: segments, order of tests, tests at places."""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from renderer.geometry.lines import points_at
from renderer.ground.breaks import (
    HalfTest,
    half_split,
    probes,
    turns_needed,
)
from renderer.ground.lay import LoopLay
from renderer.plan import load, loads
from renderer.trade import TEST_SEGMENT_M
from tests.shared import lay_plan

GARDEN = """
plan: 1
job: {number: T}
machine: {label: Any, setback: {wall: 0.3, bed: 0.3}, passage_min: 1, loop_max: 900, tail: 0.3}
lawns: [{name: L, outline: [[0, 0, wall], [W, 0, wall], [W, 30, wall], [0, 30, wall]]}]
obstacles: [{name: B, kind: bed, circle: {at: [20, 15], radius: 1}}]
loops: [{dock: {at: [5, 0.3]}}]
wire: {conductor_mm2: 0.75, spools: [SPOOLS]}
"""


@lru_cache
def loop(width: int = 40, spools: str = "") -> LoopLay:
    plan = loads(GARDEN.replace("W,", f"{width},").replace("SPOOLS", spools), "a.yaml")
    (found,) = lay_plan(plan).loops
    return found


def steps(tests: tuple[HalfTest, ...], broken: int) -> tuple[int, int]:
    """The segment that the order of tests ends at, and how many tests that took."""
    by_place = {test.place: test for test in tests}
    test = next(test for test in tests if test.turn == 1)
    count = 0
    while True:
        count += 1
        assert test.turn == count
        whole = broken > test.place
        following = test.if_whole if whole else test.if_open
        if following is None:
            return test.place + whole, count
        test = by_place[following]


def test_eight_segments_take_three_tests() -> None:
    assert turns_needed(8) == 3
    order = half_split(8)
    assert [test.place for test in order] == [1, 2, 3, 4, 5, 6, 7]
    assert [test.place for test in order if test.turn == 1] == [4]
    assert max(test.turn for test in order) == 3


@given(st.integers(2, 200))
def test_the_order_ends_at_the_broken_segment_within_the_promised_tests(segments: int) -> None:
    order = half_split(segments)
    for broken in range(1, segments + 1):
        found, count = steps(order, broken)
        assert found == broken
        assert count <= turns_needed(segments) == (segments - 1).bit_length()


def test_one_segment_needs_no_test_and_none_is_an_error() -> None:
    assert half_split(1) == ()
    assert turns_needed(1) == 0
    with pytest.raises(ValueError, match="cannot hold a break"):
        half_split(0)


def pieces(wire: LoopLay, most_m: float = TEST_SEGMENT_M) -> list[float]:
    at = [0.0, *(probe.at_m for probe in probes(wire, most_m)), wire.length_m]
    return [b - a for a, b in pairwise(at)]


def pair_at(wire: LoopLay, at_m: float) -> bool:
    return any(
        leg.kind in ("lead", "crossing") and leg.from_m <= at_m <= leg.to_m for leg in wire.legs
    )


@pytest.mark.parametrize("width", [25, 40, 60, 97])
def test_segments_are_short_enough_and_as_few_as_can_be(width: int) -> None:
    wire = loop(width)
    found = pieces(wire)
    assert max(found) <= TEST_SEGMENT_M + 1e-6
    assert min(found) > 0.3 * TEST_SEGMENT_M
    assert len(found) <= math.ceil(wire.length_m / TEST_SEGMENT_M) + 1
    assert not any(pair_at(wire, probe.at_m) for probe in probes(wire))


def test_a_splice_is_a_test_point() -> None:
    wire = loop(40, "100, 100")
    (splice,) = wire.splices
    assert [probe.splice for probe in probes(wire)].count("S1") == 1
    (at_splice,) = [probe for probe in probes(wire) if probe.splice]
    assert (at_splice.at_m, at_splice.x, at_splice.y) == (splice.at_m, splice.x, splice.y)
    assert max(pieces(wire)) <= TEST_SEGMENT_M + 1e-6


def test_a_pair_longer_than_a_segment_is_tested_on_the_pair() -> None:
    wire = loop(40)
    most = 6.0
    assert max(leg.length_m for leg in wire.legs if leg.kind == "lead") > most
    assert max(pieces(wire, most)) <= most + 1e-6


def test_probes_lie_on_the_wire_at_their_distance(any_plan: Path) -> None:
    for wire in lay_plan(load(any_plan)).loops:
        found = probes(wire)
        places = points_at(wire.path, wire.at_m, [probe.at_m for probe in found] or [1.0])
        for probe, (x, y) in zip(found, places, strict=False):
            assert math.dist((probe.x, probe.y), (x, y)) < 1e-4
        assert max(pieces(wire)) <= TEST_SEGMENT_M + 1e-6
        assert {probe.splice for probe in found} - {""} == {each.id for each in wire.splices}
        longest = max(
            (leg.length_m for leg in wire.legs if leg.kind in ("lead", "crossing")), default=0
        )
        if longest + 1.0 < TEST_SEGMENT_M / 2:
            assert not any(pair_at(wire, probe.at_m) for probe in found if not probe.splice)
