"""A garden is laid the same however it is turned square, and in whatever order it is listed."""

from __future__ import annotations

import copy
import json
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import Phase, given, settings

from renderer.ground import lay_plan
from renderer.plan import loads
from tests.ground.gardens import gardens, laid, over_gardens, turned_round

if TYPE_CHECKING:
    from collections.abc import Callable

    from renderer.ground.lay import Lay

    Move = Callable[[list[float]], list[float]]
    Listing = Callable[[dict[str, Any]], None]

WAYS: dict[str, Move] = {
    "turned left": lambda p: [-p[1], p[0]],
    "turned round": lambda p: [-p[0], -p[1]],
    "mirrored": lambda p: [-p[0], p[1]],
}
OTHER_WAY = {"clockwise": "anticlockwise", "anticlockwise": "clockwise"}
MOST_M = 5e-3  # a cut through a neck ends at chords of flattened arcs
LISTED_M = 1e-3


def _moved(text: str, move: Move) -> str:
    """The garden with every point moved."""
    plan: dict[str, Any] = json.loads(text)
    for held in _holding_points(plan):
        for key in ("at", "through"):
            if key in held:
                held[key] = move(held[key])
        for key in ("polygon", "via"):
            if key in held:
                held[key] = [move(point) for point in held[key]]
    if move([1.0, 0.0])[0] * move([0.0, 1.0])[1] < move([1.0, 0.0])[1] * move([0.0, 1.0])[0]:
        machine = plan["machine"]
        machine["lay_direction"] = OTHER_WAY[machine["lay_direction"]]
    return json.dumps(plan)


def _holding_points(held: Any) -> list[dict[str, Any]]:
    if isinstance(held, list):
        return [found for each in held for found in _holding_points(each)]
    if not isinstance(held, dict):
        return []
    return [held, *(found for each in held.values() for found in _holding_points(each))]


def _outlines_reversed(plan: dict[str, Any]) -> None:
    for lawn in plan["lawns"]:
        lawn["outline"] = turned_round(lawn["outline"])


def _outlines_begun_elsewhere(plan: dict[str, Any]) -> None:
    for lawn in plan["lawns"]:
        lawn["outline"] = lawn["outline"][2:] + lawn["outline"][:2]


def _obstacles_reversed(plan: dict[str, Any]) -> None:
    plan["obstacles"].reverse()


LISTINGS: dict[str, Listing] = {
    "outlines the other way round": _outlines_reversed,
    "outlines from another corner": _outlines_begun_elsewhere,
    "obstacles in reverse": _obstacles_reversed,
}


def _lay(text: str) -> Lay:
    return lay_plan(loads(text, "garden.json"))


@pytest.mark.parametrize("way", WAYS)
@settings(over_gardens, max_examples=12, phases=[Phase.generate])
@given(text=gardens(lawns_most=1))
def test_a_garden_turned_square_is_laid_the_same(way: str, text: str) -> None:
    _, here = laid(text)
    there = _lay(_moved(text, WAYS[way]))
    assert sorted(cut.kind for cut in there.cuts) == sorted(cut.kind for cut in here.cuts)
    for one, two in zip(here.loops, there.loops, strict=True):
        assert two.length_m == pytest.approx(one.length_m, abs=MOST_M)
        assert two.working_area_m2 == pytest.approx(one.working_area_m2, abs=1e-2)
        assert len(two.leads) == len(one.leads)
        assert len(two.pegs) == len(one.pegs)


@pytest.mark.parametrize("listing", LISTINGS)
@settings(over_gardens, max_examples=12, phases=[Phase.generate])
@given(text=gardens(lawns_most=2))
def test_a_garden_listed_in_another_order_is_laid_the_same(listing: str, text: str) -> None:
    _, here = laid(text)
    plan = copy.deepcopy(json.loads(text))
    LISTINGS[listing](plan)
    there = _lay(json.dumps(plan))
    assert sorted(cut.kind for cut in there.cuts) == sorted(cut.kind for cut in here.cuts)
    for one, two in zip(here.loops, there.loops, strict=True):
        assert two.length_m == pytest.approx(one.length_m, abs=LISTED_M)
        assert len(two.leads) == len(one.leads)
        assert np.allclose(
            [(peg.x, peg.y) for peg in two.pegs],
            [(peg.x, peg.y) for peg in one.pegs],
            rtol=0,
            atol=LISTED_M,
        )
