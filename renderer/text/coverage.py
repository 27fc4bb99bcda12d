"""Whether a face has every character of a text."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Mapping

from renderer.text.faces import FaceName, face


class MissingGlyph(Exception):
    """A text holds a character that its face cannot print.

    ``str()`` is one clear line that names the field, the character and its code.
    """

    def __init__(self, character: str, face_name: FaceName, where: str) -> None:
        super().__init__(character, face_name, where)
        self.character = character
        self.face = face_name
        self.where = where

    def __str__(self) -> str:
        name = unicodedata.name(self.character, "a control or private character").lower()
        shown = f"'{self.character}' " if self.character.isprintable() else ""
        return (
            f"{self.where}: the character {shown}(U+{ord(self.character):04X}, {name}) is not in "
            f"the {self.face.replace('_', ' ')} face; use Latin, Greek or Cyrillic letters "
            "and common signs"
        )


def missing(text: str, face_name: FaceName) -> tuple[str, ...]:
    """The characters of a text that a face lacks, each once, in the order they come."""
    advances = face(face_name).advances
    if advances.keys() >= set(text):
        return ()
    return tuple(dict.fromkeys(character for character in text if character not in advances))


def require(text: str, face_name: FaceName, where: str) -> None:
    """Raises MissingGlyph, naming the field ``where``, when the face lacks a character."""
    lacking = missing(text, face_name)
    if lacking:
        raise MissingGlyph(lacking[0], face_name, where)


def require_all(held: Mapping[str, object], name: str) -> None:
    """The same for every text in nested values, such as a plan's or a layout's.

    Raises MissingGlyph, naming ``name`` and the key, for a character that no face has.
    """
    for where, text in _texts(held, ""):
        require(text, "regular", f"{name}, {where}")


def _texts(value: object, where: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, str):
        yield where, value
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _texts(inner, f"{where}.{key}" if where else str(key))
    elif isinstance(value, list | tuple):
        for index, inner in enumerate(value):
            yield from _texts(inner, f"{where}[{index}]")
