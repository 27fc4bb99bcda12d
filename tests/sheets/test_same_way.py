"""The proof and the as-built grid lie on their pages as the plan does on its own."""

from __future__ import annotations

import pytest

from renderer.drawing.plan import fit_plan
from renderer.job import prepare
from renderer.plan import loads
from renderer.primitives import Line, Page
from renderer.sheets import compose, load_layout
from tests.sheets.sample import SMALL

SHORT_SIDE, LONG_SIDE = "[9 m, 9 m, bed], [0 m, 9 m, wall]", "[9 m, 26 m, bed], [0 m, 26 m, wall]"
LONG = SMALL.replace("16 m", "9 m").replace(SHORT_SIDE, LONG_SIDE)


def sides(page: Page) -> tuple[float, float]:
    """Width and height in mm of the lawn's outline on a page."""
    outline = next(item for item in page.items if isinstance(item, Line) and item.role == "outline")
    xs, ys = zip(*outline.points, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_drawing_of_the_whole_garden_lies_the_same_way(paper: str, tmp_path) -> None:  # type: ignore[no-untyped-def]
    path = tmp_path / "both.yaml"
    path.write_text("layout: 1\ndocument: Plans\nblocks: [plan, proof, as-built]\n", "utf-8")
    job = prepare(loads(LONG.format(units="m"), "long.plan.yaml"))
    alone = fit_plan(job.plan, job.lay, (190.0, 120.0), inch_paper=False)
    assert alone.rotation_deg == 90  # by itself in half a page it would lie across
    document = compose([job], load_layout(str(path)), paper=paper, draft=True)
    drawn = [
        page
        for page in document.pages
        if any(isinstance(item, Line) and item.role == "outline" for item in page.items)
    ]
    assert len(drawn) >= 2
    assert all(high > 2 * wide for wide, high in map(sides, drawn))
