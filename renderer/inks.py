"""The inks of a print: grey, which is the reference, or colour as a second channel beside it.

Every line on a drawing can be told by its width, dash or pattern alone. In colour three kinds of
thing have an ink of their own besides: the wire, services, and water. All else, and every text and
number, is black in both.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING, get_args

from renderer.options import Inks
from renderer.primitives import (
    Circle,
    Document,
    Drawing,
    InkName,
    LatePages,
    Line,
    Page,
    Pen,
    Primitive,
)

if TYPE_CHECKING:
    from typing import Any

INKS: tuple[Inks, ...] = get_args(Inks)

# Far enough from each other, from black and from paper for readers who are blind to red, green or
# blue, and dark enough for thin lines; ``tests/outside/test_inks.py`` measures both.
COLOURS: Mapping[InkName, str] = MappingProxyType(
    {
        "wire": "#c4007a",  # magenta: red alone would be near black to those blind to red
        "services": "#a07800",  # dark yellow
        "water": "#2050d8",  # blue
    }
)


def drawing_in(ink: Inks, drawing: Drawing) -> Drawing:
    """The drawing with its inks; in grey it is the same one. Raises ValueError for other inks."""
    if _is_grey(ink):
        return drawing
    return replace(drawing, items=tuple(coloured(drawing.items)))


def document_in(ink: Inks, document: Document) -> Document:
    """The document with its inks; in grey it is the same one.

    Pages that are made as they are asked for still are. Raises ValueError for other inks.
    """
    if _is_grey(ink):
        return document
    pages = document.pages
    if isinstance(pages, tuple):
        return replace(document, pages=tuple(_page(page) for page in pages))
    return replace(document, pages=_Coloured(pages))


def coloured(items: Iterable[Primitive]) -> Iterable[Primitive]:
    """The primitives with the colour of what they stand for, in their order."""
    return map(_item, items)


def _is_grey(ink: str) -> bool:
    if ink not in INKS:
        raise ValueError(f"no ink {ink!r}; known: {', '.join(INKS)}")
    return ink == "grey"


class _Coloured(LatePages):
    """Pages that are coloured each time they are asked for."""

    def __init__(self, pages: Sequence[Page]) -> None:
        self._pages = pages

    def __len__(self) -> int:
        return len(self._pages)

    def page_at(self, index: int) -> Page:
        return _page(self._pages[index])


def _page(page: Page) -> Page:
    return replace(page, items=tuple(coloured(page.items)))


def _item(item: Primitive) -> Primitive:
    if not isinstance(item, (Line, Circle)):
        return item
    changed: dict[str, Any] = {}
    if item.pen is not None and item.pen.ink:
        changed["pen"] = _pen(item.pen, item.pen.ink)
    if item.ink and item.fill is not None:
        changed["fill"] = COLOURS[item.ink]
    return replace(item, **changed) if changed else item


@lru_cache(maxsize=64)
def _pen(pen: Pen, ink: InkName) -> Pen:
    """The pen in its colour; ``ink`` is named for the cache, to which pens of any ink are alike."""
    return replace(pen, colour=COLOURS[ink])
