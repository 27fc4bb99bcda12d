"""The operators of a page: few, short, and painting what was asked."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import groupby

import pymupdf
import pytest

from renderer.output.content import Content
from renderer.output.pdf import write_pdf
from renderer.primitives import Area, Circle, Document, FaceName, Line, Page, Pen, Primitive, Text

PEN = Pen(0.25)


def plain(face: FaceName, text: str) -> Sequence[tuple[str, str]]:
    return [(f"/{face}", text)]


def operators(*items: Primitive) -> list[str]:
    content = Content(100.0, plain)
    for item in items:
        if isinstance(item, Line):
            content.line(item)
        elif isinstance(item, Area):
            content.area(item)
        elif isinstance(item, Circle):
            content.circle(item)
        elif isinstance(item, Text):
            content.text(item)
    return [line.split(" ")[-1] for line in content.take().split("\n")]


def pixels(*items: Primitive) -> bytes:
    page = Page(40.0, 40.0, items)
    with pymupdf.open("pdf", write_pdf(Document((page,), "Pixels"))) as pdf:
        return bytes(pdf[0].get_pixmap(dpi=150).samples)


def test_dashes_are_as_long_on_paper_as_the_pen_says() -> None:
    """Dashes of 3 mm and gaps of 2 mm, measured on the rendered page at 10 pixels a millimetre."""
    page = Page(60.0, 10.0, (Line(((5.0, 5.0), (55.0, 5.0)), Pen(0.5, (3.0, 2.0))),))
    with pymupdf.open("pdf", write_pdf(Document((page,), "Dashes"))) as pdf:
        shown = pdf[0].get_pixmap(dpi=254, colorspace=pymupdf.csGRAY)
    row = bytes(shown.samples)[50 * shown.stride : 50 * shown.stride + shown.width]
    runs = [(dark, len(list(run))) for dark, run in groupby(row, key=lambda grey: grey < 128)]
    dashes, gaps = ([n for dark, n in runs[1:-1] if dark is which] for which in (True, False))
    assert len(dashes) == 10 and len(gaps) == 9
    assert all(29 <= n <= 31 for n in dashes) and all(19 <= n <= 21 for n in gaps)


def test_lines_of_one_pen_share_a_path() -> None:
    lines = [Line(((1.0, y), (9.0, y)), PEN) for y in (1.0, 2.0, 3.0)]
    assert operators(*lines) == ["w", "j", "l", "l", "l", "S"]


def test_a_pen_is_named_only_where_it_changes() -> None:
    thick = Pen(0.5)
    lines = [Line(((1.0, 1.0), (9.0, 9.0)), pen) for pen in (PEN, thick, thick, PEN)]
    assert operators(*lines).count("w") == 3


def test_filled_lines_do_not_share_a_path() -> None:
    ring = ((1.0, 1.0), (9.0, 1.0), (5.0, 9.0))
    items = [Line(ring, PEN, closed=True, fill="#ffffff") for _ in range(2)]
    assert operators(*items).count("B") == 2


@pytest.mark.parametrize("near", [0.0, 90.0, 180.0, -90.0])
@pytest.mark.parametrize("off", [0.0001, 0.003, -0.003, 0.0056, -0.02])
def test_a_text_a_hair_off_level_or_upright_keeps_its_place(near: float, off: float) -> None:
    content = Content(100.0, plain)
    content.text(Text((20.0, 30.0), "a", 9.0, angle_deg=near + off))
    (matrix,) = (line for line in content.take().split("\n") if line.endswith("Tm"))
    assert "e" not in matrix
    c, s = math.cos(math.radians(near)), math.sin(math.radians(near))
    assert [float(word) for word in matrix.split()[:4]] == pytest.approx([c, s, -s, c], abs=1e-3)


def test_texts_share_a_text_object_and_a_font() -> None:
    texts = [Text((5.0, y), "a", 9.0) for y in (10.0, 20.0, 30.0)]
    assert operators(*texts) == ["BT", "Td", "Tf", "Tj", "Td", "Tj", "Td", "Tj", "ET"]


def test_an_upright_rectangle_is_one_operator() -> None:
    ring = ((1.0, 1.0), (9.0, 1.0), (9.0, 5.0), (1.0, 5.0))
    assert operators(Line(ring, PEN, closed=True)) == ["w", "j", "re", "S"]
    turned = ((1.0, 1.0), (9.0, 2.0), (8.0, 6.0), (0.0, 5.0))
    assert operators(Line(turned, PEN, closed=True)) == ["w", "j", "h", "S"]


def test_free_standing_circles_share_a_path_and_touching_ones_do_not() -> None:
    apart = [Circle((x, 10.0), 1.0, PEN, "#ffffff") for x in (5.0, 10.0, 15.0)]
    assert operators(*apart).count("B") == 1
    near = [Circle((x, 10.0), 1.0, PEN, "#ffffff") for x in (5.0, 6.0, 7.0)]
    assert operators(*near).count("B") == 3


def test_an_open_dot_hides_the_dot_below_it() -> None:
    under = Circle((10.0, 10.0), 3.0, Pen(0.5), "#ffffff")
    over = Circle((12.0, 10.0), 3.0, Pen(0.5), "#ffffff")
    between = Text((30.0, 30.0), "x", 9.0)
    assert pixels(under, over, between) == pixels(under, between, over)


def test_a_ring_inside_another_is_a_hole_whichever_way_it_runs() -> None:
    outer = ((5.0, 5.0), (35.0, 5.0), (35.0, 35.0), (5.0, 35.0))
    inner = ((10.0, 10.0), (30.0, 10.0), (30.0, 30.0), (10.0, 30.0))
    one, other = (pixels(Area((outer, ring), None, "#000000")) for ring in (inner, inner[::-1]))
    assert one == other
    assert one != pixels(Area((outer,), None, "#000000"))


def test_what_has_neither_pen_nor_fill_is_left_out() -> None:
    ring = ((1.0, 1.0), (9.0, 1.0), (5.0, 9.0))
    assert operators(
        Line(ring, None), Area((ring,), None, None), Circle((5.0, 5.0), 1.0, None)
    ) == [""]
    assert operators(Area((), PEN, "#ffffff"), Text((1.0, 1.0), "", 9.0)) == [""]


@pytest.mark.parametrize("value", [1e-7, -1e-7, 4e-4, 123456.789])
def test_numbers_never_have_an_exponent(value: float) -> None:
    content = Content(0.0, plain)
    content.line(Line(((value, value), (1.0, 1.0)), PEN))
    assert "e" not in content.take().replace("re", "")


def test_steps_between_texts_do_not_add_up_to_an_error() -> None:
    texts = [Text((index * 0.1234567, index * 0.7654321), "a", 9.0) for index in range(2000)]
    content = Content(100.0, plain)
    for text in texts:
        content.text(text)
    x = y = 0.0
    for line in content.take().split("\n"):
        if line.endswith("Td"):
            dx, dy, _ = line.split(" ")
            x, y = x + float(dx), y + float(dy)
    last = texts[-1].at
    assert x == pytest.approx(last[0] * 72 / 25.4, abs=0.001)
    assert y == pytest.approx((100.0 - last[1]) * 72 / 25.4, abs=0.001)
