"""Words that people use for others of the plan file, and areas with their units."""

from __future__ import annotations

from typing import get_args

import pytest

from renderer.plan.errors import Problems, did_you_mean, nearest
from renderer.plan.kinds import SIDE_KINDS, FeatureKind, ObstacleKind
from renderer.plan.values import to_area


@pytest.mark.parametrize(
    ("word", "known", "meant"),
    [
        ("shed", SIDE_KINDS, "wall"),
        ("Shed", get_args(FeatureKind), "building"),
        ("diameter", ("at", "radius"), "radius"),
        ("pool", SIDE_KINDS, "water"),
        ("hegde", SIDE_KINDS, "hedge"),
    ],
)
def test_a_word_of_the_trade_leads_to_that_of_the_file(
    word: str, known: tuple[str, ...], meant: str
) -> None:
    assert nearest(word, known) == meant


def test_of_several_words_each_is_named_and_a_diameter_is_halved() -> None:
    assert did_you_mean("shed", get_args(ObstacleKind)) == "did you mean 'wall' or 'firm'?"
    told = did_you_mean("diameter", ("at", "radius"))
    assert told == "write 'radius', which is half the diameter"
    assert did_you_mean("xyzzy", SIDE_KINDS) == ""


@pytest.mark.parametrize(
    ("written", "unit", "square_metres"),
    [
        (800, "m", 800.0),
        ("800 m2", "ft", 800.0),
        (8611.13, "ft", 800.0),
        ("8611.13 sq ft", "m", 800.0),
        ("1500.5 m²", "m", 1500.5),
    ],
)
def test_an_area_is_read_in_its_own_unit_or_the_files(
    written: object, unit: str, square_metres: float
) -> None:
    assert to_area(written, unit) == pytest.approx(square_metres, abs=0.01)


@pytest.mark.parametrize("written", ["much", "800 acres", -5, 0, True, None, [800], "1e9"])
def test_what_is_no_area_is_refused_with_a_cure(written: object) -> None:
    with pytest.raises(Problems) as refused:
        to_area(written, "m")
    assert refused.value.items[0].cure
