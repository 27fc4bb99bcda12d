"""Turns a document into pictures, by way of its PDF."""

from __future__ import annotations

from io import BytesIO

import pypdfium2

from renderer.output.pdf import write_pdf
from renderer.primitives import Document
from renderer.units import POINTS_PER_INCH


def write_png(document: Document, dpi: float = 150.0, *, grey: bool = False) -> list[bytes]:
    """Each page as the bytes of a PNG file with ``dpi`` dots an inch, which the file records.

    ``grey`` gives the picture as a black-and-white printer would show it. Raises what
    ``write_pdf`` raises, and ValueError where ``dpi`` is not above nought.
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
