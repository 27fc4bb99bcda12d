"""PNG: the one test of the backends that looks at pixels."""

from __future__ import annotations

from io import BytesIO

import pytest
from PIL import Image

from renderer.output.png import write_png
from renderer.primitives import Document, Line, Page, Pen, Text

HALF = ((0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0))


def opened(document: Document, dpi: float, **more: bool) -> list[Image.Image]:
    return [Image.open(BytesIO(data)) for data in write_png(document, dpi, **more)]


def test_each_page_is_a_picture_of_its_size(document: Document) -> None:
    first, second = opened(document, 50.0)
    assert first.size == pytest.approx((210 / 25.4 * 50, 297 / 25.4 * 50), abs=1)
    assert second.size == pytest.approx((550, 425), abs=1)
    assert first.info["dpi"] == pytest.approx((50, 50), abs=0.1)


def test_pixels_are_where_the_primitives_are() -> None:
    page = Page(
        40.0,
        20.0,
        (
            Line(HALF, None, closed=True, fill="#c00000"),
            Line(((30.0, 0.0), (30.0, 20.0)), Pen(2.0)),
        ),
    )
    (picture,) = opened(Document((page,), "Half"), 254.0)
    at = {x: picture.convert("RGB").getpixel((x * 10, 100)) for x in (5, 15, 25, 30, 35)}
    assert at == {
        5: (192, 0, 0),
        15: (192, 0, 0),
        25: (255, 255, 255),
        30: (0, 0, 0),
        35: (255, 255, 255),
    }


def test_grey_is_grey(document: Document) -> None:
    assert {picture.mode for picture in opened(document, 30.0, grey=True)} == {"L"}


def test_the_same_document_gives_the_same_bytes() -> None:
    document = Document((Page(40.0, 20.0, (Text((5.0, 10.0), "Κήπος", 9.0),)),), "Twice")
    assert write_png(document, 80.0) == write_png(document, 80.0)


@pytest.mark.parametrize("dpi", [0.0, -10.0, float("nan")])
def test_a_resolution_that_makes_no_picture_is_refused(document: Document, dpi: float) -> None:
    with pytest.raises(ValueError, match="resolution"):
        write_png(document, dpi)
