"""Turns a document into pictures, by way of its PDF."""

from __future__ import annotations

from io import BytesIO

import pypdfium2

from renderer.output.pdf import write_pdf
from renderer.output.shapes import drawing_page
from renderer.primitives import Document, Drawing
from renderer.units import POINTS_PER_INCH

DPI = 150.0


def write_drawing(drawing: Drawing, language: str = "en") -> bytes:
    """The backend for ``.png``: 150 dots an inch. Raises what ``write_pdf`` raises."""
    return write_png(drawing_page(drawing, language))[0]


def write_png(document: Document, dpi: float = DPI, *, grey: bool = False) -> list[bytes]:
    """Each page as the bytes of a PNG file with ``dpi`` dots an inch, which the file records.

    ``grey`` gives the picture as a black-and-white printer would show it. Raises what
    ``write_pdf`` raises, and ValueError where ``dpi`` is not above zero.
    """
    if not dpi > 0:
        raise ValueError(f"the resolution must be above 0 dots an inch, not {dpi}")
    pdf = pypdfium2.PdfDocument(write_pdf(document))
    try:
        return [_picture(page, dpi, grey) for page in pdf]
    finally:
        pdf.close()


def _picture(page: pypdfium2.PdfPage, dpi: float, grey: bool) -> bytes:
    image = page.render(scale=dpi / POINTS_PER_INCH, grayscale=grey).to_pil()
    file = BytesIO()
    image.save(file, format="PNG", dpi=(dpi, dpi))
    return file.getvalue()
