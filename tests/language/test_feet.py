"""Feet and inches: a tape's own marks, to the part of an inch that its length allows."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from renderer.language.feet import feet_and_inches, tape_parts, with_signs

INCH = 0.0254


@pytest.mark.parametrize(
    ("inches", "text"),
    [
        (0, '0"'),
        (0.25, '¼"'),
        (0.124, '0"'),
        (0.126, '¼"'),
        (4, '4"'),
        (11.9, "1' 0\""),
        (12, "1' 0\""),
        (12.5, "1' 0½\""),
        (150, "12' 6\""),
        (150.75, "12' 6¾\""),
        (-6, '-6"'),
    ],
)
def test_feet_and_inches_to_the_nearest_quarter(inches: float, text: str) -> None:
    assert feet_and_inches(inches * INCH) == text


@pytest.mark.parametrize(
    ("inches", "text"),
    [
        (35.2, "2' 11¼\""),
        (36.2, "3' 0\""),
        (36.3, "3' 0½\""),
        (119.8, "10' 0\""),
        (280.4, "23' 4\""),
    ],
)
def test_a_long_tape_is_read_to_coarser_parts(inches: float, text: str) -> None:
    # common practice, no published source
    assert feet_and_inches(inches * INCH, tape_parts(inches * INCH)) == text


@given(st.floats(0, 2000), st.sampled_from([1, 2, 4]))
def test_what_is_written_is_off_by_half_a_step_at_most(length_m: float, parts: int) -> None:
    feet, _, rest = feet_and_inches(length_m, parts).rpartition("' ")
    whole = "".join(sign for sign in rest if sign.isdigit())
    inches = (
        12 * int(feet or 0)
        + int(whole or 0)
        + sum({"¼": 0.25, "½": 0.5, "¾": 0.75}.get(sign, 0.0) for sign in rest)
    )
    assert math.isclose(inches * INCH, length_m, abs_tol=INCH / parts / 2 + 1e-9)


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("23' 5 1/4\" of wire", "23' 5¼\" of wire"),
        ('1/2" off, 12 3/4" wide', '½" off, 12¾" wide'),
        ('4\' 0 1/8" and 11/2"', '4\' 0 1/8" and 11/2"'),
        ("at 1/2 of it", "at 1/2 of it"),
    ],
)
def test_typed_fractions_are_printed_with_their_signs(typed: str, printed: str) -> None:
    assert with_signs(typed) == printed
