"""The square codes on pictures of paper: photographs, scans, and PDFs made of scans.

They are read by zxing-cpp, which comes with the extra ``scan``.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any

from PIL import Image

from renderer.archive.codes import CodeError, Part, taken_apart
from renderer.plan.errors import PlanError
from renderer.units import POINTS_PER_INCH

FORMATS = ("PNG", "JPEG")
PIXELS_MOST = 120_000_000
PAGES_MOST = 100
DPI = 200.0  # at which a page of a PDF is looked at
CURE = "take a PNG or JPEG picture of the page, or a PDF of scans"


def parts_in_picture(path: str, data: bytes) -> list[Part]:
    """The parts of plans on a picture. Raises PlanError where it cannot be read."""
    return _parts(path, _picture(path, data))


def parts_in_pdf(path: str, data: bytes) -> list[Part]:
    """The same of all pages of a PDF."""
    found: list[Part] = []
    for page in _pages(path, data):
        found += _parts(path, page)
    return found


def _picture(path: str, data: bytes) -> Any:
    try:
        picture = Image.open(io.BytesIO(data), formats=FORMATS)
        if picture.width * picture.height > PIXELS_MOST:
            problem = f"the picture has more than {PIXELS_MOST // 1_000_000} million dots"
            raise PlanError(path, 0, "", problem, "save it smaller")
        return picture.convert("L")
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        problem = "this is neither a PDF nor a sound PNG or JPEG picture"
        raise PlanError(path, 0, "", problem, CURE) from None


def _pages(path: str, data: bytes) -> Iterator[Any]:
    from renderer.archive.pdf_in import opened

    with opened(path, data) as document:
        if len(document) > PAGES_MOST:
            problem = f"the PDF has more than {PAGES_MOST} pages"
            raise PlanError(path, 0, "", problem, "leave only the pages with the squares")
        for page in document:
            dots = max(page.get_size()) * DPI / POINTS_PER_INCH
            scale = DPI / POINTS_PER_INCH * min(1.0, PIXELS_MOST**0.5 / max(dots, 1.0))
            yield page.render(scale=scale, grayscale=True).to_pil()


def _parts(path: str, picture: Any) -> list[Part]:
    """The parts on a picture, looked at whole, then with its shades parted otherwise."""
    reader = _reader(path)
    found: dict[Part, None] = {}
    for binarizer in (reader.Binarizer.LocalAverage, reader.Binarizer.GlobalHistogram):
        seen = reader.read_barcodes(
            picture, formats=reader.BarcodeFormat.QRCode, binarizer=binarizer
        )
        for code in seen:
            try:
                part = taken_apart(code.text)
            except CodeError as error:
                raise PlanError(path, 0, "", error.problem, error.cure) from None
            if part is not None:
                found[part] = None
        if found and {part.number for part in found} >= set(range(1, next(iter(found)).count + 1)):
            break
    return list(found)


def _reader(path: str) -> Any:
    try:
        import zxingcpp
    except ImportError:
        problem = "squares on paper are read by zxing-cpp, which is not installed"
        raise PlanError(path, 0, "", problem, "pip install 'pegline[scan]'") from None
    return zxingcpp
