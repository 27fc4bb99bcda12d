"""The sheets: blocks that a layout file puts in order, flowed over finished pages."""

from __future__ import annotations

from renderer.job.job import JobData
from renderer.sheets.compose import compose
from renderer.sheets.errors import SheetError
from renderer.sheets.layout import Layout, document_title, in_language, layouts, load_layout

__all__ = [
    "JobData",
    "Layout",
    "SheetError",
    "compose",
    "document_title",
    "in_language",
    "layouts",
    "load_layout",
]
