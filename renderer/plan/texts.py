"""Texts and names as they may stand on a sheet."""

from __future__ import annotations

import re
import unicodedata

from renderer.plan.errors import Problems, refuse, shown

TEXT_MAX = 2000
LINE_MAX = 150
NAME_MAX = 100

_FOLDED = re.compile(r"[ \t]*[\r\n]+[ \t\r\n]*")

# Letters that turn the direction of what follows could make a sheet say something else.
_BIDI = {*range(0x202A, 0x202F), *range(0x2066, 0x206A)}
_UNPRINTABLE = {"Cc", "Cs", "Zl", "Zp", "Cn"}


def to_text(value: object) -> str:
    """Text without control characters, line ends folded to spaces, in Unicode form C."""
    return _folded(value, TEXT_MAX)


def to_line(value: object) -> str:
    """A short text: a title, a person, a line of an address."""
    return _folded(value, LINE_MAX)


def to_name(value: object) -> str:
    """A name: text on one line that is not empty and fits a label."""
    text = _written(value).strip()
    if not text:
        refuse("it is empty", "write a name")
    return _clean(text, NAME_MAX)


def _folded(value: object, most: int) -> str:
    return _clean(_FOLDED.sub(" ", _written(value).strip()), most)


def _written(value: object) -> str:
    if isinstance(value, str):
        return str(value)
    if isinstance(value, int | float) and not isinstance(value, bool):
        return str(value)
    raise Problems.of(f"{shown(value)} is not text", "write a word, or text in quotes")


def _clean(text: str, most: int) -> str:
    if len(text) > most:
        refuse(f"it has {len(text)} characters", f"keep it to {most} or fewer")
    if text.isascii() and text.isprintable():
        return text
    for char in text:
        if unicodedata.category(char) in _UNPRINTABLE or ord(char) in _BIDI:
            refuse(f"it holds the unprintable character U+{ord(char):04X}", "remove it")
    return unicodedata.normalize("NFC", text)
