"""One list of primitives through PDF and SVG: the same places, read by independent libraries."""

from __future__ import annotations

import math
from io import BytesIO

import pdfplumber
import pymupdf
import pytest
import svgelements
from hypothesis import given, settings
from hypothesis import strategies as st

from renderer.output.pdf import write_pdf
from renderer.output.recorder import record
from renderer.output.shapes import drawing_page
from renderer.output.svg import write_svg
from renderer.primitives import Circle, Drawing, Line, Pen, Point, Text

MM_PER_POINT = 25.4 / 72.0
TOLERANCE = 0.05
PEN = Pen(0.2)

places = st.floats(5.0, 195.0, allow_nan=False)
chains = st.lists(st.tuples(places, places), min_size=5, max_size=12)


def svg_shapes(drawing: Drawing) -> list[svgelements.Shape]:
    """The shapes in millimetres: one user unit is read as one pixel."""
    svg = svgelements.SVG.parse(
        BytesIO(write_svg(drawing)), width=drawing.width_mm, height=drawing.height_mm, ppi=25.4
    )
    return [element for element in svg.elements() if isinstance(element, svgelements.Shape)]


def pdf_curves(drawing: Drawing) -> list[list[Point]]:
    with pdfplumber.open(BytesIO(write_pdf(drawing_page(drawing)))) as pdf:
        page = pdf.pages[0]
        found = [*page.curves, *page.lines, *page.rects]
        return [[(x * MM_PER_POINT, y * MM_PER_POINT) for x, y in item["pts"]] for item in found]


@settings(max_examples=25, deadline=None)
@given(chains, st.booleans())
def test_chains_agree(points: list[Point], closed: bool) -> None:
    drawing = Drawing(200.0, 200.0, (Line(tuple(points), PEN, closed=closed),))
    (shape,) = svg_shapes(drawing)
    from_svg = [(float(point.x), float(point.y)) for point in shape.points]
    (from_pdf,) = pdf_curves(drawing)
    assert len(from_svg) >= len(points)
    for wanted, seen, other in zip(points, from_pdf, from_svg, strict=False):
        assert math.dist(seen, wanted) < TOLERANCE
        assert math.dist(seen, other) < TOLERANCE


@settings(max_examples=25, deadline=None)
@given(places, places, st.floats(0.2, 5.0))
def test_circles_agree(x: float, y: float, radius: float) -> None:
    drawing = Drawing(200.0, 200.0, (Circle((x, y), radius, PEN, "#ffffff"),))
    (shape,) = svg_shapes(drawing)
    with pymupdf.open("pdf", write_pdf(drawing_page(drawing))) as pdf:
        (path,) = pdf[0].get_drawings()
        box = [edge * MM_PER_POINT for edge in path["rect"]]
    assert (float(shape.cx), float(shape.cy)) == pytest.approx((x, y), abs=TOLERANCE)
    assert box == pytest.approx((x - radius, y - radius, x + radius, y + radius), abs=TOLERANCE)


def test_a_circle_of_arcs_is_round() -> None:
    drawing = Drawing(200.0, 200.0, (Circle((100.0, 100.0), 50.0, PEN),))
    with pymupdf.open("pdf", write_pdf(drawing_page(drawing))) as pdf:
        (path,) = pdf[0].get_drawings()
        arcs = [item[1:] for item in path["items"] if item[0] == "c"]
    assert len(arcs) == 4
    for a, b, c, d in arcs:
        for t in (0.1, 0.25, 0.5, 0.75, 0.9):
            s = 1 - t
            x = s**3 * a.x + 3 * s * s * t * b.x + 3 * s * t * t * c.x + t**3 * d.x
            y = s**3 * a.y + 3 * s * s * t * b.y + 3 * s * t * t * c.y + t**3 * d.y
            away = math.hypot(x * MM_PER_POINT - 100.0, y * MM_PER_POINT - 100.0)
            assert away == pytest.approx(50.0, abs=0.02)


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
@pytest.mark.parametrize("angle", [0.0, 30.0, 90.0, -45.0, 180.0])
def test_texts_start_at_one_place(anchor: str, angle: float) -> None:
    text = Text((100.0, 80.0), "Peg 12", 10.0, "condensed", anchor, angle)  # type: ignore[arg-type]
    drawing = Drawing(200.0, 200.0, (text,))
    with pymupdf.open("pdf", write_pdf(drawing_page(drawing))) as pdf:
        (block,) = pdf[0].get_text("dict")["blocks"]
        span = block["lines"][0]["spans"][0]
        origin = [edge * MM_PER_POINT for edge in span["origin"]]
        direction = block["lines"][0]["dir"]
    turn = math.radians(angle)
    assert direction == pytest.approx((math.cos(turn), -math.sin(turn)), abs=1e-3)
    (element,) = [
        element
        for element in svgelements.SVG.parse(
            BytesIO(write_svg(drawing)), width=200.0, height=200.0, ppi=25.4
        ).elements()
        if isinstance(element, svgelements.Text)
    ]
    at = element.transform.point_in_matrix_space((element.x, element.y))
    back = {"start": 0.0, "middle": 0.5, "end": 1.0}[element.anchor]
    length = float(element.values["textLength"])
    from_svg = (
        float(at.x) - back * length * math.cos(turn),
        float(at.y) + back * length * math.sin(turn),
    )
    assert origin == pytest.approx(from_svg, abs=TOLERANCE)


def test_the_check_bar_is_a_hundred_millimetres() -> None:
    bar = Line(((17.3, 50.0), (117.3, 50.0)), PEN)
    (points,) = pdf_curves(Drawing(200.0, 200.0, (bar,)))
    assert math.dist(*points) == pytest.approx(100.0, abs=0.001)


@pytest.mark.parametrize("angle", [0.0, 25.0, 90.0, 200.0])
@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_the_recorder_sees_text_where_the_pdf_has_its_ink(angle: float, anchor: str) -> None:
    text = Text((100.0, 100.0), "jÅg 12", 24.0, "bold", anchor, angle)  # type: ignore[arg-type]
    page = drawing_page(Drawing(200.0, 200.0, (text,)))
    (drawn,) = record(page)
    dpi = 200
    with pymupdf.open("pdf", write_pdf(page)) as pdf:
        picture = pdf[0].get_pixmap(dpi=dpi, colorspace=pymupdf.csGRAY)
    rows = [picture.samples[y * picture.stride :][: picture.width] for y in range(picture.height)]
    ys = [y for y, row in enumerate(rows) if min(row) < 200]
    xs = [x for x in range(picture.width) if any(row[x] < 200 for row in rows)]
    seen = [edge * 25.4 / dpi for edge in (xs[0], ys[0], xs[-1] + 1, ys[-1] + 1)]
    x0, y0, x1, y1 = drawn.box
    if angle % 90 == 0:
        assert (x0, y0, x1, y1) == pytest.approx(seen, abs=0.2)
    assert x0 < seen[0] + 0.2 and y0 < seen[1] + 0.2
    assert x1 > seen[2] - 0.2 and y1 > seen[3] - 0.2
