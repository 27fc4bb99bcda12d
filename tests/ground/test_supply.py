"""A lead's way: as stated, straight, or round a house; the same wherever the garden lies."""

from __future__ import annotations

import math
from typing import Any

import pytest

from renderer.ground.supply import SupplyRun, supply_run
from tests.checks.jobs import Job, changed, one_lawn, plan_of
from tests.shared import lay_plan

HOUSE = {
    "name": "House",
    "kind": "building",
    "polygon": [[3, -2.5], [7, -2.5], [7, -0.5], [3, -0.5]],
}
PLACES = {
    "where it is": (0.0, 0.0, 0.0),
    "on a grid": (649000.0, 5318000.0, 0.0),
    "turned": (0.0, 0.0, 0.7),
}


def moved(value: Any, move: tuple[float, float, float]) -> Any:
    """The job with each point shifted and turned."""
    dx, dy, turn = move
    if isinstance(value, dict):
        return {key: moved(held, move) for key, held in value.items()}
    if (
        isinstance(value, list)
        and len(value) >= 2
        and all(isinstance(each, int | float) for each in value[:2])
    ):
        x, y = value[:2]
        cos, sin = math.cos(turn), math.sin(turn)
        return [x * cos - y * sin + dx, x * sin + y * cos + dy, *value[2:]]
    return [moved(each, move) for each in value] if isinstance(value, list) else value


def run_of(supply: dict[str, Any], move: tuple[float, float, float]) -> SupplyRun:
    job: Job = changed(one_lawn(), {"loops.0.supply": supply, "features.+": HOUSE})
    for key in ("survey", "lawns", "obstacles", "features", "loops"):
        job[key] = moved(job[key], move)
    plan = plan_of(job)
    lay = lay_plan(plan)
    run = supply_run(plan, lay, plan.loops[0], lay.loops[0])
    assert run is not None
    return run


@pytest.mark.parametrize("move", PLACES.values(), ids=PLACES.keys())
def test_a_lead_is_measured_along_the_way_that_it_takes(move: tuple[float, float, float]) -> None:
    clear = run_of({"at": [8, -3]}, move)
    assert clear.length_m == pytest.approx(3.1, abs=2e-3) and not clear.round
    led = run_of({"at": [5, -3]}, move)
    by_hand = math.dist((5, -3), (7, -2.5)) + math.dist((7, -2.5), (8, 0.1))
    assert led.round and led.length_m == pytest.approx(by_hand, abs=0.03)
    stated = run_of({"at": [5, -3], "via": [[9, -3]]}, move)
    assert stated.stated and not stated.round
    assert stated.length_m == pytest.approx(4 + math.dist((9, -3), (8, 0.1)), abs=2e-3)
    through = run_of({"at": [5, -3], "via": [[5, -0.2]]}, move)
    assert through.in_building.length == pytest.approx(2.0, abs=0.03)


@pytest.mark.parametrize("move", PLACES.values(), ids=PLACES.keys())
def test_a_lead_from_behind_the_lawn_goes_round_it(move: tuple[float, float, float]) -> None:
    run = run_of({"at": [8, 15]}, move)
    assert run.round and run.on_grass.length < 0.05 and run.length_m > 20
