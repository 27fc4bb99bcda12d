"""Figures as people read them."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from renderer.language import load_words
from renderer.sheets.measure import Measure, feet_and_inches

INCH = 0.0254
METRIC = Measure("m", load_words())
FEET = Measure("ft", load_words())


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
    assert feet_and_inches(inches * INCH).replace("\u00a0", " ") == text


@given(st.floats(0, 2000))
def test_feet_and_inches_are_within_an_eighth_of_an_inch(length_m: float) -> None:
    text = feet_and_inches(length_m)
    feet, _, rest = text.rpartition("'\u00a0")
    rest = rest.removesuffix('"')
    parts = {"¼": 0.25, "½": 0.5, "¾": 0.75}
    inches = sum(parts.get(char, 0.0) for char in rest)
    whole = "".join(char for char in rest if char.isdigit())
    back = int(feet or 0) * 12 + int(whole or 0) + inches
    assert abs(back * INCH - length_m) <= INCH / 8 + 1e-9


def test_metric_lengths_have_two_decimals_and_never_break() -> None:
    assert METRIC.length(12.3) == "12.30\u00a0m"
    assert METRIC.bare(0.299) == "0.30"
    assert METRIC.small(0.006) == "6\u00a0mm"
    assert METRIC.small(0.05) == "5\u00a0cm"


def test_wire_to_order_is_rounded_up_but_not_past_a_whole_number() -> None:
    assert METRIC.ordered(99.06) == "100\u00a0m"
    assert METRIC.ordered(99.0 + 1e-9) == "99\u00a0m"
    assert FEET.ordered(0.3048 * 500) == "500\u00a0ft"


def test_a_plan_in_feet_shows_no_metric_figure() -> None:
    shown = [FEET.length(3.0), FEET.bare(3.0), FEET.small(0.05), FEET.area(30), FEET.ordered(9)]
    assert not any(
        text.replace("\u00a0", " ").split()[-1] in ("m", "cm", "mm", "m²") for text in shown
    )
    assert FEET.area(0.3048**2 * 1234) == "1,234\u00a0sq\u00a0ft"


def test_times_and_days_are_in_words() -> None:
    assert METRIC.minutes(116).replace("\u00a0", " ") == "1 h 56 min"
    assert METRIC.minutes(60).replace("\u00a0", " ") == "1 h"
    assert METRIC.minutes(5).replace("\u00a0", " ") == "5 min"
    assert METRIC.day(date(2026, 5, 4)).replace("\u00a0", " ") == "Monday 4 May 2026"
    assert METRIC.day(None) == ""
