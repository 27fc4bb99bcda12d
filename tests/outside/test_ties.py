"""Two taped distances, slopes and chords against the geometry that defines them.

Sources: two circles meet where both of their equations hold; the length along a slope is that of
the level times the root of 1 + s squared, as tables of surveying give it; the sag of a chord is
what Pythagoras leaves of the radius.
"""

from __future__ import annotations

import math

import pytest

from renderer.ground.slope import slope_factor
from renderer.ground.stations import sagitta
from renderer.ground.ties import meet

# centres, radii and both places where the circles meet, solved by the radical axis to 1e-6
CIRCLES = [
    (((-0.1, -0.2), (2.0, 1.0), 2.0, 2.1), ((1.696964, -1.078021), (0.055856, 1.793918))),
    (((5.0, 5.0), (0.0, 0.0), 5.0, 5.0), ((5.0, 0.0), (0.0, 5.0))),
    (((0.0, 0.0), (8.0, 0.0), 9.0, 12.0), ((0.0625, -8.999783), (0.0625, 8.999783))),
    (((0.0, 0.0), (8.0, 0.0), 11.0, 7.0), ((8.5, -6.982120), (8.5, 6.982120))),
]


@pytest.mark.parametrize(("given", "found"), CIRCLES)
def test_two_tapes_meet_where_two_circles_do(
    given: tuple[tuple[float, float], tuple[float, float], float, float],
    found: tuple[tuple[float, float], tuple[float, float]],
) -> None:
    a, b, a_m, b_m = given
    points = {meet(a, b, a_m, b_m, side) for side in ("left", "right")}
    assert len(points) == 2
    for expected in found:
        assert math.dist(expected, a) == pytest.approx(a_m, abs=2e-6)
        assert math.dist(expected, b) == pytest.approx(b_m, abs=2e-6)
        nearest = min(points, key=lambda point: math.dist(point, expected))
        assert nearest == pytest.approx(expected, abs=1e-6)


def test_tapes_too_short_or_one_too_long_do_not_meet() -> None:
    for a_m, b_m in ((3.0, 6.0), (1.0, 12.0), (12.0, 1.0)):
        with pytest.raises(ValueError, match="do not meet"):
            meet((0, 0), (10, 0), a_m, b_m, "left")


@pytest.mark.parametrize("side", ["left", "right"])
def test_tapes_that_just_reach_meet_on_the_line(side: str) -> None:
    assert meet((0, 0), (10, 0), 4.0, 6.0, side) == pytest.approx((4.0, 0.0))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("percent", "factor"),
    [
        (5, 1.001249),
        (10, 1.004988),
        (20, 1.019804),
        (25, 1.030776),
        (30, 1.044031),
        (35, 1.059481),
        (45, 1.096586),
        (50, 1.118034),
        (100, 1.414214),
    ],
)
def test_slope_length_over_horizontal(percent: float, factor: float) -> None:
    # percent = 100 tan, level = slope x cos
    assert factor == pytest.approx(1 / math.cos(math.atan(percent / 100)), abs=5e-7)
    assert slope_factor(percent) == pytest.approx(factor, abs=5e-7)


def test_a_tape_laid_along_a_slope() -> None:
    # elementary surveying: 177.50 ft along a 3 percent slope are 177.420 ft on the level
    assert 177.50 / slope_factor(3.0) == pytest.approx(177.420, abs=5e-4)


@pytest.mark.parametrize(("chord", "radius"), [(1.0, 2.0), (0.5, 2.0), (0.3, 1.3)])
def test_the_sag_of_a_chord_against_the_circle_itself(chord: float, radius: float) -> None:
    exact = radius - math.sqrt(radius**2 - chord**2 / 4)
    assert sagitta(chord, radius) == pytest.approx(exact, rel=0.02)
