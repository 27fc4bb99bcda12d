"""The tree of lead pairs: shortest, legal, and round what is in the way."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
import shapely

from renderer.ground import lay_plan, tree
from renderer.plan import loads
from tests.ground.gardens import as_text, box, box_bed, figures, laid, lay_of, ring_of, round_bed
from tests.ground.wire_rules import leads_out, ring_walked, violations

if TYPE_CHECKING:
    from renderer.ground.lay import Lay, LoopLay


def joins(loop: LoopLay) -> set[tuple[str, str]]:
    """Which rings the lead pairs join, by what they are round."""
    of = {ring.id: ring.of for ring in loop.rings}
    return {(of[lead.from_ring], of[lead.to_ring]) for lead in loop.leads}


def lead_total(lay: Lay) -> float:
    return sum(lead.length_m for loop in lay.loops for lead in loop.leads)


def test_islands_are_chained_where_that_is_shorter() -> None:
    """Three beds in a row, 1.6 m apart wire to wire and 8 m from every side."""
    things = [round_bed(14 + 4.2 * k, 10, 1.0, name) for k, name in enumerate("ABC")]
    plan, lay = lay_of(box(60, 20), things, dock=(30, 0))
    assert joins(lay.loops[0]) in (
        {("Lawn", "A"), ("A", "B"), ("B", "C")},
        {("Lawn", "B"), ("B", "A"), ("B", "C")},
        {("Lawn", "C"), ("C", "B"), ("B", "A")},
    )
    assert lead_total(lay) == pytest.approx(2 * 1.6 + 8.4, abs=2e-3)
    assert violations(plan, lay) == []


def test_islands_near_the_edge_each_get_their_own_pair() -> None:
    things = [round_bed(10 + 12 * k, 4, 1.0, name) for k, name in enumerate("ABC")]
    plan, lay = lay_of(box(60, 20), things, dock=(55, 20))
    assert joins(lay.loops[0]) == {("Lawn", "A"), ("Lawn", "B"), ("Lawn", "C")}
    assert lead_total(lay) == pytest.approx(3 * 2.4, abs=2e-3)
    assert violations(plan, lay) == []


@pytest.mark.parametrize("clear", [0.3, 0.5, 1.0])
def test_pairs_keep_their_distance_from_corners(clear: float) -> None:
    """The nearest places of two square beds are corners; the pair leaves beside them."""
    things = [box_bed(6, 6, 9, 9), box_bed(12, 11, 15, 14)]
    plan, lay = lay_of(
        box(30, 20), things, dock=(29, 19), machine=figures(lead_clear_of_corner=clear)
    )
    loop = lay.loops[0]
    for lead in loop.leads:
        for part, end in ((lead.from_ring, lead.points[0]), (lead.to_ring, lead.points[-1])):
            ring = shapely.LineString(ring_walked(loop, part))
            at = ring.project(shapely.Point(end))
            for corner in corners_of(ring):
                gap = abs(at - corner)
                assert min(gap, ring.length - gap) >= clear - 1e-3
    assert violations(plan, lay) == []


def corners_of(ring: shapely.LineString) -> list[float]:
    """Running distances of the corners of 20 degrees and more."""
    points = shapely.get_coordinates(ring.simplify(1e-3))[:-1]
    ahead = np.roll(points, -1, axis=0) - points
    back = np.roll(ahead, 1, axis=0)
    cross = back[:, 0] * ahead[:, 1] - back[:, 1] * ahead[:, 0]
    turn = np.abs(np.arctan2(cross, np.sum(back * ahead, axis=1)))
    return [ring.project(shapely.Point(p)) for p in points[turn >= math.radians(20)]]


@pytest.mark.parametrize("side", [0.2, 0.4, 0.55])
def test_a_bed_that_is_all_corners(side: float) -> None:
    """No place of its ring is 0.3 m from a corner; it is told as unreached, or reached somehow."""
    machine = figures(back=0, lead_clear_of_corner=0.3)
    plan, lay = lay_of(box(20, 12), [box_bed(10, 5, 10 + side, 5 + side)], machine=machine)
    assert [cut.kind for cut in lay.cuts] == ["unreached"] or len(lay.loops[0].rings) == 2
    assert violations(plan, lay) == []


def test_two_pairs_at_one_corner_leave_it_50_mm_apart() -> None:
    """From both beds the corner at (20, 20) is nearest; its arc of 30 mm is 39 mm between them.

    So one of the pairs has to move along the ring until 50 mm of it lie between the two.
    """
    corners = [(20, 0), (40, 0), (40, 40), (0, 40), (0, 20), (20, 20)]
    things = [
        round_bed(20 + 8 * math.cos(a), 20 + 8 * math.sin(a), 0.3, f"Bed {k}")
        for k, a in enumerate(map(math.radians, (8, 83)))
    ]
    given = figures(setback={"flush": 0.03, "bed": 0.3}, passage_min=0.6, corner_radius=0)
    lawn = {"name": "Rear", "outline": [[x, y, "flush"] for x, y in corners]}
    _, lay = laid(as_text(given, [lawn], things, [{"generator": {"at": [30, 0]}}]))
    (loop,) = lay.loops
    assert len(loop.leads) == 2
    between = [leg for leg in loop.legs if leg.kind == "outer"][1]
    assert 0.05 - 1e-4 <= between.to_m - between.from_m < 0.06


def test_pairs_to_many_near_islands_leave_the_edge_apart() -> None:
    """Five small beds stand so that the nearest place of the edge is the same jutting corner."""
    outline = [(0, 0), (20, 0), (20, 14), (11, 14), (10, 8), (9, 14), (0, 14)]
    things = [
        round_bed(10 + 3.4 * math.cos(a), 8 + 3.4 * math.sin(a), 0.2, f"Bed {k}")
        for k, a in enumerate(np.linspace(-2.9, -0.25, 5))
    ]
    plan, lay = lay_of(outline, things, dock=(0, 14))
    assert len(lay.loops[0].leads) == 5
    assert violations(plan, lay) == []


@pytest.mark.parametrize(("before", "after"), [(1, 1), (2, 0), (0, 3), (4, 4)])
def test_pairs_leave_clear_of_the_docks_run(before: float, after: float) -> None:
    """The bed stands straight across from the dock, so the shortest pair is not allowed."""
    machine = figures(dock={"straight_before": before, "straight_after": after})
    lawn = {"name": "Lawn", "outline": ring_of(box(30, 16))}
    loop = {"dock": {"at": [15, 0]}}
    plan, lay = laid(as_text(machine, [lawn], [round_bed(15, 4, 1.0, "Bed")], [loop]))
    (line,) = leads_out(lay.loops[0]).values()
    run = shapely.LineString([(15 - before, 0.3), (15 + after, 0.3)])
    assert shapely.LineString(line).distance(run) == pytest.approx(1.006, abs=6e-3)
    assert violations(plan, lay) == []


@pytest.mark.parametrize("aside", [0.0, 3.0])
def test_a_pair_leaves_in_the_middle_of_where_it_is_as_short(aside: float) -> None:
    things = [box_bed(10 + aside, 4, 20 + aside, 7)]
    plan, lay = lay_of(box(40, 16), things, dock=(0, 16))
    (lead,) = lay.loops[0].leads
    assert lead.points[:, 0] == pytest.approx([15 + aside] * 2, abs=2e-3)
    assert lead.length_m == pytest.approx(4 - 0.6, abs=2e-3)
    assert violations(plan, lay) == []


def test_a_generator_has_no_run_to_keep_clear() -> None:
    _, lay = lay_of(box(30, 16), [round_bed(15, 4, 1.0, "Bed")], dock=(15, 0))
    assert lead_total(lay) == pytest.approx(2.4, abs=2e-3)


@pytest.mark.parametrize("radius", [0.1, 0.5, 1.2])
def test_a_pair_goes_round_a_firm_thing(radius: float) -> None:
    things = [round_bed(15, 8, 1.0, "Bed"), round_bed(15, 3, radius, "Post", kind="firm")]
    plan, lay = lay_of(box(60, 40), things, dock=(55, 0))
    (line,) = leads_out(lay.loops[0]).values()
    off = shapely.LineString(line).distance(shapely.Point(15, 3)) - radius
    assert off >= 0.05 - 2e-3
    assert 6.4 < shapely.LineString(line).length < 6.4 + radius
    assert violations(plan, lay) == []


def test_a_shed_in_the_way() -> None:
    """South the way is 7.4 m with a shed across it; west it is 7.6 m and free."""
    things = [box_bed(8.2, 8, 10, 9.6), box_bed(5, 3, 13, 4, kind="firm")]
    plan, lay = lay_of(box(30, 30), things, dock=(29, 29))
    assert violations(plan, lay) == []
    assert lead_total(lay) == pytest.approx(7.6, abs=0.05)


def test_a_bed_that_firm_things_shut_in_is_told_as_unreached() -> None:
    """A bed inside a firm wall; no lead pair gets through, and the wire says so."""
    walls = [
        box_bed(*sides, kind="firm")
        for sides in ((8, 6, 16, 6.2), (8, 13.8, 16, 14), (8, 6, 8.2, 14), (15.8, 6, 16, 14))
    ]
    _plan, lay = lay_of(box(30, 20), [round_bed(12, 10, 1.0, "Bed"), *walls])
    assert [ring.kind for ring in lay.loops[0].rings] == ["outer"]
    (cut,) = lay.cuts
    assert (cut.kind, cut.of) == ("unreached", ("Bed",))


def lawns_apart(crossings: list[dict[str, Any]], third: bool = False) -> tuple[Any, Any]:
    """Two or three lawns of 10 x 10 with 4 m between them, on one loop."""
    lawns = [
        {"name": name, "outline": ring_of([(x + 14 * k, y) for x, y in box(10, 10)])}
        for k, name in enumerate(["West", "Middle", "East"][: 2 + third])
    ]
    things = [round_bed(19, 5, 1.0, "Bed")]
    loop = {"generator": {"at": [0, 0]}, "crossings": crossings}
    return laid(as_text(figures(), lawns, things, [loop]))


def test_a_crossing_runs_straight_between_the_nearest_wires() -> None:
    plan, lay = lawns_apart([{"between": ["West", "Middle"], "under": "paving"}])
    (crossing,) = (lead for lead in lay.loops[0].leads if lead.kind == "crossing")
    assert crossing.length_m == pytest.approx(4.6, abs=1e-3)
    assert crossing.under == "paving"
    assert {ring.of for ring in lay.loops[0].rings} == {"West", "Middle", "Bed"}
    assert violations(plan, lay) == []


def test_a_crossing_goes_through_its_places_in_order() -> None:
    via = [[11, -3], [13, -3]]
    plan, lay = lawns_apart([{"between": ["West", "Middle"], "via": via}])
    (crossing,) = (lead for lead in lay.loops[0].leads if lead.kind == "crossing")
    assert crossing.points[1:-1].tolist() == via
    ends = [math.dist(crossing.points[i], via[i]) for i in (0, -1)]
    assert ends == pytest.approx([math.hypot(1.3, 3.3)] * 2, abs=1e-3)
    assert violations(plan, lay) == []


def test_a_crossing_named_from_the_far_lawn_is_the_same() -> None:
    _, one = lawns_apart([{"between": ["West", "Middle"], "via": [[11, -3], [13, -3]]}])
    _, two = lawns_apart([{"between": ["Middle", "West"], "via": [[13, -3], [11, -3]]}])
    assert np.array_equal(one.loops[0].path, two.loops[0].path)


def test_crossings_that_would_close_a_circle_are_left_and_told() -> None:
    between = [["West", "Middle"], ["Middle", "East"], ["West", "Middle"]]
    plan, lay = lawns_apart([{"between": pair} for pair in between], third=True)
    assert sum(lead.kind == "crossing" for lead in lay.loops[0].leads) == 2
    assert len(lay.idle_crossings) == 1
    assert violations(plan, lay) == []


def test_a_crossing_that_finds_no_way_is_told() -> None:
    """A firm wall stands right across the way that its places give it."""
    lawns = [
        {"name": name, "outline": ring_of([(x + 14 * k, y) for x, y in box(10, 10)])}
        for k, name in enumerate(("West", "Middle"))
    ]
    wall = box_bed(11, -40, 13, 50, kind="firm")
    between = {"between": ["West", "Middle"]}
    loop = {"generator": {"at": [0, 0]}, "crossings": [between]}
    _, lay = laid(as_text(figures(), lawns, [wall], [loop]))
    assert not [lead for lead in lay.loops[0].leads if lead.kind == "crossing"]
    assert [idle.between for idle in lay.idle_crossings] == [("West", "Middle")]


def test_a_lawn_without_a_crossing_is_told_as_unreached() -> None:
    _, lay = lawns_apart([])
    assert {ring.of for ring in lay.loops[0].rings} == {"West"}
    assert {cut.lawn for cut in lay.cuts if cut.kind == "unreached"} == {"Middle"}


def test_a_crossing_of_a_lawn_with_itself_joins_what_setbacks_part() -> None:
    """A gap of 0.4 m between two walls leaves no allowed ground, but the wires may pass."""
    outline = [
        (0, 0),
        (10, 0),
        (10, 4.8),
        (12, 4.8),
        (12, 0),
        (22, 0),
        (22, 10),
        (12, 10),
        (12, 5.2),
        (10, 5.2),
        (10, 10),
        (0, 10),
    ]
    lawn = {"name": "Lawn", "outline": ring_of(outline)}
    loop = {"generator": {"at": [0, 0]}}
    _, lay = laid(as_text(figures(), [lawn], [], [loop]))
    assert [cut.kind for cut in lay.cuts] == ["unreached"]
    loop = loop | {"crossings": [{"between": ["Lawn", "Lawn"], "via": [[10, 5], [12, 5]]}]}
    plan, lay = laid(as_text(figures(), [lawn], [], [loop]))
    assert [lead.kind for lead in lay.loops[0].leads] == ["crossing"]
    assert len(lay.loops[0].rings) == 2
    assert violations(plan, lay) == []


def test_the_order_of_obstacles_in_the_file_changes_nothing() -> None:
    things = [
        round_bed(6 + 5.3 * (k % 4), 5 + 4.1 * (k // 4), 0.6 + 0.1 * k, f"Bed {k}")
        for k in range(8)
    ]
    text = as_text(
        figures(),
        [{"name": "Lawn", "outline": ring_of(box(30, 16))}],
        things,
        [{"dock": {"at": [15, 0]}}],
    )
    other = as_text(
        figures(),
        [{"name": "Lawn", "outline": ring_of(box(30, 16))}],
        things[::-1],
        [{"dock": {"at": [15, 0]}}],
    )
    one, two = (lay_plan(loads(t, "g.json")) for t in (text, other))
    assert np.array_equal(one.loops[0].path, two.loops[0].path)


@pytest.mark.parametrize(("before", "after"), [(1, 1), (3, 1), (5, 5)])
def test_a_crossing_beside_the_docks_run(before: float, after: float) -> None:
    """The dock stands on the side that faces the other lawn, where the crossing would leave."""
    lawns = [
        {"name": name, "outline": ring_of([(x + 14 * k, y) for x, y in box(10, 6)])}
        for k, name in enumerate(["West", "East"])
    ]
    machine = figures(dock={"straight_before": before, "straight_after": after})
    loop = {"dock": {"at": [10, 3]}, "crossings": [{"between": ["West", "East"]}]}
    plan, lay = laid(as_text(machine, lawns, [], [loop]))
    assert [lead.kind for lead in lay.loops[0].leads] == ["crossing"]
    assert violations(plan, lay) == []


def _offered(count: int, monkeypatch: pytest.MonkeyPatch) -> int:
    """How many pairs of rings are looked at for a lawn with so many beds in rows and columns."""
    seen: list[int] = []
    further = tree.Offers.further

    def counted(offers: tree.Offers, forest: tree.Forest) -> list[tree.Entry] | None:
        found = further(offers, forest)
        seen.append(len(found or ()))
        return found

    monkeypatch.setattr(tree.Offers, "further", counted)
    beds = [
        round_bed(4 + 4.1 * (k % count), 4 + 3.9 * (k // count), 0.5, f"Bed {k}")
        for k in range(count * count)
    ]
    _, lay = lay_of(box(4.1 * count + 5, 3.9 * count + 5), beds)
    assert len(lay.loops[0].leads) == count * count
    return sum(seen)


def test_rings_are_offered_those_about_them_only(monkeypatch: pytest.MonkeyPatch) -> None:
    """Four times as many beds make four times as many pairs to look at, not sixteen times."""
    few, many = _offered(6, monkeypatch), _offered(12, monkeypatch)
    assert many < 5.5 * few
    assert many < 12 * 144
