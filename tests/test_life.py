"""One garden of the demo through its life: planned, laid, mapped, changed, broken, found again."""

from __future__ import annotations

import json
import math
from io import BytesIO
from pathlib import Path
from typing import Any

import pypdf
import pypdfium2
import pytest
import shapely

import renderer
from renderer.cli import main
from renderer.compare import before_last, compare, together, work
from renderer.job import Job
from renderer.plan import short_code
from renderer.report import lay_json
from tests.plans import ROOT

PLAN = ROOT / "demo/life/sorrel-bank.plan.yaml"
BREAK_M = 70.0  # where, unknown to anybody, the wire breaks in year eight


@pytest.fixture(scope="module")
def job() -> Job:
    return renderer.prepare(renderer.load(PLAN))


def said(pdf: bytes) -> str:
    pages = pypdf.PdfReader(BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def wire(found: Job) -> tuple[shapely.LineString, float]:
    """The wire by its coordinates, and its length with both tails."""
    (loop,) = lay_json(found)["loops"]
    path = shapely.LineString(loop["path"])
    return path, path.length + 2 * loop["tail_m"]


def test_every_warning_of_every_state_is_accepted(job: Job) -> None:
    for state in (job.as_planned, before_last(job), job):
        open_ones = [f for f in state.findings if f.level != "note" and not f.acknowledged]
        assert not open_ones


def test_the_work_order_is_of_the_plan_as_it_was_designed(job: Job) -> None:
    text = said(renderer.print_sheets([job]))
    assert "Post bed" in text and "Herb bed" not in text and "Patio" not in text


def test_it_is_laid_otherwise_and_the_wire_follows(job: Job) -> None:
    """Places and lengths as the record has them, by plain geometry."""
    built = before_last(job)
    path, length = wire(built)
    assert built.lay.loops[0].length_m == pytest.approx(length, abs=2e-3)
    pegs = {peg.id: (peg.x, peg.y) for peg in built.pegs}
    assert pegs["37"] == pytest.approx((15.05, 12.70))
    assert math.dist(pegs["108"], (0.0, -0.4)) == pytest.approx(9.21, abs=1e-3)
    assert math.dist(pegs["108"], (11.5, -0.4)) == pytest.approx(14.34, abs=1e-3)
    for number in ("27", "37", "108"):
        assert path.distance(shapely.Point(pegs[number])) < 1e-3
    ring = shapely.Polygon(next(r.points for r in built.islands if r.of == "Herb bed"))
    assert ring.contains(shapely.Point(4.5, 5).buffer(0.6 + 0.25 - 0.01))
    assert "Post bed" not in {ring.of for ring in built.islands}
    (splice,) = built.splices
    assert splice.at_m == pytest.approx(51.6)
    at = path.interpolate(51.6 - 0.4)
    assert (splice.x, splice.y) == pytest.approx((at.x, at.y), abs=1e-3)


def test_the_map_says_what_lies_and_how_it_came_to_be(job: Job) -> None:
    text = said(renderer.print_sheets([job], layout="wiring-map"))
    assert "As built" in text and "Herb bed" in text and "Patio" in text and "Post bed" not in text
    for line in ("First plan (K. Holm)", "Laid (Van 1)", "Patio beside the house (Van 2)"):
        assert line in text
    assert short_code(job.digest) in text


def test_the_patio_of_year_three_takes_two_cuts(job: Job) -> None:
    """By shapely: two cuts where the wires of both states part and meet again, off the bends.

    The metres laid and taken up are those from cut to cut, along the one wire and the other.
    """
    old, new = together(before_last(job), job)
    task = work(compare(old, new))
    before, after = wire(old)[0], wire(new)[0]
    cuts = [shapely.Point(splice.x, splice.y) for _, splice in task.joints]
    assert len(cuts) == 2
    assert all(before.distance(cut) < 2e-3 for cut in cuts)
    parted = after.difference(before.buffer(2e-3))
    beside = [parted.distance(cut) for cut in cuts]
    assert all(1.0 <= each < 1.05 for each in beside)  # a metre, and what the bend is rounded by
    laid, gone = (abs(each.project(cuts[0]) - each.project(cuts[1])) for each in (after, before))
    assert task.laid_m == pytest.approx(laid, abs=0.02)
    assert task.taken_up_m == pytest.approx(gone, abs=0.02)
    assert laid == pytest.approx(parted.length + sum(beside), abs=0.02)
    text = said(renderer.print_sheets([job], layout="change-order"))
    assert f"{task.laid_m:.2f} m to lay" in text and "2 gel-filled connectors" in text


def test_the_break_of_year_eight_is_found_by_halves(capsys: pytest.CaptureFixture[str]) -> None:
    """Each test answers as the wire would: whole up to a place before the break, open beyond it."""
    answers: list[str] = []
    for _ in range(12):
        found = searched(answers, capsys)
        if found["next"] is None:
            break
        place, at_m = found["next"]["place"], found["next"]["at_m"]
        answers += ["--at", f"{place}={'whole' if at_m < BREAK_M else 'open'}"]
    assert found["next"] is None
    assert found["from_m"] <= BREAK_M <= found["to_m"]
    assert found["to_m"] - found["from_m"] < 30.0


def searched(answers: list[str], capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    assert main(["fault", str(PLAN), "--reads", "open", "--json", *answers]) == 0
    found: dict[str, Any] = json.loads(capsys.readouterr().out)["search"]
    return found


def test_the_plan_is_had_back_from_its_map(tmp_path: Path) -> None:
    """And gives the very same map again."""
    first, plan, again = (tmp_path / name for name in ("map.pdf", "back.plan.yaml", "again.pdf"))
    print_map = ("--layout", "wiring-map", "-o")
    assert main(["print", str(PLAN), *print_map, str(first)]) == 0
    assert main(["extract", str(first), "-o", str(plan)]) == 0
    assert main(["print", str(plan), *print_map, str(again)]) == 0
    assert first.read_bytes() == again.read_bytes()


def test_the_plan_is_had_back_from_a_scan_of_its_map(tmp_path: Path) -> None:
    """In year ten there is only paper: its squares at 150 dots an inch, a little askew."""
    pytest.importorskip("zxingcpp", reason="needs zxing-cpp, the extra scan")
    first = renderer.print_sheets([renderer.load(PLAN)], layout="wiring-map")
    pages = pypdfium2.PdfDocument(first)
    (page,) = [
        each for each in pages if "pegline extract" in each.get_textpage().get_text_bounded()
    ]
    picture = page.render(scale=150 / 72, grayscale=True).to_pil().rotate(1.5, fillcolor=255)
    scan, plan = tmp_path / "scan.jpg", tmp_path / "back.plan.yaml"
    picture.save(scan, quality=80)
    assert main(["extract", str(scan), "-o", str(plan)]) == 0
    assert renderer.print_sheets([renderer.load(plan)], layout="wiring-map") == first


def test_the_leaf_for_the_break_says_what_the_search_says(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    leaf = tmp_path / "leaf.pdf"
    assert main(["fault", str(PLAN), "--reads", "open", "-o", str(leaf)]) == 0
    text = said(leaf.read_bytes())
    assert f"Measure next at {searched([], capsys)['next']['place']}" in text
    assert "As built" in text or "For one search" in text
