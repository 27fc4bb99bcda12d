"""What the backends share: where a text starts, how a field looks, whether a text can print."""

from __future__ import annotations

from renderer.primitives import Document, Drawing, Field, Line, Page, Pen, Point, Text
from renderer.text import MissingGlyph, baseline_start, ink_corners, missing

FIELD_PEN = Pen(0.35)
RULE_PEN = Pen(0.25)


def drawing_page(drawing: Drawing, language: str = "en") -> Document:
    """A document of one page that holds a drawing and is as large as it is."""
    page = Page(drawing.width_mm, drawing.height_mm, tuple(drawing.items))
    return Document((page,), title=drawing.title, subject=drawing.description, language=language)


def text_start(item: Text) -> Point:
    """Where the baseline of a text starts, in mm on the page, by its anchor and angle."""
    return baseline_start(item.text, item.face, item.size_pt, item.at, item.anchor, item.angle_deg)


def text_corners(item: Text) -> tuple[Point, Point, Point, Point]:
    """The corners, in mm on the page, of the box round the ink of a text, turned as it is."""
    return ink_corners(item.text, item.face, item.size_pt, item.at, item.anchor, item.angle_deg)


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
