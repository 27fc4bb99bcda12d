"""How much of the type area of each page is used, from its picture.

The area between the upper margin and the title block in cells of 5 mm: a cell is used where ink
touches it or where it lies in a space to write in. MuPDF makes the picture.

    python -m tests.sheets.page_use demo/practice-lawn.plan.yaml [A4|Letter]
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

import numpy as np
import pymupdf

from renderer.output.pdf import write_pdf
from renderer.plan import load
from renderer.primitives import Document, Field, Page
from renderer.sheets import load_layout
from renderer.sheets.frame import Frame
from tests.shared import compose, job_of

CELL_MM = 5.0
DPI = 72
PX_PER_MM = DPI / 25.4
PAPER_WHITE = 250


def page_use(document: Document) -> tuple[float, ...]:
    """The used share of the type area of each page."""
    pdf = pymupdf.open(stream=write_pdf(document), filetype="pdf")
    return tuple(_use(seen, page) for seen, page in zip(pdf, document.pages, strict=True))


def _use(seen: pymupdf.Page, page: Page) -> float:
    frame = Frame(page.width_mm, page.height_mm)
    picture = seen.get_pixmap(dpi=DPI, colorspace=pymupdf.csGRAY)
    ink = np.frombuffer(picture.samples, np.uint8).reshape(picture.height, picture.width)
    ink = ink < PAPER_WHITE
    for item in page.items:
        if isinstance(item, Field):
            x, y = (each * PX_PER_MM for each in item.at)
            wide, high = item.width_mm * PX_PER_MM, item.height_mm * PX_PER_MM
            ink[round(y) : round(y + high), round(x) : round(x + wide)] = True
    columns = _edges(frame.left_mm, frame.width_mm)
    rows = _edges(frame.top_mm, frame.height_mm)
    used = [
        ink[top:low, left:right].any()
        for top, low in pairwise(rows)
        for left, right in pairwise(columns)
    ]
    return float(np.mean(used))


def _edges(start_mm: float, size_mm: float) -> Sequence[int]:
    count = int(size_mm / CELL_MM)
    return [round((start_mm + number * CELL_MM) * PX_PER_MM) for number in range(count + 1)]


def work_order(plan: str | Path, paper: str = "A4") -> Document:
    """The crew work order of a plan file, with its findings."""
    return compose([job_of(load(plan))], load_layout("crew-work-order"), paper=paper)


def main(plan: str, paper: str = "A4") -> None:
    """Prints the use of each page and the mean."""
    found = page_use(work_order(plan, paper))
    pages = " ".join(f"{share:.2f}" for share in found)
    print(f"{len(found)} pages, mean {np.mean(found):.2f}: {pages}")


if __name__ == "__main__":
    main(*sys.argv[1:])
