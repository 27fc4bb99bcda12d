"""What the backends share: where a text starts, how a field looks, whether a text can print."""

from __future__ import annotations

import math

from renderer.primitives import Document, Drawing, Field, Line, Page, Pen, Point, Text
from renderer.text import MissingGlyph, ink_box, missing, width_mm

FIELD_PEN = Pen(0.35)
RULE_PEN = Pen(0.25)

_SHIFT = {"start": 0.0, "middle": 0.5, "end": 1.0}


def drawing_page(drawing: Drawing, language: str = "en") -> Document:
    """A document of one page that holds a drawing and is as large as it is."""
    page = Page(drawing.width_mm, drawing.height_mm, tuple(drawing.items))
    return Document((page,), title=drawing.title, subject=drawing.description, language=language)


def text_start(item: Text) -> Point:
    """Where the baseline of a text starts, in mm on the page, by its anchor and angle."""
    share = _SHIFT[item.anchor]
    if not share:
        return item.at
    return _along(item, -share * width_mm(item.text, item.face, item.size_pt), 0.0)


def text_corners(item: Text) -> tuple[Point, Point, Point, Point]:
    """The corners, in mm on the page, of the box round the ink of a text, turned as it is."""
    x0, y0, x1, y1 = ink_box(item.text, item.face, item.size_pt)
    back = _SHIFT[item.anchor] * width_mm(item.text, item.face, item.size_pt)
    return (
        _along(item, x0 - back, y0),
        _along(item, x1 - back, y0),
        _along(item, x1 - back, y1),
        _along(item, x0 - back, y1),
    )


def _along(item: Text, right: float, down: float) -> Point:
    """The point so far right and down from the anchor of a text, as it is read."""
    x, y = item.at
    if not item.angle_deg:
        return x + right, y + down
    turn = math.radians(item.angle_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    return x + right * cos + down * sin, y - right * sin + down * cos


def field_lines(item: Field) -> tuple[Line, ...]:
    """A field as it is printed: a box to tick, or a rule to write on."""
    (x, y), right, low = item.at, item.at[0] + item.width_mm, item.at[1] + item.height_mm
    if item.kind == "tick":
        corners = ((x, y), (right, y), (right, low), (x, low))
        return (Line(corners, FIELD_PEN, closed=True, role=item.role),)
    return (Line(((x, low), (right, low)), RULE_PEN, role=item.role),)


def check_glyphs(item: Text, page: int) -> None:
    """Raises MissingGlyph, naming page and text, when the face of a text lacks a character."""
    lacking = missing(item.text, item.face)
    if lacking:
        where = f"page {page}, {item.role or 'text'} {item.text!r}"
        raise MissingGlyph(lacking[0], item.face, where)
