"""What lies about the start of a loop."""

from __future__ import annotations

import math

import numpy as np
import pytest

from renderer.ground.dockrun import DockRun, dock_run
from tests.ground.walks import Made, circle, plain, with_islands

RING = [(6.0, 0.3), (10.0, 0.3), (19.7, 0.3), (19.7, 11.7), (0.3, 11.7), (0.3, 0.3)]


def run_of(walk: Made, **more: object) -> DockRun:
    return dock_run(
        walk.path, walk.at_m, walk.legs, before_m=2.0, after_m=1.0, **more  # type: ignore[arg-type]
    )  # fmt: skip


def test_straight_wire_ends_at_the_corners() -> None:
    found = run_of(plain(RING))
    assert found.straight_before_m == pytest.approx(5.7)
    assert found.straight_after_m == pytest.approx(13.7)
    assert found.corner_m == pytest.approx(5.7)
    assert (found.turn_deg, found.deviation_m) == pytest.approx((0.0, 0.0), abs=1e-9)
    assert found.lead_m == found.sprinkler_m == math.inf


def test_a_lead_pair_ends_the_straight() -> None:
    found = run_of(with_islands(RING, {1: (circle(10, 6, 1.3), [])}))
    assert found.straight_after_m == pytest.approx(4.0)
    assert found.lead_m == pytest.approx(4.0)


def test_a_curve_ends_the_straight_by_its_sag() -> None:
    found = run_of(plain(circle(0, 0, 30.0, turn=1)))
    expected = math.sqrt(8 * 30 * 0.02)
    assert found.straight_before_m == pytest.approx(expected, rel=0.03)
    assert found.straight_after_m == pytest.approx(expected, rel=0.03)
    assert found.deviation_m == pytest.approx(3.0**2 / (8 * 30), rel=0.02)


def test_a_dock_in_a_corner() -> None:
    found = run_of(plain([(0, 0), (10, 0), (10, 10), (0, 10)]))
    assert found.turn_deg == pytest.approx(90.0)
    assert found.corner_m == 0.0
    assert found.deviation_m > 0.5


def test_sprinklers_and_other_loops() -> None:
    walk = plain(RING)
    other = np.array([(7.0, -2.0), (9.0, -2.0)])
    found = run_of(walk, sprinklers=[((6.0, 2.3), 1.5)], others=[other])
    assert found.sprinkler_m == pytest.approx(0.5)
    assert found.other_wire_m == pytest.approx(2.3)


def test_wire_of_the_same_loop_that_comes_back_is_other_wire() -> None:
    narrow = plain([(6.0, 0.0), (20.0, 0.0), (20.0, 0.9), (0.0, 0.9), (0.0, 0.0)])
    assert run_of(narrow).other_wire_m == pytest.approx(0.9)
