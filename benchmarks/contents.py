"""What a PDF holds besides marks on its pages, for that too is work that its maker did."""

from __future__ import annotations

from importlib.util import find_spec
from io import BytesIO
from typing import Any


def contents(pdf: bytes) -> str:
    """Whether its text can be selected, and how many bookmarks, links and tags it has."""
    if not find_spec("pypdf"):
        return "pypdf is not installed"
    import pypdf

    reader = pypdf.PdfReader(BytesIO(pdf))
    text = any(page.extract_text().strip() for page in reader.pages)
    links = sum(_is_link(note) for page in reader.pages for note in page.get("/Annots") or ())
    root: Any = reader.trailer["/Root"]
    found = [
        "text" if text else "no text",
        "tags" if "/StructTreeRoot" in root else "no tags",
        f"{_count(reader.outline)} bookmarks",
        f"{links} links",
    ]
    return ", ".join(found)


def _is_link(note: Any) -> bool:
    return bool(note.get_object().get("/Subtype") == "/Link")


def _count(outline: Any) -> int:
    return sum(_count(each) if isinstance(each, list) else 1 for each in outline)
