"""Figures in words: metres, or feet and inches."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from renderer.plan.lengths import metres
from renderer.plan.show import Show, feet_and_inches, listed, percent


@pytest.mark.parametrize(
    ("length_m", "text"),
    [
        (0.0, '0"'),
        (0.0254, '1"'),
        (0.3048, "1' 0\""),
        (3.81, "12' 6\""),
        (3.8164, "12' 6 1/4\""),
        (0.0064, '1/4"'),
        (0.01, '1/2"'),
        (-0.3048, "-1' 0\""),
        (0.3047, "1' 0\""),
    ],
)
def test_feet_and_inches_to_the_quarter(length_m: float, text: str) -> None:
    assert feet_and_inches(length_m) == text


@given(st.floats(0, 500), st.sampled_from([4, 16, 64]))
@settings(max_examples=200, deadline=None, derandomize=True, database=None)
def test_feet_and_inches_read_back(length_m: float, parts: int) -> None:
    assert metres(feet_and_inches(length_m, parts)) == pytest.approx(
        length_m, abs=0.0254 / parts / 2 + 1e-9
    )


def test_metres_to_the_centimetre() -> None:
    assert Show("m").length(12.3) == "12.30 m"


@pytest.mark.parametrize(
    ("units", "told"),
    [("m", ("0.297 m", "0.300 m")), ("ft", ('11 11/16"', '11 13/16"'))],
)
def test_two_lengths_that_differ_read_differently(units: str, told: tuple[str, str]) -> None:
    assert Show(units).lengths(0.297, 0.3) == told  # type: ignore[arg-type]


def test_lengths_that_are_one_stay_short() -> None:
    assert Show("m").lengths(0.3, 0.3) == ("0.30 m", "0.30 m")


def test_areas() -> None:
    assert Show("m").area(9.26) == "9.3 m²"
    assert Show("m").area(1234.4) == "1,234 m²"
    assert Show("ft").area(9.2903) == "100 sq ft"


@pytest.mark.parametrize(
    ("count", "told"),
    [
        (1, "A"),
        (2, "A and B"),
        (3, "A, B and C"),
        (6, "A, B, C, D, E and F"),
        (7, "A, B, C, D, E and 2 more"),
    ],
)
def test_names_in_a_sentence(count: int, told: str) -> None:
    assert listed("ABCDEFG"[:count]) == told


def test_shares() -> None:
    assert (percent(6.389), percent(22.0), percent(100)) == ("6.39 %", "22 %", "100 %")
