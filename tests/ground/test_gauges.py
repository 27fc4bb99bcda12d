"""Boards to cut for setbacks: none of them twice by what is printed of it."""

from __future__ import annotations

from typing import Literal

import pytest

from renderer.ground.gauges import boards, gauges
from renderer.language import load_words
from renderer.sheets.measure import Measure
from tests.drawing import handmade

Units = Literal["m", "ft"]


@pytest.mark.parametrize(
    ("units", "setbacks", "lengths"),
    [
        ("ft", (0.3490, 0.3505, 0.1016), (0.1016, 0.3505)),  # 1' 1¾" twice
        ("ft", (0.3429, 0.3493), (0.3429, 0.3493)),  # 1' 1½", 1' 1¾"
        ("m", (0.301, 0.300, 0.304), (0.304,)),
        ("m", (0.30, 0.31), (0.30, 0.31)),
    ],
)
def test_setbacks_that_print_alike_share_a_board_of_the_longest(
    units: Units, setbacks: tuple[float, ...], lengths: tuple[float, ...]
) -> None:
    cut = boards([setbacks], units)
    assert tuple(board.length_m for board in cut) == lengths
    told = [Measure(units, load_words()).length(board.length_m) for board in cut]
    assert len(set(told)) == len(told)


def test_a_setback_that_prints_as_its_board_is_no_mark_on_it() -> None:
    data = handmade.plan_data()
    setback = {"wall": 0.300, "bed": 0.301, "flush": 0.1, "hedge": 0.5}
    plan = handmade.plan(machine={**data["machine"], "setback": setback})  # type: ignore[dict-item]
    found = {kind: gauge for gauge in gauges(plan) for kind in gauge.kinds}
    assert found["wall"] is found["bed"]
    assert not found["wall"].is_mark(0.300) and not found["wall"].is_mark(0.301)
    assert [gauge.length_m for gauge in gauges(plan)] == [0.1, 0.301, 0.5]


def test_more_than_four_become_marks_on_a_longer_board() -> None:
    setback = {"wall": 0.3, "bed": 0.1, "flush": 0.2, "hedge": 0.5, "water": 1.0}
    data = handmade.plan_data()
    lawns = [{"name": "Rear", "outline": [[0, 0, "wall"], [9, 0, "bed"], [9, 9, "flush"],
                                          [4, 12, "hedge"], [0, 9, "water"]]}]  # fmt: skip
    plan = handmade.plan(machine={**data["machine"], "setback": setback}, lawns=lawns)  # type: ignore[dict-item]
    for gauge in gauges(plan):
        for kind in gauge.kinds:
            assert gauge.is_mark(setback[kind]) == (setback[kind] in gauge.marks_m)
    assert any(gauge.marks_m for gauge in gauges(plan))
