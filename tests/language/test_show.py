"""Figures in words: metres, or feet and inches."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from renderer.language import load_words
from renderer.language.feet import feet_and_inches
from renderer.language.show import Show
from renderer.plan.lengths import metres

WORDS = load_words("en", "findings")
GERMAN = load_words("de", "findings")


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
    assert feet_and_inches(length_m, typed=True) == text


@given(st.floats(0, 500), st.sampled_from([4, 16, 64]))
@settings(max_examples=200, deadline=None, derandomize=True, database=None)
def test_feet_and_inches_read_back(length_m: float, parts: int) -> None:
    assert metres(feet_and_inches(length_m, parts, typed=True)) == pytest.approx(
        length_m, abs=0.0254 / parts / 2 + 1e-9
    )


def test_metres_to_the_centimetre() -> None:
    assert Show("m", WORDS).length(12.3) == "12.30 m"


@pytest.mark.parametrize(
    ("units", "told"),
    [("m", ("0.297 m", "0.300 m")), ("ft", ('11 11/16"', '11 13/16"'))],
)
def test_two_lengths_that_differ_read_differently(units: str, told: tuple[str, str]) -> None:
    assert Show(units, WORDS).lengths(0.297, 0.3) == told  # type: ignore[arg-type]


def test_lengths_that_are_one_stay_short() -> None:
    assert Show("m", WORDS).lengths(0.3, 0.3) == ("0.30 m", "0.30 m")


def test_areas() -> None:
    assert Show("m", WORDS).area(9.26) == "9.3 m²"
    assert Show("m", WORDS).area(1234.4) == "1,234 m²"
    assert Show("ft", WORDS).area(9.2903) == "100 sq ft"


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
    assert WORDS.listed("ABCDEFG"[:count]) == told


def test_shares() -> None:
    assert tuple(map(Show("m", WORDS).percent, (6.389, 22.0, 100))) == ("6.39 %", "22 %", "100 %")


def test_figures_with_the_signs_of_another_language() -> None:
    show = Show("m", GERMAN)
    assert show.length(12.3) == "12,30 m"
    assert show.lengths(0.297, 0.3) == ("0,297 m", "0,300 m")
    assert (show.area(1234.4), show.percent(6.389)) == ("1.234 m²", "6,39 %")
    assert GERMAN.listed("ABC") == "A, B und C"
