"""Pegs keep every sentence of the rule, on walks made by hand and on random ones."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from renderer.ground.lay import Peg
from renderer.ground.pegs import set_pegs
from renderer.trade import CONTROL_MOST_M
from tests.ground.walks import (
    Made,
    arc,
    circle,
    made,
    plain,
    rounded_rectangle,
    with_islands,
)

FIRST, FINAL, SAG = 3.0, 0.75, 0.02
FLAT_M = 1.6e-4  # what the chords of the flattened circle depart from it
TOLERANCE_M = 3e-4  # the path is rounded to 0.1 mm


def pegs_of(
    walk: Made,
    splices: tuple[float, ...] = (),
    *,
    first: float = FIRST,
    final: float = FINAL,
    sag: float = SAG,
    number: int = 1,
) -> tuple[Peg, ...]:
    return set_pegs(
        walk.path,
        walk.at_m,
        walk.legs,
        splices,
        spacing_first=first,
        spacing_final=final,
        sag=sag,
        first_number=number,
    )


def held_at(pegs: tuple[Peg, ...], *, first_only: bool = False) -> list[float]:
    """All running distances at which a peg holds the wire."""
    some = [peg for peg in pegs if peg.round == 1 or not first_only]
    return sorted(
        {round(at, 6) for peg in some for at in (peg.at_m, peg.also_at_m) if at is not None}
    )


def place(walk: Made, at: float) -> tuple[float, float]:
    return (
        float(np.interp(at, walk.at_m, walk.path[:, 0])),
        float(np.interp(at, walk.at_m, walk.path[:, 1])),
    )


def worst_sag(walk: Made, held: list[float]) -> float:
    """Greatest distance of the wire from the chords between neighbouring pegs, by shapely."""
    worst = 0.0
    for one, two in pairwise(held):
        chord = shapely.LineString([place(walk, one), place(walk, two)])
        inner = walk.path[(walk.at_m > one) & (walk.at_m < two)]
        if len(inner):
            worst = max(worst, float(shapely.distance(chord, shapely.points(inner)).max()))
    return worst


def corner_places(walk: Made, least_deg: float = 20.0) -> list[float]:
    """Plain corners, by their turn over 1.2 mm on either side, so that rounding makes none."""
    found = []
    for leg in walk.legs:
        if leg.kind == "tail" or leg.back:
            continue
        for at in walk.at_m[(walk.at_m > leg.from_m + 1e-3) & (walk.at_m < leg.to_m - 1e-3)]:
            before, here, after = (np.array(place(walk, at + d)) for d in (-1.2e-3, 0.0, 1.2e-3))
            one, two = here - before, after - here
            cross = one[0] * two[1] - one[1] * two[0]
            turn = abs(math.degrees(math.atan2(cross, float(one @ two))))
            if turn >= least_deg + 12.0 and not any(abs(at - other) < 1e-3 for other in found):
                found.append(float(at))
    return found


def assert_rule_kept(
    walk: Made, pegs: tuple[Peg, ...], first: float = FIRST, final: float = FINAL, sag: float = SAG
) -> None:
    """The contract's sentences on pegs, read off the wire."""
    both, alone = held_at(pegs), held_at(pegs, first_only=True)
    assert max(np.diff(both)) <= final + TOLERANCE_M
    assert max(np.diff(alone)) <= first + TOLERANCE_M
    assert worst_sag(walk, both) <= sag + 1e-6
    assert worst_sag(walk, alone) <= sag + 1e-6
    for at in corner_places(walk):
        assert min(abs(at - held) for held in alone) <= 1.1e-3
    ends = {leg.from_m for leg in walk.legs[1:-1]} | {leg.to_m for leg in walk.legs[1:-1]}
    for end in ends:
        assert min(abs(end - held) for held in alone) <= 1e-5
    backs = [leg for leg in walk.legs if leg.back and leg.kind != "tail"]
    for peg in pegs:
        assert not any(leg.from_m + 1e-5 < peg.at_m < leg.to_m - 1e-5 for leg in backs)
        assert (peg.x, peg.y) == pytest.approx(place(walk, peg.at_m), abs=1e-6)
        if peg.also_at_m is not None:
            assert (peg.x, peg.y) == pytest.approx(place(walk, peg.also_at_m), abs=2e-4)
    order = [peg.at_m for peg in pegs]
    assert order == sorted(order)
    assert len(held_at(pegs)) == sum(1 + (peg.also_at_m is not None) for peg in pegs)


def test_a_rectangle_takes_the_fewest_pegs_that_keep_the_spacing() -> None:
    sides = (13.4, 11.4, 19.1, 11.4, 5.7)
    walk = plain([(6, 0.3), (19.4, 0.3), (19.4, 11.7), (0.3, 11.7), (0.3, 0.3)])
    pegs = pegs_of(walk)
    counts = [math.ceil(side / FINAL) for side in sides]
    assert len(pegs) == sum(counts)
    groups = [
        math.ceil(count / math.floor(FIRST / (side / count)))
        for side, count in zip(sides, counts, strict=True)
    ]
    assert sum(peg.round == 1 for peg in pegs) == sum(groups)
    assert [peg.reason for peg in pegs].count("corner") == 4
    assert_rule_kept(walk, pegs)


@pytest.mark.parametrize("spacing", [0.1, 0.3, 0.6, 0.75, 0.7, 1.1, 0.3048])
@pytest.mark.parametrize("times", [1, 2, 7, 49, 100])
def test_a_straight_of_whole_spacings_gets_no_peg_too_many(spacing: float, times: int) -> None:
    side = spacing * times
    for angle in (0.0, 0.3, 1.1):
        c, s = side * math.cos(angle), side * math.sin(angle)
        walk = plain([(0, 0), (c, s), (c - s, s + c), (-s, c)])
        assert len(pegs_of(walk, first=spacing, final=spacing)) == 4 * times
        pegs = pegs_of(walk, first=3 * spacing, final=spacing)
        assert sum(peg.round == 1 for peg in pegs) == 4 * math.ceil(times / 3)


def test_first_pass_fits_whole_groups_of_the_final_spacing() -> None:
    walk = plain([(0, 0), (12, 0), (12, 12), (0, 12)])
    first = [peg.at_m for peg in pegs_of(walk) if peg.round == 1]
    assert np.diff(first) == pytest.approx([3.0] * 15)


@pytest.mark.parametrize("radius", [0.4, 0.8, 1.3, 3.0, 8.0, 25.0])
@pytest.mark.parametrize("sag", [0.005, 0.02])
def test_a_round_island_takes_equal_chords_by_the_sag(radius: float, sag: float) -> None:
    walk = plain(circle(5, 5, radius))
    pegs = pegs_of(walk, sag=sag)
    by_sag, at_most = (math.pi / math.acos(1.0 - s / radius) for s in (sag, sag - FLAT_M))
    by_spacing = math.tau * radius / FINAL
    assert math.ceil(max(by_sag, by_spacing) - 1e-3) <= len(pegs)
    assert len(pegs) <= math.ceil(max(at_most, by_spacing))
    gaps = np.diff([*(peg.at_m for peg in pegs), walk.end])
    assert gaps == pytest.approx([gaps[0]] * len(gaps), abs=1e-6)
    assert_rule_kept(walk, pegs, sag=sag)


def test_a_lead_pair_is_pegged_once_for_both_wires() -> None:
    ring = [(6.0, 0.3), (10.0, 0.3), (19.7, 0.3), (19.7, 11.7), (0.3, 11.7), (0.3, 0.3)]
    walk = with_islands(ring, {1: (circle(10, 6, 1.3), [])})
    pegs = pegs_of(walk)
    out = next(leg for leg in walk.legs if leg.kind == "lead" and not leg.back)
    shared = [peg for peg in pegs if peg.also_at_m is not None]
    assert [peg.reason for peg in shared].count("lead") == 2
    assert [peg.reason for peg in shared].count("dock") == 1
    inner = [peg for peg in shared if out.from_m < peg.at_m < out.to_m and peg.reason != "lead"]
    assert len(inner) == math.ceil(4.4 / FINAL) - 1
    for peg in inner:
        assert place(walk, peg.also_at_m or 0.0) == pytest.approx((peg.x, peg.y), abs=1e-4)
    assert pegs[0].also_at_m == pytest.approx(walk.end)
    assert_rule_kept(walk, pegs)


def test_a_pair_that_goes_round_a_thing_is_pegged_at_its_turns() -> None:
    ring = [(2.0, 0.0), (10.0, 0.0), (20.0, 0.0), (20.0, 15.0), (0.0, 15.0), (0.0, 0.0)]
    walk = with_islands(ring, {1: (circle(10, 12, 1.0), [(8.0, 5.0), (8.7, 9.0)])})
    pegs = pegs_of(walk)
    turned = [(peg.x, peg.y) for peg in pegs if peg.reason == "corner" and peg.also_at_m]
    assert turned == [pytest.approx((8.0, 5.0)), pytest.approx((8.7, 9.0))]
    assert_rule_kept(walk, pegs)


def test_two_pairs_from_one_point_share_one_peg() -> None:
    ring = np.array([(0.0, 0.0), (10.0, 0.0), (20.0, 0.0), (20.0, 15.0), (0.0, 15.0), (0.0, 0.0)])
    one, two = circle(7, 6, 1.0), circle(13, 6, 1.0)
    pieces = [("outer", "Lawn", "outer-1", False, ring[:2])]
    for n, island in enumerate((one, two), 1):
        lead = np.array([ring[1], island[0]])
        around = np.concatenate((island, island[:1]))
        pieces += [
            ("lead", f"Bed {n}", f"L{n}", False, lead),
            ("island", f"Bed {n}", f"island-{n}", False, around),
            ("lead", f"Bed {n}", f"L{n}", True, lead[::-1]),
        ]
    pieces.append(("outer", "Lawn", "outer-1", False, ring[1:]))
    walk = made(pieces)  # type: ignore[arg-type]
    here = [peg for peg in pegs_of(walk) if math.hypot(peg.x - 10.0, peg.y) < 1e-6]
    assert len(here) == 1
    backs = [leg for leg in walk.legs if leg.back and leg.kind == "lead"]
    assert here[0].also_at_m == pytest.approx(backs[-1].to_m)


def test_a_crossing_is_pegged_once_with_a_peg_at_both_ends() -> None:
    near = np.array([(0.0, 0.0), (5.0, 0.0), (10.0, 0.0), (10.0, 8.0), (0.0, 8.0), (0.0, 0.0)])
    way = np.array([(5.0, 0.0), (5.0, -3.0)])
    far = np.array([(5.0, -3.0), (0.0, -3.0), (0.0, -9.0), (10.0, -9.0), (10.0, -3.0), (5.0, -3.0)])
    walk = made(
        [
            ("outer", "Rear", "outer-1", False, near[:2]),
            ("crossing", "Front", "L1", False, way),
            ("outer", "Front", "outer-2", False, far),
            ("crossing", "Front", "L1", True, way[::-1]),
            ("outer", "Rear", "outer-1", False, near[1:]),
        ]
    )
    pegs = pegs_of(walk)
    ends = [peg for peg in pegs if peg.reason == "lead"]
    assert [(peg.x, peg.y) for peg in ends] == [(5.0, 0.0), (5.0, -3.0)]
    assert all(peg.control and peg.also_at_m for peg in ends)
    assert_rule_kept(walk, pegs)


def test_straights_meet_a_curve_at_a_peg() -> None:
    walk = plain(rounded_rectangle(0.3, 0.3, 19.7, 11.7, 1.5, (6.0, 0.3)))
    pegs = pegs_of(walk)
    tangents = [(1.8, 0.3), (18.2, 0.3), (19.7, 1.8), (19.7, 10.2)]
    for x, y in tangents:
        near = min(pegs, key=lambda peg: math.hypot(peg.x - x, peg.y - y))
        assert math.hypot(near.x - x, near.y - y) < 1e-3
        assert (near.reason, near.round, near.control) == ("curve", 1, True)
    bend = [peg for peg in pegs if peg.x > 18.2 and peg.y < 1.8]
    assert len(bend) + 1 == math.ceil(math.pi / 4 / math.acos(1.0 - SAG / 1.5))
    assert not [peg for peg in pegs if peg.reason == "corner"]
    assert_rule_kept(walk, pegs)


def test_a_bend_too_short_for_two_pegs_gets_one() -> None:
    walk = plain(rounded_rectangle(0.0, 0.0, 12.0, 8.0, 0.05, (6.0, 0.0)))
    pegs = pegs_of(walk)
    corner = [peg for peg in pegs if math.hypot(peg.x - 12.0, peg.y) < 0.3]
    assert len(corner) == 1
    assert corner[0].control
    assert_rule_kept(walk, pegs)


def test_a_measured_outline_of_long_gentle_facets_keeps_the_sag() -> None:
    walk = plain(arc(0, 0, 12.0, 0, 345, 34))  # facets of 2.1 m that turn by ten degrees
    pegs = pegs_of(walk)
    assert_rule_kept(walk, pegs)
    assert [peg.reason for peg in pegs].count("corner") <= 2


def test_a_corner_of_several_points_within_a_millimetre_is_one_corner() -> None:
    tight = arc(9.9995, 0.0005, 0.0005, -90, 0, 6)
    walk = plain(np.concatenate(([(0.0, 0.0)], tight, [(10.0, 8.0), (0.0, 8.0)])))
    corners = [peg for peg in pegs_of(walk) if peg.reason == "corner"]
    assert len(corners) == 3
    assert min(math.hypot(peg.x - 10.0, peg.y) for peg in corners) < 1e-3


def test_rounding_of_points_close_together_makes_no_corner() -> None:
    along = np.column_stack((np.linspace(0, 12, 40_001), 0.0003 * np.ones(40_001)))
    along[::2, 1] = 0.00034  # the grid makes steps of 0.1 mm, up and down, of this
    walk = plain(np.concatenate((along, [(12, 9), (0, 9)])))
    assert [peg.reason for peg in pegs_of(walk)].count("corner") == 3


@pytest.mark.parametrize("least", [19.0, 21.0])
def test_a_corner_turns_by_twenty_degrees_or_more(least: float) -> None:
    rise = 5 * math.tan(math.radians(least))
    walk = plain([(0, 0), (5, 0), (10, rise), (10, 20), (0, 20)])
    reasons = {
        round(peg.x): peg.reason for peg in pegs_of(walk) if math.hypot(peg.x - 5, peg.y) < 1e-3
    }
    assert reasons == {5: "corner" if least > 20 else "curve"}


def test_a_curve_of_changing_radius_takes_chords_as_long_as_the_sag_allows() -> None:
    angles = np.linspace(0.0, 3.0 * math.pi, 2000)
    spiral = np.column_stack((np.cos(angles), np.sin(angles))) * np.exp(0.3 * angles)[:, None]
    walk = plain(np.concatenate((spiral, [(0.0, -30.0), (1.0, -30.0)])))
    pegs = pegs_of(walk, first=9.0, final=9.0)
    ends = [0.3, *(peg.at_m for peg in pegs if peg.reason == "curve")]
    sags = [worst_sag(walk, list(pair)) for pair in pairwise(ends)]
    assert sags[:-2] == pytest.approx([SAG] * len(sags[:-2]), rel=0.01)
    assert_rule_kept(walk, pegs, 9.0, 9.0)


def test_a_hairpin_narrower_than_the_sag_is_still_held_at_its_end() -> None:
    for half in (0.01, 0.015, 0.03, 0.045):
        tip = arc(3.0, 0.0, half, -90, 90, 12)
        walk = plain(np.concatenate(([(0.0, -half)], tip, [(0.0, half), (-1.0, 0.0)])))
        pegs = pegs_of(walk, sag=0.05)
        assert_rule_kept(walk, pegs, sag=0.05)
        assert max(peg.x for peg in pegs) >= 3.0 + half - 0.05 - 1e-6


def test_a_splice_is_held_on_both_sides_and_not_by_more_than_that() -> None:
    walk = plain([(0, 0), (12, 0), (12, 9), (0, 9)])
    pegs = pegs_of(walk, (6.0, 12.3 + 0.12, 20.0))
    for splice in (6.0, 12.42, 20.0):
        before = [peg for peg in pegs if 1e-3 < splice - peg.at_m <= 0.15]
        after = [peg for peg in pegs if 1e-3 < peg.at_m - splice <= 0.15]
        assert len(before) == len(after) == 1
        assert all(peg.round == 1 and peg.control for peg in before + after)
    assert [peg.reason for peg in pegs].count("splice") == 5  # the corner at 12.3 holds one side
    assert not [peg for peg in pegs if min(abs(peg.at_m - s) for s in (6.0, 20.0)) < 0.05]
    assert_rule_kept(walk, pegs)


def test_a_splice_in_the_second_wire_of_a_pair_is_held_there_too() -> None:
    ring = [(2.0, 0.0), (10.0, 0.0), (20.0, 0.0), (20.0, 15.0), (0.0, 15.0), (0.0, 0.0)]
    walk = with_islands(ring, {1: (circle(10, 9, 1.0), [])})
    back = next(leg for leg in walk.legs if leg.back and leg.kind == "lead")
    at = back.from_m + 3.0
    held = [peg for peg in pegs_of(walk, (at,)) if peg.reason == "splice"]
    assert sorted(peg.also_at_m or 0.0 for peg in held) == pytest.approx([at - 0.1, at + 0.1])


def test_numbers_run_on_from_the_first_number() -> None:
    walk = plain([(0, 0), (12, 0), (12, 9), (0, 9)])
    numbers = [int(peg.id) for peg in pegs_of(walk, number=41)]
    assert numbers == list(range(41, 41 + len(numbers)))


def test_control_pegs_are_of_the_first_pass_and_never_far_apart() -> None:
    walk = plain([(0, 0), (90, 0), (90, 60), (0, 60)])
    controls = [peg for peg in pegs_of(walk) if peg.control]
    assert all(peg.round == 1 for peg in controls)
    gaps = np.diff([*(peg.at_m for peg in controls), walk.end])
    assert max(gaps) <= CONTROL_MOST_M
    assert len(controls) == 2 * math.ceil(90 / 24) + 2 * math.ceil(60 / 24)


def test_forty_thousand_points_are_pegged_in_well_under_a_second() -> None:
    angles = np.linspace(0, math.tau, 40_000, endpoint=False)
    reach = 100 * (1 + 0.2 * np.cos(5 * angles) + 0.01 * np.sin(90 * angles))
    walk = plain(np.column_stack((reach * np.cos(angles), reach * np.sin(angles))))
    pegs = pegs_of(walk)
    both = held_at(pegs)
    assert max(np.diff(both)) <= FINAL + TOLERANCE_M


@st.composite
def walks(draw: st.DrawFn) -> Made:
    """A ring with corners, rounded or not, many points or few, and up to three islands."""
    count = draw(st.integers(4, 24))
    turns = np.sort(draw(st.lists(st.floats(0, 1), min_size=count, max_size=count, unique=True)))
    reach = np.array(draw(st.lists(st.floats(3, 15), min_size=count, max_size=count)))
    angles = math.tau * (np.arange(count) + 0.8 * turns) / count
    ring = np.column_stack((reach * np.cos(angles), reach * np.sin(angles)))
    shape = shapely.Polygon(ring)
    radius = draw(st.sampled_from([0.0, 0.05, 0.3, 1.0, 3.0]))
    if radius:
        quad = draw(st.sampled_from([6, 16, 64]))
        shape = shape.buffer(radius, quad_segs=quad)
    points = np.round(shapely.get_coordinates(shape.exterior)[:-1], 4)
    steps = np.hypot(*np.diff(np.concatenate((points, points[:1])), axis=0).T)
    points = points[steps > 0]
    islands = {}
    for index in draw(st.lists(st.integers(1, len(points) - 1), max_size=3, unique=True)):
        size, start = draw(st.floats(0.3, 2.0)), draw(st.floats(0, 360))
        islands[index] = (circle(0.5, 0.25, size, start), [(1.0, 2.0)])
    return with_islands(points, islands)


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(walks(), st.sampled_from([(3.0, 0.75), (0.75, 0.75), (4.0, 0.9), (2.0, 0.3)]),
       st.sampled_from([0.005, 0.02, 0.05]))  # fmt: skip
def test_the_rule_holds_on_random_walks(
    walk: Made, spacing: tuple[float, float], sag: float
) -> None:
    first, final = spacing
    pegs = pegs_of(walk, first=first, final=final, sag=sag)
    assert_rule_kept(walk, pegs, first, final, sag)
