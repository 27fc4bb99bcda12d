"""What a legend says, and that it says each thing once."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from renderer.drawing import drawing_words, legend
from renderer.drawing.legends import NO_KEY
from renderer.primitives import Text

USED = ("side.bed", "side.hedge", "obstacle.bed", "wire")


def told(used: Iterable[str], keyed: Iterable[tuple[str, str]] = (), language: str = "en") -> str:
    drawn = legend(used, 54.0, drawing_words(language), keyed)
    return " ".join(item.text for item in drawn.items if isinstance(item, Text))


@pytest.mark.parametrize("language", ["en", "de", "es", "fr"])
def test_a_bed_on_the_lawn_and_one_at_its_edge_are_told_apart(language: str) -> None:
    words = drawing_words(language)
    found = legend(USED, 54.0, words)
    texts = [item.text for item in found.items if isinstance(item, Text)]
    assert len(texts) == len(set(texts))
    name = words["side.bed"]
    assert name[:1].upper() + name[1:] in texts
    alone = told(("side.bed",), language=language)
    assert words["legend.side-too"].format(name="").strip() not in alone


def test_what_is_not_on_the_drawing_is_said_in_words() -> None:
    text = told(USED, [("N1", "Pond"), (NO_KEY, "Young maple"), (NO_KEY, "196"), (NO_KEY, "204")])
    assert "N1" in text and "Pond" in text and NO_KEY not in text
    assert "Not named on the plan: Young maple" in text
    assert "No room on the plan for the numbers of pegs 196, 204" in text
    one = told(USED, [(NO_KEY, "196")])
    assert "No room on the plan for the number of peg 196" in one and "Not named" not in one


def test_no_word_on_setbacks_where_none_stand_beside_the_sides() -> None:
    words = drawing_words().altered({"legend.side.note": ""})
    plain = legend(USED, 54.0, words).height_mm
    assert plain < legend(USED, 54.0, drawing_words()).height_mm
