"""Necks: which ground parts, which joins, and what is told about it.

Gaps are measured wire to wire, so a bed of radius R - 0.3 with a setback of 0.3 has a ring of R.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.ground.gardens import box, box_bed, figures, lay_of, round_bed
from tests.ground.wire_rules import violations

if TYPE_CHECKING:
    from renderer.ground.lay import Cut, Lay

GAPS = [0.02, 0.3, 0.6, 0.75, 0.9, 0.97, 0.995, 1.005, 1.02]  # shares of the least passage
RADII = [0.4, 0.6, 1.3, 2.3, 5.0]


def islands(lay: Lay) -> list[str]:
    return sorted(ring.of for loop in lay.loops for ring in loop.rings if ring.kind == "island")


def told(lay: Lay, kind: str) -> list[Cut]:
    return [cut for cut in lay.cuts if cut.kind == kind]


@pytest.mark.parametrize("passage", [0.8, 1.5])
@pytest.mark.parametrize("radius", RADII)
@pytest.mark.parametrize("share", GAPS)
def test_islands_nearer_than_the_passage_share_a_ring(
    share: float, radius: float, passage: float
) -> None:
    far = 2 * radius + share * passage
    things = [
        round_bed(15, 10, radius - 0.3, "West"),
        round_bed(15 + far, 10, radius - 0.3, "East"),
    ]
    plan, lay = lay_of(box(44, 20), things, machine=figures(passage_min=passage))
    if share > 1:
        assert islands(lay) == ["East", "West"]
        assert lay.cuts == ()
    else:
        assert [set(name.split(" + ")) for name in islands(lay)] == [{"East", "West"}]
        (cut,) = lay.cuts
        assert cut.kind == "merge"
        assert set(cut.of) == {"East", "West"}
        assert cut.width_m == pytest.approx(share * passage, abs=1e-3)
        assert cut.at == pytest.approx((15 + far / 2, 10), abs=5e-3)
    assert violations(plan, lay) == []


@pytest.mark.parametrize("radius", RADII)
@pytest.mark.parametrize("share", GAPS)
def test_an_island_near_the_edge_becomes_a_bay(share: float, radius: float) -> None:
    plan, lay = lay_of(box(30, 24), [round_bed(15, 0.3 + radius + share, radius - 0.3, "Bed")])
    if share > 1:
        assert islands(lay) == ["Bed"]
        assert lay.cuts == ()
    else:
        assert islands(lay) == []
        (cut,) = lay.cuts
        assert (cut.kind, cut.of) == ("bay", ("Bed",))
        assert cut.width_m == pytest.approx(share, abs=1e-3)
    assert violations(plan, lay) == []


@pytest.mark.parametrize("radius", RADII)
def test_setbacks_that_overlap_make_one_island_and_say_so(radius: float) -> None:
    things = [
        round_bed(12, 10, radius - 0.3, "A"),
        round_bed(11.9 + 2 * radius, 10, radius - 0.3, "B"),
    ]
    _, lay = lay_of(box(44, 20), things)
    assert [set(name.split(" + ")) for name in islands(lay)] == [{"A", "B"}]
    assert [set(cut.of) for cut in told(lay, "overlap")] == [{"A", "B"}]


def dumbbell(width: float, length: float = 2.0) -> list[tuple[float, float]]:
    """Two lawns of 10 x 10 joined by a strip whose wires are ``width`` apart."""
    half, right = width / 2 + 0.3, 10 + length
    low, high = 5 - half, 5 + half
    west = [(0, 0), (10, 0), (10, low), (right, low), (right, 0)]
    return [
        *west,
        (right + 10, 0),
        (right + 10, 10),
        (right, 10),
        (right, high),
        (10, high),
        (10, 10),
        (0, 10),
    ]


@pytest.mark.parametrize("length", [0.05, 0.6, 2.0, 9.0])
@pytest.mark.parametrize("width", [0.01, 0.3, 0.6, 0.9, 0.99, 1.005, 1.1])
def test_a_pinched_lawn_becomes_two_working_areas_joined_by_a_pair(
    width: float, length: float
) -> None:
    plan, lay = lay_of(dumbbell(width, length))
    parts = lay.lawns[0].working.geoms
    if width > 1:
        assert len(parts) == 1
        assert lay.cuts == ()
    else:
        assert len(parts) == 2
        (cut,) = lay.cuts
        assert cut.kind == "pinch"
        assert cut.width_m == pytest.approx(width, abs=1e-3)
        assert [lead.kind for lead in lay.loops[0].leads] == ["lead"]
        assert {ring.kind for ring in lay.loops[0].rings} == {"outer"}
    assert violations(plan, lay) == []


def tongue(depth: float, width: float = 0.6, height: float = 10.0) -> list[tuple[float, float]]:
    """A lawn of 10 x ``height`` with a blind strip to the east, wires ``width`` apart."""
    low = height / 2 - width / 2 - 0.3
    return [
        (0, 0),
        (10, 0),
        (10, low),
        (10 + depth, low),
        (10 + depth, low + width + 0.6),
        (10, low + width + 0.6),
        (10, height),
        (0, height),
    ]


@pytest.mark.parametrize("passage", [0.8, 1.0, 1.5])
def test_a_short_dead_end_stays_and_a_deep_one_is_cut(passage: float) -> None:
    machine = figures(passage_min=passage)
    plan, lay = lay_of(tongue(1.5 * passage), machine=machine)
    assert lay.cuts == ()
    assert lay.lawns[0].working.bounds[2] == pytest.approx(10 + 1.5 * passage - 0.3, abs=1e-3)
    assert violations(plan, lay) == []
    plan, lay = lay_of(tongue(3 * passage), machine=machine)
    (cut,) = lay.cuts
    assert cut.kind == "dead_end"
    assert cut.depth_m is not None and cut.depth_m > 2 * passage
    assert lay.lawns[0].working.bounds[2] < 10
    assert violations(plan, lay) == []


def test_the_depth_of_a_dead_end_counts_from_where_the_disc_stops() -> None:
    """Round the mouth the wire bends on arcs of 0.3, and the disc looks in between them."""
    for depth, kept in ((1.95, True), (2.6, False)):
        _, lay = lay_of(tongue(depth))
        assert (lay.cuts == ()) is kept, depth


def slit(wide: float, deep: float) -> list[tuple[float, float]]:
    """A lawn whose far side opens into a strip that leaves a slit between its wires."""
    left, right = 6 - 0.3 - wide / 2, 6 + 0.3 + wide / 2
    end = 8 + deep + 0.3
    return [(0, 0), (12, 0), (12, 8), (right, 8), (right, end), (left, end), (left, 8), (0, 8)]


@pytest.mark.parametrize("wide", [4e-4, 0.004, 0.02, 0.045])
def test_a_slit_is_left_out(wide: float) -> None:
    """Wire in and out of it would be twice as long as it is deep, for next to nothing to mow."""
    _, plain = lay_of(box(12, 8))
    plan, lay = lay_of(slit(wide, 1.9))
    (cut,) = lay.cuts
    assert cut.kind == "dead_end"
    assert cut.width_m == pytest.approx(0.047, abs=3e-3)
    assert cut.depth_m == pytest.approx(1.9, abs=0.3)
    assert lay.loops[0].length_m == pytest.approx(plain.loops[0].length_m, abs=0.6)
    assert violations(plan, lay) == []


def test_what_is_wider_or_not_so_deep_is_no_slit() -> None:
    for outline in (slit(0.06, 1.5), slit(0.02, 0.2), [(0, 0), (30, 0), (0, 18)]):
        plan, lay = lay_of(outline)
        assert lay.cuts == ()
        assert violations(plan, lay) == []


def test_a_slit_between_an_obstacle_and_a_side() -> None:
    """A long bed that runs into the far wall leaves 2 cm between its wire and that of the side."""
    bed = box_bed(0.62, 6.2, 3.0, 9.0)
    plan, lay = lay_of(box(12, 8), [bed])
    assert [cut.kind for cut in lay.cuts if cut.kind == "dead_end"] == ["dead_end"]
    assert lay.lawns[0].working.bounds[3] == pytest.approx(7.7, abs=1e-3)
    assert violations(plan, lay) == []


def test_corners_are_no_necks() -> None:
    sharp = [(0, 0), (30, 0), (30, 3), (0, 18)]
    plan, lay = lay_of(sharp, machine=figures(passage_min=1.5))
    assert lay.cuts == ()
    assert violations(plan, lay) == []


@pytest.mark.parametrize("side", [1.6, 1.9, 2.1, 2.5])
def test_a_part_under_four_passages_squared_is_left_out(side: float) -> None:
    """A room of side x side behind a pinch: 4 x passage squared is 4 m2."""
    room = side + 0.6
    low, high = 5 - 0.5, 5 + 0.5
    outline = [
        (0, 0),
        (10, 0),
        (10, low),
        (11, low),
        (11, 5 - room / 2),
        (11 + room, 5 - room / 2),
        (11 + room, 5 + room / 2),
        (11, 5 + room / 2),
        (11, high),
        (10, high),
        (10, 10),
        (0, 10),
    ]
    plan, lay = lay_of(outline)
    kept = side**2 >= 4
    assert len(lay.lawns[0].working.geoms) == 1 + kept
    assert len(told(lay, "left_out")) == 1 - kept
    assert len(told(lay, "pinch")) == 1
    assert violations(plan, lay) == []


def test_a_part_with_no_room_for_the_disc_is_left_out_whatever_its_area() -> None:
    """A strip 0.8 wide and 12 long, parted by setbacks alone, holds 9 m2 and no machine."""
    outline = [
        (0, 0),
        (10, 0),
        (10, 4.8),
        (10.1, 4.8),
        (10.1, 4.3),
        (22, 4.3),
        (22, 5.7),
        (10.1, 5.7),
        (10.1, 5.2),
        (10, 5.2),
        (10, 10),
        (0, 10),
    ]
    plan, lay = lay_of(outline)
    assert len(lay.lawns[0].working.geoms) == 1
    (cut,) = told(lay, "left_out")
    assert cut.area_m2 > 4
    assert violations(plan, lay) == []


def test_a_ring_of_beds_closes_round_the_ground_inside_it() -> None:
    """Beds in a circle, nearer to each other than the passage: a ring outside, a lawn inside."""
    import math

    count, far = 12, 6.0
    radius = math.pi * far / count - 0.3 - 0.25
    things = [
        round_bed(
            20 + far * math.cos(math.tau * k / count),
            12 + far * math.sin(math.tau * k / count),
            radius,
            f"Bed {k}",
        )
        for k in range(count)
    ]
    plan, lay = lay_of(box(40, 24), things)
    assert len(lay.lawns[0].working.geoms) == 2
    assert len(told(lay, "merge")) == count
    assert violations(plan, lay) == []


@pytest.mark.parametrize("count", [2, 3, 6])
def test_a_row_of_near_beds_shares_one_ring(count: int) -> None:
    things = [round_bed(8 + 3 * k, 10, 1.0, f"Bed {k}") for k in range(count)]  # 0.4 m between
    plan, lay = lay_of(box(40, 20), things)
    assert len(islands(lay)) == 1
    assert len(islands(lay)[0].split(" + ")) == count
    assert len(told(lay, "merge")) == count - 1
    assert violations(plan, lay) == []


def test_a_passage_between_straight_sides_is_judged_by_its_width() -> None:
    for gap, parted in ((0.9, True), (0.9985, True), (0.9995, False), (1.1, False)):
        things = [box_bed(10, 4, 14, 8), box_bed(14.6 + gap, 4, 18, 8)]
        plan, lay = lay_of(box(30, 14), things)
        assert (len(islands(lay)) == 1) is parted, gap
        assert violations(plan, lay) == []


@pytest.mark.parametrize(
    ("width", "radius", "gap"),
    [
        (width, radius, gap)
        for width in (0.2, 0.5, 0.8, 0.94, 1.1)
        for radius in (0.1, 0.2, 0.4)
        for gap in (0.2, 0.5, 0.766, 0.9)
    ],
)
def test_a_round_thing_over_the_end_of_a_bed(width: float, radius: float, gap: float) -> None:
    """The disc is stopped on both sides of the gap, and the two chords lie near each other."""
    things = [
        box_bed(10 - width / 2, 0, 10 + width / 2, 3),
        round_bed(10, 3 + gap + radius, radius, "Round"),
    ]
    plan, lay = lay_of(box(20, 12), things, machine=figures(back=0), dock=(0, 12))
    (cut,) = told(lay, "bay")
    assert cut.width_m == pytest.approx(gap, abs=1e-3)
    assert violations(plan, lay) == []
