"""The square code: read back as fields, it says job, revision and digest and nothing else."""

from __future__ import annotations

import segno

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
    assert text == f"ZZ-77 C {data.digest.removeprefix('sha256:').upper()}"
    area = code_area(text, 0.0, 0.0)
    code = segno.make(text, error="q", micro=False, boost_error=False)
    assert code.error == "Q"
    fields = [[bool(cell) for cell in row] for row in code.matrix]
    step = CODE_MM / len(fields)
    for row, cells in enumerate(fields):
        for column, dark in enumerate(cells):
            assert inside(area.rings, (column + 0.5) * step, (row + 0.5) * step) is dark


def test_each_page_carries_the_code_at_25_mm_or_more_with_a_quiet_zone() -> None:
    document = work_order("Letter")
    for number, page in enumerate(document.pages, 1):
        (code,) = [item for item in page.items if isinstance(item, Area) and item.role == "code"]
        xs, ys = zip(*(point for ring in code.rings for point in ring), strict=True)
        box = min(xs), min(ys), max(xs), max(ys)
        assert min(box[2] - box[0], box[3] - box[1]) >= 25.0 - 1e-6
        near = [
            each
            for each in drawn(document)
            if each.page == number
            and each.item is not code
            and each.box[0] < box[2] + 3.0
            and each.box[2] > box[0] - 3.0
            and each.box[1] < box[3] + 3.0
            and each.box[3] > box[1] - 3.0
        ]
        assert near == []
