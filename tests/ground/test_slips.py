"""Slips in a lay that is right elsewhere: what moves is what was asked for, the rest stays."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest
import shapely

from renderer.ground import faults, lay_plan, slips
from renderer.ground.lay import LoopLay
from renderer.ground.outline import signed_area
from tests.checks.jobs import JOB, changed, plan_of
from tests.ground.test_faults import holds_together

PLAN = plan_of(changed(JOB, {"wire.spools": [191, 50]}))
LAID = lay_plan(PLAN)
LOOP = LAID.loops[0]
OUTER = next(ring for ring in LOOP.rings if ring.kind == "outer")


def spots(loop: LoopLay) -> Counter[tuple[float, float]]:
    return Counter((round(peg.x, 2), round(peg.y, 2)) for peg in loop.pegs)


def ends(side: int) -> np.ndarray:
    return LAID.lawns[0].sides[side].points[[0, -1]]


def moved_sides() -> list[tuple[int, LoopLay]]:
    found = []
    for side, vertex in enumerate(PLAN.lawns[0].outline):
        setback = PLAN.machine.setback[vertex.side]
        slipped = slips.side_moved(LOOP, OUTER, ends(side), setback, setback / 2, 0.02)
        if slipped is not None:
            found.append((side, slipped.loop))
    return found


def test_some_side_can_be_moved() -> None:
    assert moved_sides()


@pytest.mark.parametrize(("side", "loop"), moved_sides())
def test_wire_comes_nearer_to_one_side_only(side: int, loop: LoopLay) -> None:
    holds_together(loop)
    setback = PLAN.machine.setback[PLAN.lawns[0].outline[side].side]
    lines = [shapely.linestrings(each.points) for each in LAID.lawns[0].sides]
    before, after = (
        [float(shapely.distance(line, shapely.linestrings(each.path))) for line in lines]
        for each in (LOOP, loop)
    )
    assert after[side] == pytest.approx(setback / 2, abs=1e-3)
    others = [i for i in range(len(lines)) if i != side]
    assert [after[i] for i in others] == pytest.approx([before[i] for i in others], abs=1e-3)
    assert loop.length_m != LOOP.length_m
    for one, two in zip(LOOP.leads, loop.leads, strict=True):
        assert np.array_equal(one.points, two.points)


def test_a_loop_that_starts_elsewhere_is_the_same_wire() -> None:
    plan, laid = faults.dock_moved(PLAN, LAID, "main")
    loop = laid.loops[0]
    holds_together(loop)
    assert loop.start != LOOP.start
    assert loop.start == pytest.approx(plan.loops[0].dock.at, abs=2e-3)  # type: ignore[union-attr]
    assert loop.length_m == LOOP.length_m
    assert spots(loop) == spots(LOOP)
    assert signed_area(loop.path) == pytest.approx(signed_area(LOOP.path), abs=1e-6)
    assert slips.moved_by(LAID, laid) < 1e-3
    laid_m, whole_m = (
        {kind: sum(leg.length_m for leg in each.legs if leg.kind == kind) for kind in kinds(each)}
        for each in (loop, LOOP)
    )
    assert laid_m == pytest.approx(whole_m)


def kinds(loop: LoopLay) -> set[str]:
    return {leg.kind for leg in loop.legs}


def test_pegs_left_out_leave_one_gap() -> None:
    found = slips.pegs_left_out(LOOP, 2.5)
    assert found is not None
    loop, at = found
    gone = spots(LOOP) - spots(loop)
    assert gone and not spots(loop) - spots(LOOP)
    straight = [(peg.x, peg.y) for peg in LOOP.pegs if (round(peg.x, 2), round(peg.y, 2)) in gone]
    assert max(np.hypot(x - at[0], y - at[1]) for x, y in straight) < 2.5
    gaps = [np.diff([peg.at_m for peg in each.pegs]) for each in (LOOP, loop)]
    assert gaps[1].max() >= 2.5 > PLAN.machine.peg_spacing.final


def test_no_gap_is_made_that_the_straight_is_too_short_for() -> None:
    assert slips.pegs_left_out(LOOP, 500.0) is None


def test_a_peg_goes_onto_each_marked_cable_that_the_wire_crosses() -> None:
    feature = {"name": "Cable", "kind": "buried cable", "line": [[10, -2], [10, 5]],
               "located": "2026-05-01", "depth": 0.5}  # fmt: skip
    plan = plan_of(changed(JOB, {"features": [feature]}))
    lay = lay_plan(plan)
    found = list(slips.pegs_onto_services(plan, lay))
    assert len(found) == 1
    (moved,) = found
    assert moved.at[0] == pytest.approx(10.0, abs=1e-3) and moved.service == "Cable"
    new = spots(moved.loop) - spots(lay.loops[0])
    assert len(new) == 1 and next(iter(new))[0] == pytest.approx(10.0, abs=0.01)


def test_a_passage_left_open_parts_a_shared_ring_and_keeps_the_rest() -> None:
    beds = [
        {"name": "One", "kind": "bed", "circle": {"at": [9, 7], "radius": 0.6}},
        {"name": "Two", "kind": "bed", "circle": {"at": [11.4, 7], "radius": 0.6}},
    ]
    plan = plan_of(changed(JOB, {"obstacles": beds, "machine.passage_min": 1.2}))
    lay = lay_plan(plan)
    (cut,) = (each for each in lay.cuts if each.kind == "merge")
    laid = faults.left_open(plan, lay, cut.width_m or 0.0)
    assert laid is not None
    names = [sorted(r.of for loop in each.loops for r in loop.rings) for each in (lay, laid)]
    assert any("One + Two" in name for name in names[0])
    assert {"One", "Two"} <= set(names[1])
    assert np.allclose(lay.loops[0].start, laid.loops[0].start, atol=1e-3)
