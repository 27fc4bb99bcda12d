"""A peg is set out from the side whose setback it keeps."""

from __future__ import annotations

import numpy as np
import pytest

from renderer.ground.edges import edges, offset_from_side
from renderer.plan import load
from tests.ground.jobs import plan_of
from tests.shared import lay_plan

MIXED = [[0, 0, "wall"], [20, 0, "flush"], [20, 12, "wall"], [0, 12, "wall"]]


def test_offset_and_distance_along_the_side() -> None:
    plan = plan_of(lawns=[{"name": "Rear", "outline": MIXED}])
    sides = edges(plan, lay_plan(plan).lawns)
    on_wall, by_bed = offset_from_side(np.array([(7.0, 0.3), (10.0, 7.3)]), sides)
    assert on_wall is not None
    assert by_bed is not None
    assert (on_wall.edge.kind, on_wall.offset_m, on_wall.along_m) == (
        "wall",
        pytest.approx(0.3),
        pytest.approx(7.0),
    )
    assert (by_bed.edge.of, by_bed.edge.obstacle) == ("Bed", True)
    assert by_bed.offset_m == pytest.approx(0.3, abs=1e-3)


def test_the_side_that_sets_the_peg_is_not_always_the_nearest() -> None:
    plan = plan_of(lawns=[{"name": "Rear", "outline": MIXED}])
    sides = edges(plan, lay_plan(plan).lawns)
    (found,) = offset_from_side(np.array([(19.75, 0.3)]), sides)
    assert found is not None
    assert found.edge.kind == "wall"  # 0.30 m away as it must be; the flush edge is 0.25 m away
    assert found.offset_m == pytest.approx(0.3)


def test_a_point_far_from_all_sides_takes_the_nearest() -> None:
    plan = plan_of(obstacles=[])
    sides = edges(plan, lay_plan(plan).lawns)
    (found,) = offset_from_side(np.array([(4.0, 5.0)]), sides)
    assert found is not None
    assert found.offset_m == pytest.approx(4.0)


def test_firm_obstacles_set_nothing_and_no_sides_give_none() -> None:
    firm = [{"name": "Stone", "kind": "firm", "circle": {"at": [10, 6], "radius": 1}}]
    plan = plan_of(obstacles=firm)
    assert not [edge for edge in edges(plan, lay_plan(plan).lawns) if edge.obstacle]
    assert offset_from_side(np.array([(1.0, 1.0)]), ()) == (None,)


def test_pegs_on_rings_lie_at_a_setback_or_further(any_plan: object) -> None:
    plan = load(any_plan)  # type: ignore[arg-type]
    lay = lay_plan(plan)
    sides = edges(plan, lay.lawns)
    pegs = [(peg.x, peg.y) for loop in lay.loops for peg in loop.pegs]
    found = offset_from_side(np.array(pegs), sides)
    over = [side.offset_m - side.edge.setback_m for side in found if side is not None]
    assert min(over) > -2e-3
    assert sum(abs(gap) < 2e-3 for gap in over) > len(over) / 2
