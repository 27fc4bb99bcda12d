"""Line breaking."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from renderer.text import face, width_mm, wrap

SIZE = 9.0
texts = st.text(alphabet=[*sorted(face("regular").advances), " ", "-", "/", "\n"])


def lines(text: str, width: float) -> tuple[str, ...]:
    return wrap(text, "regular", SIZE, width)


@given(texts, st.floats(1.0, 80.0))
def test_no_line_is_wider_than_asked(text: str, width: float) -> None:
    for line in lines(text, width):
        assert len(line) <= 1 or width_mm(line, "regular", SIZE) <= width + 1e-6


@given(texts, st.floats(0.1, 80.0))
def test_nothing_but_spaces_is_lost(text: str, width: float) -> None:
    kept = "".join(lines(text, width))
    assert kept.replace(" ", "") == text.replace(" ", "").replace("\n", "")


@given(texts, st.floats(0.1, 80.0))
def test_every_line_is_as_full_as_it_can_be(text: str, width: float) -> None:
    for paragraph in text.split("\n"):
        broken = lines(paragraph, width)
        for line, following in pairwise(broken):
            first = following.split(" ")[0]
            if first and f"{line} {first}" in paragraph:
                assert width_mm(f"{line} {first}", "regular", SIZE) > width


def test_breaks_at_spaces() -> None:
    assert lines("first check the signal", width_mm("first check", "regular", SIZE)) == (
        "first check",
        "the signal",
    )


def test_breaks_after_a_hyphen_or_slash_between_words() -> None:
    assert lines("left-handed", width_mm("left-", "regular", SIZE) + 7.0) == ("left-", "handed")
    assert lines("kerb/fence", width_mm("kerb/", "regular", SIZE) + 3.0) == ("kerb/", "fence")


@pytest.mark.parametrize("word", ["2026-05-04", "TG-0413", "1/2", "km/h", "e-mail", "−5.00", "-5"])
def test_numbers_dates_units_and_single_letters_stay_whole(word: str) -> None:
    nearly = width_mm(f"at {word}", "regular", SIZE) - 0.1
    assert lines(f"at {word} on", nearly)[0] == "at"


def test_feet_and_their_inches_stay_on_a_line_unless_it_is_too_short_for_both() -> None:
    text = "ring 61' 6½\" to 226' 7\", back at 5 pegs"
    for width in range(14, 60):
        broken = lines(text, width)
        assert "".join(broken).replace(" ", "") == text.replace(" ", "")
        assert not any(line.endswith("'") for line in broken), broken
    narrow = width_mm("61'", "regular", SIZE)
    assert lines("61' 6½\"", narrow + 0.1)[0] == "61'"


def test_a_figure_and_its_unit_stay_on_a_line_and_a_word_that_begins_like_a_unit_does_not() -> None:
    text = (
        "Lower (113 m², 58 % of the hours) takes 12 minutes, 1 h 48 min and 0.88 m of 9 mole hills"
    )
    broken = [line for width in range(22, 90) for line in lines(text, width)]
    for unit in ("m²", "%", "h", "min", "m"):
        assert not any(line.split()[0].rstrip(",") == unit for line in broken), unit
    assert any(line.startswith("minutes") for line in broken)
    assert any(line.startswith("mole") for line in broken)


def test_a_no_break_space_does_not_break() -> None:
    text = "lay 3.5\u00a0m now"
    assert "3.5\u00a0m" in lines(text, width_mm("3.5\u00a0m", "regular", SIZE))


def test_a_word_too_long_is_broken_rather_than_let_over_the_edge() -> None:
    word = "Donaudampfschifffahrtsgesellschaft"
    broken = lines(word, 20.0)
    assert len(broken) > 1
    assert "".join(broken) == word


def test_each_line_holds_a_character_at_least() -> None:
    assert lines("abc", 0.1) == ("a", "b", "c")


def test_line_breaks_of_the_text_stay() -> None:
    assert lines("one\n\ntwo", 80.0) == ("one", "", "two")
    assert lines("", 80.0) == ("",)
