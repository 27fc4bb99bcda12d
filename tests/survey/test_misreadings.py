"""What a reading may have been before it was misread."""

from __future__ import annotations

import pytest

from renderer.survey.misreadings import misreadings
from renderer.survey.network import Reading
from renderer.units import M_PER_FOOT


@pytest.mark.parametrize(
    ("reads", "was", "slip"),
    [
        (9.60, 6.90, "digits"),
        (9.60, 9.06, "digits"),
        (12.34, 21.34, "digits"),
        (9.60, 8.60, "whole"),
        (9.60, 10.60, "whole"),
        (9.60, 9.50, "hook"),
        (14.20, 4.20, "ten"),
        (6.25, 9.25, "six-nine"),
        (7.25, 1.25, "one-seven"),
        (12.00, 18.00, "wrong-end"),
    ],
)
def test_metres(reads: float, was: float, slip: str) -> None:
    found = {
        each.value: each.slip for each in misreadings(Reading("tape", ("A", "p"), reads, 0.03), "m")
    }
    assert found[was] == slip


@pytest.mark.parametrize(
    ("reads_ft", "was_ft", "slip"),
    [
        (31.50, 13.50, "digits"),  # 31 ft 6 in for 13 ft 6 in, or 31.50 for 13.50
        (31.25, 30.25, "whole"),
        (26 + 7 / 12, 62 + 7 / 12, "digits"),
        (40.20, 30.20, "ten"),
        (20.0, 80.0, "wrong-end"),
    ],
)
def test_feet(reads_ft: float, was_ft: float, slip: str) -> None:
    reading = Reading("tape", ("A", "p"), reads_ft * M_PER_FOOT, 0.03)
    found = {round(each.value / M_PER_FOOT, 3): each.slip for each in misreadings(reading, "ft")}
    assert found[round(was_ft, 3)] == slip


def test_no_length_is_negative_and_none_is_the_reading_itself() -> None:
    for reads in (0.33, 0.66, 1.10, 11.11, 20.0):
        for each in misreadings(Reading("tape", ("A", "p"), reads, 0.03), "m"):
            assert each.value > 0 and abs(each.value - reads) > 1e-6


def test_an_angle_turned_the_other_way_and_a_bearing_read_backwards() -> None:
    angle = {
        each.slip: each.value
        for each in misreadings(Reading("angle", ("A", "B", "p"), 52.4, 1), "m")
    }
    assert angle["other-way"] == pytest.approx(307.6)
    assert angle["back"] == pytest.approx(232.4)


def test_an_angle_less_than_nothing_has_no_sign_among_its_digits() -> None:
    for reads in (-0.02, -3.2, 0.0):
        found = misreadings(Reading("angle", ("A", "B", "p"), reads, 1), "m")
        assert found and all(0 <= each.value < 360 for each in found)
