"""Whether the embedded faces have every character that a plan or a layout prints."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from renderer.text import require

if TYPE_CHECKING:
    from renderer.plan.base import Model


def require_glyphs(model: Model, name: str) -> None:
    """Raises MissingGlyph, naming ``name`` and the key, for a character that no face has."""
    for where, text in _texts(model.model_dump(), ""):
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
