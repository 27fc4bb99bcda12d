"""The words on drawings, from the catalogue beside the layouts."""

from __future__ import annotations

from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING

from renderer.resources import layouts

if TYPE_CHECKING:
    from collections.abc import Mapping


@lru_cache(maxsize=8)
def drawing_words(language: str = "en") -> Mapping[str, str]:
    """The words on drawings in a language. Raises FileNotFoundError where there are none."""
    import yaml

    text = (layouts() / "words" / f"{language}.drawing.yaml").read_text("utf-8")
    words: dict[str, str] = yaml.load(text, getattr(yaml, "CBaseLoader", yaml.BaseLoader))
    return MappingProxyType(words)
