"""The peer that all ratios go by: the same pages drawn by hand on reportlab's canvas.

It is written as most programs that use the canvas are: each thing sets its own pen and
colour, each string is a text of its own, and every setting is the library's default.
"""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO
from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import FILL_EVEN_ODD, Canvas

from renderer.output.shapes import field_lines
from renderer.primitives import Area, Circle, Document, Field, Line, Pen, Point, Text
from renderer.text import FACE_FILES, face_path

CAPS = {"butt": 0, "round": 1}
JOINS = {"miter": 0, "round": 1}


def ready() -> None:
    """Reads the faces, once for all documents."""
    for face in FACE_FILES:
        pdfmetrics.registerFont(TTFont(f"plain-{face}", str(face_path(face))))


def draw(document: Document) -> bytes:
    """The document as PDF."""
    file = BytesIO()
    canvas = Canvas(file)
    canvas.setTitle(document.title)
    painters: dict[type, Callable[[Canvas, Any, float], None]] = {
        Line: _line,
        Area: _area,
        Circle: _circle,
        Text: _text,
        Field: _field,
    }
    for page in document.pages:
        canvas.setPageSize((page.width_mm * mm, page.height_mm * mm))
        for item in page.items:
            painter = painters.get(type(item))
            if painter is not None:
                painter(canvas, item, page.height_mm)
        canvas.showPage()
    canvas.save()
    return file.getvalue()


def _style(canvas: Canvas, pen: Pen | None, fill: str | None) -> dict[str, int]:
    if pen is not None:
        canvas.setLineWidth(pen.width_mm * mm)
        canvas.setStrokeColor(HexColor(pen.colour))
        canvas.setDash([length * mm for length in pen.dash_mm])
        canvas.setLineCap(CAPS[pen.cap])
        canvas.setLineJoin(JOINS[pen.join])
    if fill is not None:
        canvas.setFillColor(HexColor(fill))
    return {"stroke": int(pen is not None), "fill": int(fill is not None)}


def _line(canvas: Canvas, item: Line, height_mm: float) -> None:
    style = _style(canvas, item.pen, item.fill)
    if len(item.points) == 2:
        (x0, y0), (x1, y1) = item.points
        canvas.line(x0 * mm, (height_mm - y0) * mm, x1 * mm, (height_mm - y1) * mm)
        return
    path = canvas.beginPath()
    _chain(path, item.points, height_mm, item.closed)
    canvas.drawPath(path, **style)


def _area(canvas: Canvas, item: Area, height_mm: float) -> None:
    path = canvas.beginPath()
    for ring in item.rings:
        _chain(path, ring, height_mm, True)
    style = _style(canvas, item.pen, item.fill)
    canvas.drawPath(path, fillMode=FILL_EVEN_ODD, **style)


def _chain(path: Any, points: tuple[Point, ...], height_mm: float, closed: bool) -> None:
    (x, y), *rest = points
    path.moveTo(x * mm, (height_mm - y) * mm)
    for x, y in rest:
        path.lineTo(x * mm, (height_mm - y) * mm)
    if closed:
        path.close()


def _circle(canvas: Canvas, item: Circle, height_mm: float) -> None:
    style = _style(canvas, item.pen, item.fill)
    x, y = item.at
    canvas.circle(x * mm, (height_mm - y) * mm, item.radius_mm * mm, **style)


def _field(canvas: Canvas, item: Field, height_mm: float) -> None:
    for line in field_lines(item):
        _line(canvas, line, height_mm)


def _text(canvas: Canvas, item: Text, height_mm: float) -> None:
    x, y = item.at[0] * mm, (height_mm - item.at[1]) * mm
    canvas.setFont(f"plain-{item.face}", item.size_pt)
    canvas.setFillColor(HexColor(item.colour))
    show = {
        "start": canvas.drawString,
        "middle": canvas.drawCentredString,
        "end": canvas.drawRightString,
    }[item.anchor]
    if not item.angle_deg:
        show(x, y, item.text)
        return
    canvas.saveState()
    canvas.translate(x, y)
    canvas.rotate(item.angle_deg)
    show(0, 0, item.text)
    canvas.restoreState()
