"""Output: one backend each for PDF, SVG and PNG, and a recorder that tests read.

A backend knows primitives and nothing of plans. Each stands in a module of its own, which is
imported where it is used, because the libraries behind them are slow to start.
"""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module
from types import MappingProxyType
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from renderer.primitives import Drawing

__all__ = ["BACKENDS", "Writer", "writer"]


class Writer(Protocol):
    """What a backend's ``write_drawing`` is: one drawing as the bytes of a file."""

    def __call__(self, drawing: Drawing, language: str = "en") -> bytes:
        """``language`` is that of the texts. Raises MissingGlyph for one that no face can show."""
        ...


# The ending of a file's name, and the module here that writes such files.
BACKENDS: Mapping[str, str] = MappingProxyType({"svg": "svg", "pdf": "pdf", "png": "png"})


def writer(ending: str) -> Writer:
    """The backend for files of an ending, its library imported.

    Raises ValueError where there is none.
    """
    if ending not in BACKENDS:
        raise ValueError(f"no backend writes .{ending}; known: {', '.join(BACKENDS)}")
    found: Writer = import_module(f"{__name__}.{BACKENDS[ending]}").write_drawing
    return found
