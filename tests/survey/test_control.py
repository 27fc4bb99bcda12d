"""Advice and parts of a network, against the whole network adjusted anew with each further tape."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest

from renderer.survey import control
from renderer.survey.adjust import Adjusted, adjust
from renderer.survey.blocks import Blocks
from renderer.survey.control import advice, unseen
from renderer.survey.model import equations
from renderer.survey.network import Network, Reading
from renderer.trade import SURVEY_UNSEEN_M, TAPE_ERROR_M, TAPE_M

FIXED = {"A": (0.0, 0.0), "B": (12.0, 0.0), "C": (12.0, 9.0)}


def network(seed: int, points: int = 5) -> tuple[Network, dict[str, tuple[float, float]]]:
    """Points tied to two or three fixed ones, some of them to each other too."""
    dice = random.Random(seed)
    at = dict(FIXED)
    readings = []

    def tape(one: str, other: str) -> None:
        reads = math.dist(at[one], at[other]) + dice.gauss(0.0, 0.02)
        readings.append(Reading("tape", (one, other), reads, 0.03))

    for number in range(points):
        name = f"p{number}"
        at[name] = dice.uniform(-5.0, 18.0), dice.uniform(2.0, 15.0)
        for fixed in dice.sample(sorted(FIXED), 2 + number % 2):
            tape(fixed, name)
        if number % 3 == 1:
            tape(f"p{number - 1}", name)
    return Network(FIXED, tuple(readings), {}), at


def rank(far: dict[str, float]) -> tuple[int, float]:
    """How many points nothing checks, and how far the worst can be off."""
    count = sum(each > SURVEY_UNSEEN_M for each in far.values())
    return count, round(min(1e3, max(far.values())), 3)


def with_a_tape(adjusted: Adjusted, one: str, other: str) -> tuple[int, float]:
    reads = math.dist(adjusted.at[one], adjusted.at[other])
    more = Reading("tape", (one, other), reads, TAPE_ERROR_M)
    wider = Network(FIXED, (*adjusted.network.readings, more), {})
    return rank(unseen(adjust(wider, adjusted.at)))


@pytest.mark.parametrize("seed", range(6))
def test_no_tape_helps_more_than_the_one_advised(seed: int) -> None:
    net, at = network(seed)
    adjusted = adjust(net, at)
    taken = {frozenset(each.of) for each in net.readings}
    tried = {
        (one, other): with_a_tape(adjusted, one, other)
        for number, one in enumerate(adjusted.names)
        for other in (*FIXED, *adjusted.names[:number])
        if frozenset((one, other)) not in taken
        and math.dist(adjusted.at[one], adjusted.at[other]) <= TAPE_M
    }
    best, before = min(tried.values()), rank(unseen(adjusted))
    found = advice(adjusted)
    if best >= before:
        assert found is None
        return
    assert found is not None
    assert with_a_tape(adjusted, *found.of) == pytest.approx(best, abs=2e-3)
    assert found.uncontrolled == (before[0], best[0])


def test_of_many_tapes_those_to_the_worst_points_are_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    net, at = network(2)
    adjusted = adjust(net, at)
    monkeypatch.setattr(control, "TRIED_MOST", 3)
    few, far = advice(adjusted), unseen(adjusted)
    assert few is not None
    assert max(far, key=lambda name: min(1e3, far[name])) in few.of or few.point in few.of


def test_parts_that_no_reading_joins_are_solved_by_themselves() -> None:
    net, at = network(1)
    held = equations(net)
    parts = [
        (set(rows.tolist()), columns.tolist())
        for block in Blocks(held)
        for rows, columns in zip(block.rows, block.columns, strict=True)
    ]
    assert sorted(len(columns) for _, columns in parts) == [2, 4, 4]  # one alone, two and two
    assert sorted(row for rows, _ in parts for row in rows) == list(range(len(net.readings)))
    adjusted = adjust(net, at)
    lean = adjusted.slopes / adjusted.sigma[:, None]
    whole = np.linalg.inv(lean.T @ lean)  # all points in one system
    assert adjusted.covariance == pytest.approx(whole, abs=1e-12)
    assert adjusted.redundancy == pytest.approx(1 - ((lean @ whole) * lean).sum(1), abs=1e-9)
