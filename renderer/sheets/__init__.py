"""The sheets: blocks that a layout file puts in order, flowed over finished pages."""

from __future__ import annotations

from renderer.sheets.compose import compose
from renderer.sheets.errors import SheetError
from renderer.sheets.layout import (
    Layout,
    document_title,
    in_language,
    layout_for,
    layouts,
    load_layout,
)

__all__ = [
    "Layout",
    "SheetError",
    "compose",
    "document_title",
    "in_language",
    "layout_for",
    "layouts",
    "load_layout",
]
