"""The adjustment of random networks against scipy.optimize.least_squares."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from scipy.optimize import least_squares

from renderer.survey.adjust import adjust
from renderer.survey.network import XY, Network, Reading, Sight
from renderer.survey.start import start_places

GRID = (3_578_000.0, 5_412_000.0)


def turn(start: XY, end: XY) -> float:
    return math.degrees(math.atan2(end[0] - start[0], end[1] - start[1])) % 360.0


def reads(kind: str, points: list[XY]) -> float:
    """What a reading reads, by plain trigonometry."""
    if kind == "tape":
        return math.dist(*points)
    if kind == "bearing":
        return turn(*points)
    if kind == "angle":
        return (turn(points[0], points[2]) - turn(points[0], points[1])) % 360.0
    base = math.dist(points[0], points[1])
    between = math.radians(turn(points[0], points[2]) - turn(points[0], points[1]))
    far = math.dist(points[0], points[2])
    assert base > 0
    return far * math.cos(between) if kind == "along" else -far * math.sin(between)


def network(seed: int, at: XY = (0.0, 0.0), noise: float = 1.0) -> Network:
    """Some points in front of a house wall with readings of all kinds."""
    dice = random.Random(seed)
    fixed = {"A": (0.0, 0.0), "B": (9.0, 0.4), "C": (14.0, 11.0)}
    true = fixed | {f"p{n}": (dice.uniform(-6, 12), dice.uniform(3, 15)) for n in range(6)}
    fixed = {name: (x + at[0], y + at[1]) for name, (x, y) in fixed.items()}
    rows: list[Reading] = []

    def read(kind: str, *of: str, sigma: float) -> None:
        value = reads(kind, [true[name] for name in of]) + dice.gauss(0.0, noise * sigma)
        rows.append(Reading(kind, of, value, sigma))  # type: ignore[arg-type]

    for n in range(6):
        for house in dice.sample(sorted(fixed), 3 if n % 2 else 2):
            read("tape", house, f"p{n}", sigma=dice.uniform(0.01, 0.05))
        if n:
            read("tape", f"p{n - 1}", f"p{n}", sigma=0.03)
    read("angle", "A", "B", "p2", sigma=1.0)
    read("bearing", "B", "p3", sigma=1.0)
    read("along", "A", "B", "p4", sigma=0.03)
    read("off", "A", "B", "p4", sigma=0.03)
    read("along", "p0", "p5", "p1", sigma=0.04)
    read("off", "p0", "p5", "p1", sigma=0.04)
    return Network(fixed, tuple(rows), {}, Sight(("A", "B"), "left"))


@pytest.mark.parametrize("at", [(0.0, 0.0), GRID])
@pytest.mark.parametrize("seed", range(12))
def test_points_and_deviations_are_those_of_scipy(seed: int, at: XY) -> None:
    given = network(seed, at)
    found = adjust(given, start_places(given))

    def off(flat: np.ndarray) -> list[float]:
        place = {name: (x - at[0], y - at[1]) for name, (x, y) in given.fixed.items()}
        place |= {name: (flat[2 * n], flat[2 * n + 1]) for n, name in enumerate(given.unknown)}
        apart = []
        for each in given.readings:
            gap = reads(each.kind, [place[name] for name in each.of]) - each.value
            if not each.is_length:
                gap = (gap + 180.0) % 360.0 - 180.0
            apart.append(gap / each.sigma)
        return apart

    start = [value - at[k] for name in given.unknown for k, value in enumerate(found.at[name])]
    judged = least_squares(off, start, method="lm", xtol=1e-14, ftol=1e-14, gtol=1e-14)
    for n, name in enumerate(given.unknown):
        place = (judged.x[2 * n] + at[0], judged.x[2 * n + 1] + at[1])
        assert found.at[name] == pytest.approx(place, abs=1e-6, rel=0)
    assert found.rest == pytest.approx(2 * judged.cost, rel=1e-6)
    covariance = np.linalg.inv(judged.jac.T @ judged.jac)
    assert np.sqrt(np.diag(found.covariance)) == pytest.approx(
        np.sqrt(np.diag(covariance)), rel=1e-3
    )


@pytest.mark.parametrize("seed", range(6))
def test_redundancy_is_the_share_of_a_slip_that_shows(seed: int) -> None:
    """Each reading made a little longer in turn, and all adjusted again."""
    given = network(seed, noise=0.0)
    found = adjust(given, start_places(given))
    for row, each in enumerate(given.readings):
        slip = each.sigma * 1e-2
        longer = [
            Reading(other.kind, other.of, other.reads + slip, other.sigma) if n == row else other
            for n, other in enumerate(given.readings)
        ]
        again = adjust(given.only(longer), found.at)
        shown = (found.residual[row] - again.residual[row]) / slip
        assert shown == pytest.approx(found.redundancy[row], abs=2e-3)
