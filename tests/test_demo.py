"""The demo stays printable: no plan of it is stopped, and each has what it is there to show."""

from __future__ import annotations

import math
import runpy
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

import PIL.Image
import pypdf
import pytest

import renderer
from tests.plans import ROOT, demo_plans
from tests.shared import lay_plan, print_sheets

if TYPE_CHECKING:
    from pathlib import Path


def demo(name: str) -> Path:
    return ROOT / "demo" / f"{name}.plan.yaml"


def test_the_demo_is_a_day_of_several_gardens() -> None:
    plans = [renderer.load(path) for path in demo_plans()]
    assert len(plans) >= 3
    assert len({plan.job.planned_for for plan in plans}) == 1
    assert all("invented" in plan.job.crew for plan in plans)


def test_nothing_stops_a_demo_garden_and_every_warning_is_accepted(demo_plan: Path) -> None:
    open_ones = [
        finding
        for finding in renderer.check(renderer.load(demo_plan))
        if finding.level == "stop" or (finding.level == "warn" and not finding.acknowledged)
    ]
    assert not open_ones


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_demo_garden_prints(demo_plan: Path, paper: str) -> None:
    pdf = print_sheets([renderer.load(demo_plan)], paper=paper)
    assert pdf.startswith(b"%PDF-")


def test_two_jobs_print_in_one_file() -> None:
    plans = [renderer.load(demo(name)) for name in ("practice-lawn", "quarry-lane")]
    alone = sum(pages(print_sheets([plan])) for plan in plans)
    assert pages(print_sheets(plans, full=True)) >= alone
    carried = sum(pages(print_sheets([plan], layout="carry")) for plan in plans)
    assert pages(print_sheets(plans)) >= carried


def pages(pdf: bytes) -> int:
    return len(pypdf.PdfReader(BytesIO(pdf)).pages)


def test_one_garden_is_measured_in_feet_and_inches() -> None:
    plan = renderer.load(demo("quarry-lane"))
    assert plan.units == "ft"
    assert plan.lawns[0].outline[4].at[1] == pytest.approx((58 * 12 + 6) * 0.0254)


def test_the_awkward_garden_has_an_arc_and_a_neck() -> None:
    plan = renderer.load(demo("old-smithy"))
    assert any(vertex.through for vertex in plan.lawns[0].outline)
    assert [cut.kind for cut in lay_plan(plan).cuts].count("pinch") == 1


def test_the_large_grounds_have_merged_islands_a_bay_and_a_second_loop() -> None:
    laid = lay_plan(renderer.load(demo("hollin-park")))
    assert {"merge", "bay"} <= {cut.kind for cut in laid.cuts}
    assert len(laid.loops) == 2
    assert sum(ring.kind == "island" for loop in laid.loops for ring in loop.rings) >= 8


def test_the_practice_lawn_agrees_with_its_closed_form() -> None:
    (loop,) = lay_plan(renderer.load(demo("practice-lawn"))).loops
    width, depth, rounded = 12 - 0.36 - 0.40, 8 - 0.12 - 0.32, 0.20
    edge = 2 * (width + depth) - (8 - 2 * math.pi) * rounded
    bed = 2 * math.pi * (1.0 + 0.25)
    pair = 2 * (8 - 0.32 - (4.5 + 1.0 + 0.25))
    assert loop.length_m == pytest.approx(edge + bed + pair + 2 * 0.40, rel=5e-4)


def test_the_readme_s_picture_can_be_made_again(tmp_path: Path) -> None:
    """It is as large as the one that is there, and no blank page."""
    made = tmp_path / "picture.png"
    runpy.run_path(str(ROOT / "demo" / "make_pictures.py"))["main"](made)
    kept = ROOT / "demo" / "pictures" / "work-order-plan.png"
    one, two = (PIL.Image.open(path).convert("L") for path in (made, kept))
    assert one.size == two.size
    assert 0.02 < sum(one.histogram()[:128]) / (one.width * one.height) < 0.5
