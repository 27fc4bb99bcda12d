"""Writes a drawing or a page as SVG, by svgwrite.

One unit is one millimetre on paper, so the file opens at its true size. Lengths are
rounded to a thousandth of a millimetre and nothing but turned text has a transform.
"""

from __future__ import annotations

import base64
import re
from collections.abc import Iterable, Mapping
from typing import Any, assert_never

import svgwrite
from svgwrite.base import BaseElement

from renderer.output.shapes import check_glyphs, field_lines
from renderer.primitives import (
    Area,
    Circle,
    Drawing,
    FaceName,
    Field,
    Line,
    Link,
    Page,
    Pen,
    Picture,
    Point,
    Primitive,
    Ruler,
    Text,
)
from renderer.text import width_mm
from renderer.units import POINTS_PER_MM

FAMILY = "'Pegline Sans', 'Noto Sans', 'DejaVu Sans', Arial, sans-serif"
_COMMON_JOIN = "round"
_FACE_STYLE: Mapping[FaceName, Mapping[str, str]] = {
    "regular": {},
    "bold": {"font_weight": "bold"},
    "italic": {"font_style": "italic"},
    "condensed": {"font_stretch": "condensed"},
    "condensed_bold": {"font_weight": "bold", "font_stretch": "condensed"},
}
_XML_CONTROLS = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def write_drawing(drawing: Drawing, language: str = "en") -> bytes:
    """The backend for ``.svg``: as ``write_svg``."""
    return write_svg(drawing, language)


def write_svg(drawing: Drawing, language: str = "en") -> bytes:
    """A drawing as the bytes of an SVG file; the root names its scale in ``data-scale``.

    ``language`` is that of its texts, named where it is not English.

    Raises ``renderer.text.MissingGlyph`` where a face lacks a character, so that the
    drawing can be printed too, and ValueError where a coordinate is not a number.
    """
    root = _root(drawing.width_mm, drawing.height_mm, drawing.title, drawing.description)
    if language != "en":
        root.attribs["xml:lang"] = language
    if drawing.scale is not None:
        root.attribs["data-scale"] = _number(drawing.scale)
    return _written(root, drawing.items, 1)


def page_svg(page: Page, title: str = "", number: int = 1) -> bytes:
    """A page as the bytes of an SVG file; ``number`` is the page's for messages.

    Links are left out, fields are drawn. Raises what ``write_svg`` raises.
    """
    return _written(_root(page.width_mm, page.height_mm, title, ""), page.items, number)


def _root(width_mm: float, height_mm: float, title: str, description: str) -> svgwrite.Drawing:
    width, height = _number(width_mm), _number(height_mm)
    root = svgwrite.Drawing(
        debug=False,
        size=(f"{width}mm", f"{height}mm"),
        viewBox=f"0 0 {width} {height}",
        font_family=FAMILY,
        stroke_linejoin=_COMMON_JOIN,
    )
    root.attribs["role"] = "img"
    if title or description:
        root.set_desc(title=_clean(title) or None, desc=_clean(description) or None)
    return root


def _written(root: svgwrite.Drawing, items: Iterable[Primitive], page: int) -> bytes:
    taken: dict[str, int] = {}
    for item in items:
        for element, of in _elements(item, page):
            _describe(element, of, taken)
            root.add(element)
    text: str = root.tostring()
    return ('<?xml version="1.0" encoding="UTF-8"?>\n' + text + "\n").encode()


def _elements(item: Primitive, page: int) -> Iterable[tuple[BaseElement, Primitive]]:
    match item:
        case Text():
            check_glyphs(item, page)
            yield _text(item), item
        case Line():
            yield _line(item), item
        case Area():
            yield _area(item), item
        case Circle():
            yield _circle(item), item
        case Field():
            for line in field_lines(item):
                yield _line(line), item
        case Picture():
            yield _picture(item), item
        case Link() | Ruler():
            pass  # a link leads to another page, and this file has one; no viewer measures here
        case _:
            assert_never(item)


def _describe(element: BaseElement, item: Primitive, taken: dict[str, int]) -> None:
    """Sets id, class and title. A second element of one id gets a number after it."""
    name = getattr(item, "id", None)
    if name:
        count = taken[name] = taken.get(name, 0) + 1
        element.attribs["id"] = name if count == 1 else f"{name}-{count}"
    role = getattr(item, "role", "")
    if role:
        element.attribs["class"] = _clean(role)
    title = getattr(item, "title", None)
    if title:
        element.set_desc(title=_clean(title))


def _line(item: Line) -> BaseElement:
    make = svgwrite.shapes.Polygon if item.closed else svgwrite.shapes.Polyline
    return make(_points(item.points), debug=False, **_style(item.pen, item.fill))


def _area(item: Area) -> BaseElement:
    path = svgwrite.path.Path(debug=False, fill_rule=item.rule, **_style(item.pen, item.fill))
    for ring in item.rings:
        corners = " L ".join(",".join(point) for point in _points(ring))
        path.push(f"M {corners} Z")
    return path


def _circle(item: Circle) -> BaseElement:
    return svgwrite.shapes.Circle(
        _points((item.at,))[0],
        _number(item.radius_mm),
        debug=False,
        **_style(item.pen, item.fill),
    )


def _text(item: Text) -> BaseElement:
    """Text as text; its length is given, so that another face takes no more room than ours."""
    x, y = _points((item.at,))[0]
    length = width_mm(item.text, item.face, item.size_pt)
    element = svgwrite.text.Text(
        _clean(item.text),
        insert=(x, y),
        debug=False,
        font_size=_number(item.size_pt / POINTS_PER_MM),
        fill=item.colour,
        **_FACE_STYLE[item.face],
    )
    if item.anchor != "start":
        element.attribs["text-anchor"] = item.anchor
    if len(item.text) > 1:
        element.attribs["textLength"] = _number(length)
        element.attribs["lengthAdjust"] = "spacingAndGlyphs"
    if "  " in item.text:
        element.attribs["xml:space"] = "preserve"
    if item.angle_deg:
        element.attribs["transform"] = f"rotate({_number(-item.angle_deg)} {x} {y})"
    return element


def _picture(item: Picture) -> BaseElement:
    code = base64.b64encode(item.png).decode("ascii")
    return svgwrite.image.Image(
        f"data:image/png;base64,{code}",
        insert=_points((item.at,))[0],
        size=(_number(item.width_mm), _number(item.height_mm)),
        debug=False,
        preserveAspectRatio="none",
    )


def _style(pen: Pen | None, fill: str | None) -> dict[str, Any]:
    style: dict[str, Any] = {"fill": fill or "none"}
    if pen is None:
        return style
    style |= {"stroke": pen.colour, "stroke_width": _number(pen.width_mm)}
    if pen.dash_mm:
        style["stroke_dasharray"] = " ".join(_number(length) for length in pen.dash_mm)
    if pen.cap != "butt":
        style["stroke_linecap"] = pen.cap
    if pen.join != _COMMON_JOIN:
        style["stroke_linejoin"] = pen.join
    return style


def _points(points: Iterable[Point]) -> list[tuple[str, str]]:
    return [(_number(x), _number(y)) for x, y in points]


def _number(value: float) -> str:
    text = f"{round(value, 3) + 0.0:.10g}"
    if "n" in text:
        raise ValueError(f"a coordinate or length is not a number: {value}")
    return text


def _clean(text: str) -> str:
    """The text without the characters that XML 1.0 cannot hold."""
    return _XML_CONTROLS.sub("", text)
