"""The square code: read back as fields, it says job, revision and digest and nothing else."""

from __future__ import annotations

import numpy as np
import pymupdf
import segno
import zxingcpp

from renderer.output.pdf import write_pdf
from renderer.primitives import Area
from renderer.sheets.code import CODE_MM, code_area, job_code, outlines
from tests.sheets.sample import drawn, job, work_order


def inside(rings: tuple[tuple[tuple[float, float], ...], ...], x: float, y: float) -> bool:
    """Whether a point is filled by the even-odd rule."""
    crossings = 0
    for ring in rings:
        for (x0, y0), (x1, y1) in zip(ring, (*ring[1:], ring[0]), strict=True):
            if (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
                crossings += 1
    return crossings % 2 == 1


def test_outlines_fill_exactly_the_dark_fields() -> None:
    grid = [[True, False, True], [False, True, True], [True, True, False]]
    rings = tuple(tuple((float(x), float(y)) for x, y in ring) for ring in outlines(grid))
    for row, cells in enumerate(grid):
        for column, dark in enumerate(cells):
            assert inside(rings, column + 0.5, row + 0.5) is dark


def test_the_printed_code_is_that_of_job_revision_and_digest() -> None:
    data = job()
    text = job_code("ZZ-77", "C", data.digest)
    assert text == f"ZZ-77 C {data.digest.removeprefix('sha256:')[:16].upper()}"
    area = code_area(text, 0.0, 0.0)
    code = segno.make(text, error="q", micro=False, boost_error=False)
    assert code.error == "Q"
    fields = [[bool(cell) for cell in row] for row in code.matrix]
    step = CODE_MM / len(fields)
    for row, cells in enumerate(fields):
        for column, dark in enumerate(cells):
            assert inside(area.rings, (column + 0.5) * step, (row + 0.5) * step) is dark


def test_each_page_carries_the_code_large_enough_with_a_quiet_zone() -> None:
    document = work_order("Letter")
    for number, page in enumerate(document.pages, 1):
        (code,) = [item for item in page.items if isinstance(item, Area) and item.role == "code"]
        xs, ys = zip(*(point for ring in code.rings for point in ring), strict=True)
        box = min(xs), min(ys), max(xs), max(ys)
        assert min(box[2] - box[0], box[3] - box[1]) >= 10.0 - 1e-6
        near = [
            each
            for each in drawn(document)
            if each.page == number
            and each.item is not code
            and each.box[0] < box[2] + 1.5
            and each.box[2] > box[0] - 1.5
            and each.box[1] < box[3] + 1.5
            and each.box[3] > box[1] - 1.5
        ]
        assert near == []


def test_an_independent_reader_reads_the_printed_code() -> None:
    """ZXing reads the page as a phone photographs it, at 300 dots an inch."""
    pdf = pymupdf.open(stream=write_pdf(work_order("A4")), filetype="pdf")
    for page in (pdf[0], pdf[-1]):
        seen = page.get_pixmap(dpi=300, colorspace=pymupdf.csGRAY)
        picture = np.frombuffer(seen.samples, np.uint8).reshape(seen.height, seen.width)
        found = [each.text for each in zxingcpp.read_barcodes(picture)]
        assert found == [job_code("ZZ-77", "C", job().digest)]


def test_fields_of_a_code_are_wide_enough_for_a_phone() -> None:
    for number in ("ZZ-77", "HOLLIN-2026-0117"):
        code = segno.make(job_code(number, "C", job().digest), error="q", micro=False)
        assert CODE_MM / code.symbol_size(border=0)[0] >= 0.3


def test_a_code_has_fields_of_a_third_of_a_millimetre_however_long_a_revision_is() -> None:
    text = job_code("N" * 2000, "x" * 2000, "sha256:" + "ab" * 32)
    assert text.startswith("NNNN") and text.endswith("ABABABABABABABAB")
    code = segno.make(text, error="q", micro=False, boost_error=False)
    assert CODE_MM / len(list(code.matrix)) > 0.3
    assert code_area(text, 0.0, 0.0).title == text
