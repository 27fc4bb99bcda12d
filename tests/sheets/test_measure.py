"""Figures as people read them."""

from __future__ import annotations

from datetime import date

from renderer.language import load_words
from renderer.sheets.measure import Measure

INCH = 0.0254
METRIC = Measure("m", load_words())
FEET = Measure("ft", load_words())


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
