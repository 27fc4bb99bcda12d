"""The proof and the as-built grid lie on their pages as the plan does on its own."""

from __future__ import annotations

from pathlib import Path

import pytest

from renderer.drawing.plan import fit_plan
from renderer.plan import load, loads
from renderer.primitives import Line, Page, Text
from renderer.sheets import compose, load_layout
from tests.plans import ROOT
from tests.shared import job_of
from tests.sheets.sample import SMALL

SHORT_SIDE, LONG_SIDE = "[9 m, 9 m, bed], [0 m, 9 m, wall]", "[9 m, 26 m, bed], [0 m, 26 m, wall]"
LONG = SMALL.replace("16 m", "9 m").replace(SHORT_SIDE, LONG_SIDE)


def sides(page: Page) -> tuple[float, float]:
    """Width and height in mm of the lawn's outline on a page."""
    outline = next(item for item in page.items if isinstance(item, Line) and item.role == "outline")
    xs, ys = zip(*outline.points, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_drawing_of_the_whole_garden_lies_the_same_way(paper: str, tmp_path: Path) -> None:
    path = tmp_path / "both.yaml"
    path.write_text("layout: 1\ndocument: Plans\nblocks: [plan, proof, as-built]\n", "utf-8")
    job = job_of(loads(LONG.format(units="m"), "long.plan.yaml"))
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


def test_a_garden_of_106_by_60_metres_is_shown_whole_on_one_leaf_turned(tmp_path: Path) -> None:
    """At 1:500 it is 212 mm by 120 mm: the arithmetic of the scale."""
    path = tmp_path / "plan.yaml"
    path.write_text("layout: 1\ndocument: Plan\nblocks: [plan]\n", "utf-8")
    job = job_of(load(ROOT / "demo/hollin-park.plan.yaml"))
    document = compose([job], load_layout(str(path)), paper="A4")
    first, *others = document.pages
    texts = [
        {item.text for item in page.items if isinstance(item, Text)} for page in (first, *others)
    ]
    assert "Scale 1:500" in texts[0]
    xs, ys = zip(
        *(
            point
            for item in first.items
            if isinstance(item, Line) and item.role == "outline"
            for point in item.points
        ),
        strict=True,
    )
    assert max(ys) - min(ys) == pytest.approx(212.0, abs=0.5)
    assert max(xs) - min(xs) < 125.0
    assert any(item.role == "plan-top" or item.role == "north" for item in first.items)
    assert "Legend" not in texts[0] and sum("Legend" in found for found in texts) == 1
