"""How many pages the work order of each garden takes, and how much of them is used.

These are what is reached, so that no change makes a crew carry more without anybody seeing it; a
change that needs fewer pages lowers the figures. Used is what ``page_use`` measures.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from tests.plans import demo_plans, example_plans
from tests.sheets.page_use import CELL_MM, page_use, work_order

# The most pages on A4 and on Letter; pages before the last of which less than LOW is used.
PAGES = {
    "practice-lawn": ((6, 0), (7, 0)),
    "quarry-lane": ((9, 0), (9, 0)),
    "old-smithy": ((10, 0), (11, 0)),
    "larch-close": ((7, 0), (8, 0)),
    "mill-bank": ((10, 0), (11, 0)),
    "hollin-park": ((16, 0), (18, 0)),
    "orchard-hall": ((16, 0), (17, 1)),  # its line maps on Letter fill less
}
LOW = 0.45
LEAST_MEAN = 0.72
GARDENS = {path.name.split(".")[0]: path for path in (*demo_plans(), *example_plans())}


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", PAGES)
def test_a_work_order_takes_no_more_pages_and_fills_them(name: str, paper: str) -> None:
    path: Path | None = GARDENS.get(name)
    if path is None:
        pytest.skip("no such plan here")
    most, low = PAGES[name][paper == "Letter"]
    found = page_use(work_order(path, paper))
    assert len(found) <= most
    assert sum(share < LOW for share in found[:-1]) <= low
    whole = found[:-1] if found[-1] < LOW else found  # a last page is as full as it comes
    assert np.mean(whole) >= LEAST_MEAN


def test_the_measure_of_use_counts_cells_of_ink_and_spaces_to_write_in() -> None:
    from renderer.primitives import Document, Field, Line, Page, Pen
    from renderer.sheets.frame import Frame

    frame = Frame(210.0, 297.0)
    cells = int(frame.width_mm / CELL_MM) * int(frame.height_mm / CELL_MM)
    level = Line(((11.0, 12.5), (59.0, 12.5)), Pen(0.35))  # 50 mm: ten cells
    space = Field((12.0, 22.0), 46.0, 6.0, "text", "x")  # twenty cells
    for items, used in (((), 0), ((level,), 10), ((level, space), 30)):
        (share,) = page_use(Document((Page(210.0, 297.0, items),), ""))
        assert share * cells == pytest.approx(used, abs=1)
