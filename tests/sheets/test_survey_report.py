"""The survey report: what it says, what its picture shows, on both papers and in feet."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

import renderer
from renderer.plan import Plan, load, loads
from renderer.primitives import Document, Line, Text
from renderer.sheets.figure import figure

DEMO = Path(__file__).resolve().parents[2] / "demo"
GARDEN = DEMO / "mill-cottage.plan.yaml"


def report(plan: Plan | None = None, **options: str) -> Document:
    chosen = plan or load(GARDEN)
    return renderer.compose_sheets([chosen], layout="survey-report", **options)  # type: ignore[arg-type]


def slipped() -> str:
    held = GARDEN.read_text("utf-8")
    start = held.index("{reads: 21.10")
    return held[:start] + "21.10" + held[held.index("}", start) + 1 :]


def said(document: Document) -> str:
    items = (item for page in document.pages for item in page.items)
    return " ".join(item.text for item in items if isinstance(item, Text)).replace("\u00a0", " ")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_slip_is_told_and_drawn(paper: str) -> None:
    document = report(loads(slipped(), folder=DEMO), paper=paper)
    told = said(document)
    assert "C–p5 reads 21.10 m; 12.10 m would fit" in told
    assert "in question" in told and "not checked" in told
    lines = [i for p in document.pages for i in p.items if isinstance(i, Line)]
    assert len([line for line in lines if line.role == "taped-suspect"]) == 1
    assert len([line for line in lines if line.role == "taped"]) == 52
    assert len([line for line in lines if line.role == "ellipse"]) == 15


def test_a_sound_notebook_says_so_in_each_language() -> None:
    for language, text in (
        ("en", "Every reading fits; none is suspect"),
        ("de", "Keine Messung ist verdächtig"),
    ):
        assert text in said(report(language=language))


def test_a_figure_below_zero_has_a_minus_and_no_hyphen() -> None:
    texts = [i.text for p in report().pages for i in p.items if isinstance(i, Text)]
    assert any(text.startswith("−5.20") for text in texts)
    assert not [text for text in texts if text[:1] == "-" and text[1:2].isdigit()]


def test_an_ellipse_is_drawn_ten_times_enlarged_at_its_azimuth() -> None:
    plan = load(GARDEN)
    job = renderer.prepare(plan)
    drawn = figure(job, ellipses=True, scale=200)
    rings = [i for i in drawn.items if isinstance(i, Line) and i.role == "ellipse"]
    longest = [max(math.dist(a, b) for a in ring.points for b in ring.points) for ring in rings]
    # chi-square with 2 degrees of freedom, 95 %: 5.991
    majors = [2 * math.sqrt(5.991) * p.major * 10 * 1000 / 200 for p in plan.survey.adjusted]
    assert sorted(longest) == pytest.approx(sorted(majors), rel=0.01)
    plain = figure(job, scale=200)
    assert not [i for i in plain.items if isinstance(i, Line) and i.role == "ellipse"]
