"""Shapes that come often are written once, and look as they would have looked."""

from __future__ import annotations

from dataclasses import replace

import pymupdf
import pytest

from renderer.output import forms
from renderer.output.pdf import write_pdf
from renderer.primitives import Area, Circle, Document, Line, Page, Pen, Point, Primitive

PEN = Pen(0.5, colour="#3050a0", cap="round", dash_mm=(1.0, 1.0))


def comb(teeth: int) -> Area:
    """An area of many corners."""
    ring: list[Point] = [(5.0, 35.0)]
    for tooth in range(teeth):
        ring += [(5.0 + tooth, 10.0), (5.5 + tooth, 10.0), (5.5 + tooth, 30.0), (6.0 + tooth, 30.0)]
    return Area((tuple(ring),), None, "#000000")


def document(*items: Primitive, pages: int = 3, height_mm: float = 40.0) -> Document:
    return Document((Page(40.0, height_mm, items),) * pages, "Forms")


def pictures(pdf: bytes) -> list[bytes]:
    with pymupdf.open("pdf", pdf) as file:
        return [bytes(page.get_pixmap(dpi=150).samples) for page in file]


def far_apart(one: list[bytes], other: list[bytes]) -> int:
    """How many values of the pixels differ by more than the edge of a shape may."""
    pairs = zip(b"".join(one), b"".join(other), strict=True)
    return sum(abs(a - b) > 64 for a, b in pairs)


def unshared(pages: Document, monkeypatch: pytest.MonkeyPatch) -> bytes:
    with monkeypatch.context() as patch:
        patch.setattr(forms, "SHARED_CORNERS", 10**9)
        patch.setattr(forms, "SHARED_CIRCLES", 10**9)
        return write_pdf(pages)


def test_an_area_on_every_page_costs_the_file_once(monkeypatch: pytest.MonkeyPatch) -> None:
    pages = document(comb(200), pages=12)
    once, each = len(write_pdf(pages)), len(unshared(pages, monkeypatch))
    assert once < each / 2


def test_shared_shapes_look_as_if_drawn_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    dots = [
        Circle((2.0 + 3 * i, 3.0 + j), 0.9, pen, fill)
        for i in range(12)
        for j, pen, fill in ((0, Pen(0.2), "#ffffff"), (32, None, "#000000"))
    ]
    before = Line(((1.0, 20.0), (39.0, 21.0)), PEN, fill="#a02020")
    pages = document(before, comb(30), *dots)
    assert not far_apart(pictures(write_pdf(pages)), pictures(unshared(pages, monkeypatch)))


def test_what_is_drawn_after_a_shared_shape_keeps_its_own_look(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    line = Line(((1.0, 5.0), (39.0, 5.0)), PEN)
    dots = [Circle((3.0 * i, 20.0), 1.0, Pen(1.0), "#d0d0d0") for i in range(1, 13)]
    pages = document(line, *dots, replace(line, points=((1.0, 37.0), (39.0, 37.0))))
    assert not far_apart(pictures(write_pdf(pages)), pictures(unshared(pages, monkeypatch)))


def test_pages_of_other_heights_show_the_area_at_its_own_place(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    low, high = document(comb(30)), document(comb(30), height_mm=60.0)
    both = replace(low, pages=(*low.pages, *high.pages))
    assert not far_apart(pictures(write_pdf(both)), pictures(unshared(both, monkeypatch)))


def test_a_mitred_tip_is_not_cut_off(monkeypatch: pytest.MonkeyPatch) -> None:
    needle = comb(30).rings[0]
    tip = ((10.0, 10.0), (14.0, 25.0), (15.0, 10.0))
    pages = document(Area((needle, tip), Pen(1.0, join="miter"), None))
    assert not far_apart(pictures(write_pdf(pages)), pictures(unshared(pages, monkeypatch)))


def test_a_shared_circle_at_no_place_is_an_error() -> None:
    dots = [Circle((3.0, 3.0), 1.0, None, "#000000")] * 20
    with pytest.raises(ValueError, match="not a number"):
        write_pdf(document(*dots, Circle((float("nan"), 3.0), 1.0, None, "#000000")))
