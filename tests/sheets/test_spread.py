"""How near a peg is found stands beside its tapes where a plan was surveyed; and on the wiring map.

Two lengths with the same deviation that cross at an angle fix a place to that deviation times the
root of two over the sine of the angle, by the propagation of variances (C. D. Ghilani, Adjustment
Computations, 2010, chapter 6): one of the rows is worked out so from what it prints.
"""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

import renderer
from renderer.trade import TAPE_ERROR_M
from tests.pdf_pages import read_pages
from tests.plans import ROOT

ROW = re.compile(
    r"([A-Z]) (\d+\.\d\d) ([A-Z]) (\d+\.\d\d) [LR]!? (\d+)$",
    re.MULTILINE,
)


def printed(tmp_path: Path, plan: str, blocks: str, document: str = "crew-work-order") -> str:
    layout = tmp_path / "one.yaml"
    layout.write_text(f"layout: 1\ndocument: {document}\nblocks: [{blocks}]\n")
    job = renderer.load(ROOT / "demo" / f"{plan}.plan.yaml")
    pdf = renderer.print_sheets([job], layout=str(layout), draft=True)
    return "\n".join(page.text for page in read_pages(pdf))


def test_a_control_peg_of_a_surveyed_garden_states_its_spread(tmp_path: Path) -> None:
    text = printed(tmp_path, "mill-cottage", "peg-list")
    plan = renderer.load(ROOT / "demo" / "mill-cottage.plan.yaml")
    fixed = {point.name: point.at for point in plan.survey.points}
    checked = 0
    for a, a_m, b, b_m, spread in ROW.findall(text):
        if not {a, b} <= fixed.keys():
            continue
        apart, first, second = math.dist(fixed[a], fixed[b]), float(a_m), float(b_m)
        cosine = (first**2 + second**2 - apart**2) / (2 * first * second)
        off_cm = 100 * TAPE_ERROR_M * math.sqrt(2.0) / math.sqrt(1.0 - cosine**2)
        assert int(spread) == pytest.approx(math.ceil(off_cm), abs=1)  # tapes are printed rounded
        checked += 1
    assert checked >= 5


def test_a_garden_without_readings_has_no_such_column(tmp_path: Path) -> None:
    assert "±" not in printed(tmp_path, "old-smithy", "peg-list")


def test_the_form_asks_for_the_socket_among_the_ties(tmp_path: Path) -> None:
    form = printed(tmp_path, "mill-cottage", "{block: survey-table, of: ties}", "survey-form")
    assert "socket" not in form  # it was set off the kitchen wall
    offsets = printed(tmp_path, "mill-cottage", "{block: survey-table, of: offsets}", "survey-form")
    assert "socket A B 8.10 0.05 L" in offsets
    layout = tmp_path / "form.yaml"
    layout.write_text(
        "layout: 1\ndocument: survey-form\nblocks: [{block: survey-table, of: ties}]\n"
    )
    pdf = renderer.print_sheets([], layout=str(layout))
    assert "socket" in read_pages(pdf)[0].text
