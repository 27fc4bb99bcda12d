"""Characters that a face lacks are named, with their code and the field."""

from __future__ import annotations

import pickle

import pytest

from renderer.text import MissingGlyph, missing, require


def test_missing_characters_come_once_and_in_order() -> None:
    assert missing("Beet 漢 ش 漢", "regular") == ("漢", "ش")
    assert missing("Größe Ωμέγα Щит", "regular") == ()


def test_a_loose_accent_is_missing() -> None:
    assert missing("e\u0301", "regular") == ("\u0301",)


def test_require_lets_covered_text_pass() -> None:
    require("Straße — Ελλάδα", "condensed", "job.title")


def test_require_names_character_code_face_and_field() -> None:
    with pytest.raises(MissingGlyph) as caught:
        require("Garden 漢", "condensed_bold", "lawns.0.name")
    message = str(caught.value)
    for part in ("lawns.0.name", "'漢'", "U+6F22", "condensed bold"):
        assert part in message
    assert "\n" not in message
    assert caught.value.character == "漢"


def test_a_control_character_is_named_by_code_only() -> None:
    with pytest.raises(MissingGlyph, match=r"the character \(U\+0009, a control"):
        require("a\tb", "regular", "job.notes.0")


def test_the_error_crosses_processes() -> None:
    error = MissingGlyph("漢", "bold", "job.title")
    assert str(pickle.loads(pickle.dumps(error))) == str(error)
