"""Lengths in every way that people write them."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from renderer.plan.lengths import LENGTH_PATTERN, LengthError, metres, number

WRITTEN = [
    ("0.3", 0.3),
    ("-1.5", -1.5),
    ("+2", 2.0),
    (".5", 0.5),
    ("3.", 3.0),
    ("1e-07", 1e-07),
    ("30 cm", 0.30),
    ("30cm", 0.30),
    ("5 mm", 0.005),
    ("2 m", 2.0),
    ("12 in", 0.3048),
    ("1/2 in", 0.0127),
    ("3 1/2 in", 0.0889),
    ("3-1/2 in", 0.0889),
    ("1 inch", 0.0254),
    ("2 inches", 0.0508),
    ('4"', 0.1016),
    ("4″", 0.1016),
    ("1 ft", 0.3048),
    ("1 foot", 0.3048),
    ("2.5 feet", 0.762),
    ("6'", 1.8288),
    ("12 ft 6 in", 3.81),
    ("12' 6\"", 3.81),
    ("12'6\"", 3.81),
    ("12'-6 1/2\"", 3.8227),
    ("12′ 6″", 3.81),
    ("-12 ft 6 in", -3.81),
    ("- 30 cm", -0.30),
    ("−30 cm", -0.30),
    ("  30 cm  ", 0.30),
    ("0 ft 0 in", 0.0),
]

NO_LENGTHS = [
    "", " ", "m", "abc", "1:30", "1_000", "0x10", "nan", ".nan", "inf", "-inf", "1e400",
    "12 ft 14 in", "12 ft 12 in", "12.5 ft 6 in", "12 in 6 ft", "1 / 2 in", "1/0 in", "30 cm 2",
    "30 km", "--3", "3 m m", "0,30", "1,000", "3 1/2/3 in", "٣ m", "1 2", "12 ft -6 in 3", "1e",
    "yes", "2026-05-04",
]  # fmt: skip


@pytest.mark.parametrize(("text", "expected"), WRITTEN)
def test_reads(text: str, expected: float) -> None:
    assert metres(text) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("text", NO_LENGTHS)
def test_refuses(text: str) -> None:
    with pytest.raises(LengthError) as caught:
        metres(text)
    assert caught.value.problem
    assert caught.value.cure


def test_a_bare_number_is_in_the_files_unit() -> None:
    assert metres("10", "ft") == pytest.approx(3.048)
    assert metres("2 1/2", "ft") == pytest.approx(0.762)
    assert metres("10 m", "ft") == 10.0


def test_one_length_is_one_number_in_any_unit() -> None:
    same = {
        metres("1 ft"),
        metres("12 in"),
        metres("30.48 cm"),
        metres("304.8 mm"),
        metres("0.3048"),
    }
    assert same == {0.3048}


def test_nothing_is_never_minus_nothing() -> None:
    assert str(metres("-0")) == "0.0"
    assert str(metres("-0 in")) == "0.0"


def test_a_decimal_comma_is_told() -> None:
    with pytest.raises(LengthError, match="comma"):
        metres("0,30 m")


@pytest.mark.parametrize("text", [text for text, _ in WRITTEN])
def test_the_schemas_pattern_knows_what_is_read(text: str) -> None:
    assert re.search(LENGTH_PATTERN, text)


PATTERN_IS_LAXER = {"1e400", "1/0 in", "12 ft 14 in", "12 ft 12 in"}


@pytest.mark.parametrize("text", [text for text in NO_LENGTHS if text not in PATTERN_IS_LAXER])
def test_the_schemas_pattern_knows_what_is_not(text: str) -> None:
    assert not re.search(LENGTH_PATTERN, text)


@settings(max_examples=60, deadline=None)
@given(
    feet=st.integers(0, 9999),
    inches=st.integers(0, 11),
    over=st.integers(0, 15),
    negative=st.booleans(),
)
def test_feet_inches_and_sixteenths(feet: int, inches: int, over: int, negative: bool) -> None:
    text = f"{'-' if negative else ''}{feet} ft {inches} {over}/16 in"
    exact = (12 * feet + inches + Fraction(over, 16)) * Fraction(254, 10000)
    assert metres(text) == pytest.approx(float(-exact if negative else exact), abs=2e-9)


@settings(max_examples=60, deadline=None)
@given(st.floats(-1e6, 1e6))
def test_what_python_writes_is_read_back(value: float) -> None:
    assert metres(repr(value)) == pytest.approx(value, abs=1e-9)


@settings(max_examples=100, deadline=None)
@given(st.text("0123456789 .-+/'\"eEmcftin", max_size=12))
def test_the_pattern_and_the_reader_agree(text: str) -> None:
    try:
        metres(text)
        read = True
    except LengthError:
        read = False
    if read:
        assert re.search(LENGTH_PATTERN, text)


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=12))
def test_a_number_is_plain_or_nothing(text: str) -> None:
    found = number(text)
    assert found is None or found == float(text)
