"""Mistakes made on purpose change what they should and nothing else."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest
import shapely

from renderer.geometry.lines import points_at
from renderer.ground import faults, lay_plan
from renderer.ground.lay import Lay, LoopLay
from renderer.ground.outline import signed_area
from renderer.ground.stations import pairs
from tests.checks.jobs import JOB, changed, plan_of

PLAN = plan_of(changed(JOB, {"wire.spools": [191, 50]}))

LAID = lay_plan(PLAN)
LOOP = LAID.loops[0]
TURNED: dict[str, Callable[[Lay], Lay]] = {
    "crossed leads": lambda lay: faults.crossed_leads(lay, "Pond"),
    "island": lambda lay: faults.reversed_island(lay, "Roses"),
    "second lawn": lambda lay: faults.reversed_lawn(lay, "Front"),
    "first lawn": lambda lay: faults.reversed_lawn(lay, "Rear"),
}
MOVED: dict[str, Callable[[Lay], Lay]] = {
    "apart": lambda lay: faults.leads_apart(lay, "Pond"),
    "gap": lambda lay: faults.dead_gap(lay, "Pond"),
}


def holds_together(loop: LoopLay) -> None:
    """Running distances, legs, pegs and splices tell of the path as it is."""
    steps = np.hypot(*np.diff(loop.path, axis=0).T)
    assert np.allclose(np.diff(loop.at_m), steps, atol=1e-6)
    assert np.array_equal(loop.path[0], loop.path[-1])
    assert loop.legs[0].from_m == 0 and loop.legs[-1].to_m == pytest.approx(loop.length_m)
    for one, two in pairwise(loop.legs):
        assert one.to_m == pytest.approx(two.from_m)
    for out, back in pairs(loop.legs).values():
        assert out.to_m <= back.from_m + 1e-9
    for thing in (*loop.pegs, *loop.splices):
        assert points_at(loop.path, loop.at_m, [thing.at_m])[0] == pytest.approx(
            (thing.x, thing.y), abs=2e-4
        )
    assert [peg.at_m for peg in loop.pegs] == sorted(peg.at_m for peg in loop.pegs)


@pytest.mark.parametrize("make", [*TURNED.values(), *MOVED.values()], ids=[*TURNED, *MOVED])
def test_the_walk_still_holds_together(make: Callable[[Lay], Lay]) -> None:
    holds_together(make(LAID).loops[0])


@pytest.mark.parametrize("make", TURNED.values(), ids=TURNED)
def test_what_is_turned_keeps_its_places(make: Callable[[Lay], Lay]) -> None:
    loop = make(LAID).loops[0]
    assert loop.length_m == LOOP.length_m
    places = {peg.id: (peg.x, peg.y) for peg in loop.pegs}
    assert places == {peg.id: pytest.approx((peg.x, peg.y), abs=2e-4) for peg in LOOP.pegs}
    assert shapely.equals(
        shapely.union_all(shapely.linestrings(np.stack((loop.path[:-1], loop.path[1:]), axis=1))),
        shapely.union_all(shapely.linestrings(np.stack((LOOP.path[:-1], LOOP.path[1:]), axis=1))),
    )


@pytest.mark.parametrize("make", TURNED.values(), ids=TURNED)
def test_turned_twice_is_as_it_was(make: Callable[[Lay], Lay]) -> None:
    again = make(make(LAID)).loops[0]
    assert np.array_equal(again.path, LOOP.path)
    assert [(leg.kind, leg.of, leg.part, leg.back) for leg in again.legs] == [
        (leg.kind, leg.of, leg.part, leg.back) for leg in LOOP.legs
    ]


def test_a_turned_island_takes_its_area_twice() -> None:
    ring = next(ring for ring in LOOP.rings if ring.of == "Roses")
    area = abs(signed_area(ring.points[:-1]))
    turned = faults.reversed_island(LAID, "Roses").loops[0]
    assert turned.working_area_m2 == pytest.approx(LOOP.working_area_m2 + 2 * area, rel=1e-9)


def test_a_dead_gap_has_the_gap_asked_for() -> None:
    loop = faults.dead_gap(LAID, "Pond", 0.45).loops[0]
    ring = shapely.linestrings(next(r.points for r in loop.rings if r.of == "Pond"))
    others = [shapely.linestrings(r.points) for r in loop.rings if r.of != "Pond"]
    assert shapely.distance(ring, shapely.union_all(others)) == pytest.approx(0.45, abs=0.02)


def test_leads_lie_apart_by_what_was_asked() -> None:
    loop = faults.leads_apart(LAID, "Pond", 0.15).loops[0]
    lead = next(lead for lead in loop.leads if lead.of == "Pond")
    out, back = pairs(loop.legs)[lead.id]
    middle = points_at(loop.path, loop.at_m, [(leg.from_m + leg.to_m) / 2 for leg in (out, back)])
    assert np.hypot(*(middle[1] - middle[0])) == pytest.approx(0.15, abs=1e-3)


def test_a_splice_takes_the_place_of_the_nearest() -> None:
    loop = faults.splice_in_lead(LAID, "Roses").loops[0]
    assert [splice.id for splice in loop.splices] == [splice.id for splice in LOOP.splices]
    lead = next(lead for lead in loop.leads if lead.of == "Roses")
    out, _ = pairs(loop.legs)[lead.id]
    assert out.from_m < loop.splices[0].at_m < out.to_m


def test_a_first_splice_is_added() -> None:
    bare = lay_plan(plan_of(JOB))
    assert not bare.loops[0].splices
    assert [s.id for s in faults.splice_at(bare, "main", 30.0).loops[0].splices] == ["S1"]


def test_the_correct_lay_is_left_alone() -> None:
    before = LOOP.path.copy()
    for make in (*TURNED.values(), *MOVED.values()):
        make(LAID)
    assert np.array_equal(LOOP.path, before) and LAID.loops[0] is LOOP


@pytest.mark.parametrize(
    "make",
    [
        lambda: faults.crossed_leads(LAID, "Rosse"),
        lambda: faults.reversed_lawn(LAID, "Side"),
        lambda: faults.splice_at(LAID, "court", 3.0),
        lambda: faults.wrong_setback(PLAN, "Rosse", "bed"),
        lambda: faults.dock_in_corner(PLAN, LAID, "court"),
    ],
)
def test_an_unknown_name_is_refused(make: Callable[[], object]) -> None:
    with pytest.raises(KeyError):
        make()


def test_a_dock_in_the_corner_stands_at_a_corner_of_the_outer_ring() -> None:
    plan = faults.dock_in_corner(PLAN, LAID, "main")
    at = plan.loops[0].dock.at  # type: ignore[union-attr]
    corners = [(x, y) for x in (0.35, 23.65) for y in (0.1, 13.7)]
    assert min(np.hypot(at[0] - x, at[1] - y) for x, y in corners) < 0.5
