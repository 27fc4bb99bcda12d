"""The words on drawings, from the catalogue beside the layouts."""

from __future__ import annotations

from renderer.language import ENGLISH, Words, load_words


def drawing_words(language: str = ENGLISH) -> Words:
    """The words on drawings in a language. Raises WordError where there are none."""
    return load_words(language, "drawing")
