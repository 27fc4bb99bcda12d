"""Widths, heights and ink boxes, against reportlab and against drawn pixels."""

from __future__ import annotations

import pymupdf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfbase.ttfonts import TTFont

from renderer.text import (
    FACE_FILES,
    FaceName,
    ascent_mm,
    cap_height_mm,
    descent_mm,
    face,
    face_path,
    ink_box,
    line_height_mm,
    size_for_cap_height,
    width_mm,
)

FACES = tuple(FACE_FILES)
MM_PER_POINT = 25.4 / 72.0
SAMPLE = "Lay 12.5 m — Größe Ωμ Щит ½ → 3"

texts = st.text(alphabet=sorted(face("regular").advances), max_size=40)


@pytest.mark.parametrize("name", FACES)
def test_width_agrees_with_reportlab(name: FaceName) -> None:
    other = TTFont(f"measured-{name}", str(face_path(name)))
    assert width_mm(SAMPLE, name, 9.0) == pytest.approx(
        other.stringWidth(SAMPLE, 9.0) * MM_PER_POINT, rel=1e-9
    )


@given(texts, texts)
def test_width_adds_up(one: str, other: str) -> None:
    whole = width_mm(one + other, "regular", 8.0)
    parts = width_mm(one, "regular", 8.0) + width_mm(other, "regular", 8.0)
    assert whole == pytest.approx(parts, abs=1e-9)


def test_width_grows_with_size_and_shrinks_with_the_condensed_cut() -> None:
    assert width_mm("12.34", "regular", 16.0) == pytest.approx(
        2 * width_mm("12.34", "regular", 8.0)
    )
    assert width_mm("12.34", "condensed", 8.0) < 0.9 * width_mm("12.34", "regular", 8.0)


def test_a_missing_character_still_has_a_width() -> None:
    assert width_mm("漢", "regular", 10.0) > 0


@pytest.mark.parametrize("name", FACES)
def test_size_for_a_capital_height(name: FaceName) -> None:
    size = size_for_cap_height(name, 2.5)
    assert cap_height_mm(name, size) == pytest.approx(2.5)
    assert size == pytest.approx(9.925, abs=0.001)


@pytest.mark.parametrize("name", FACES)
def test_every_character_lies_within_the_line(name: FaceName) -> None:
    above, below = ascent_mm(name, 10.0), descent_mm(name, 10.0)
    assert line_height_mm(name, 10.0) == pytest.approx(above + below)
    for sign in face(name).advances:
        _, top, _, bottom = ink_box(sign, name, 10.0)
        assert -above <= top and bottom <= below, sign


@pytest.mark.parametrize("name", FACES)
@pytest.mark.parametrize("text", ["Hg", "jÅ", "peg 12", "½ Щ →"])
def test_ink_box_is_where_the_pixels_are(name: FaceName, text: str) -> None:
    size, dpi = 100.0, 72
    page = pymupdf.open().new_page(width=700, height=300)
    page.insert_text((100, 150), text, fontname="own", fontfile=str(face_path(name)), fontsize=size)
    picture = page.get_pixmap(dpi=dpi, colorspace=pymupdf.csGRAY)
    rows = [picture.samples[y * picture.stride :][: picture.width] for y in range(picture.height)]
    ys = [y for y, row in enumerate(rows) if min(row) < 255]
    xs = [x for x in range(picture.width) if any(row[x] < 255 for row in rows)]
    box = [edge / MM_PER_POINT for edge in ink_box(text, name, size)]
    seen = (xs[0] - 100, ys[0] - 150, xs[-1] + 1 - 100, ys[-1] + 1 - 150)
    assert box == pytest.approx(seen, abs=1.01)


def test_spaces_have_no_ink() -> None:
    assert ink_box("  ", "regular", 10.0) == (0.0, 0.0, 0.0, 0.0)
    assert ink_box("", "regular", 10.0) == (0.0, 0.0, 0.0, 0.0)
