"""Every control peg has its number on a plan page, whatever the garden and the paper."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from renderer.plan import load
from renderer.plan.model import Plan
from renderer.primitives import Document, Text
from renderer.sheets import compose, load_layout
from renderer.sheets.layout import Layout
from tests.shared import job_of

ONLY_PLAN = """
layout: 1
document: Plan
blocks: [plan]
"""
NUMBER = re.compile(r"label peg (\S+)")
PAPERS = ("A4", "Letter")


@pytest.fixture(scope="module")
def only_plan(tmp_path_factory: pytest.TempPathFactory) -> Layout:
    path = tmp_path_factory.mktemp("layout") / "plan.yaml"
    path.write_text(ONLY_PLAN, encoding="utf-8")
    return load_layout(str(path))


def numbered(document: Document) -> set[str]:
    """The pegs whose numbers stand on any page."""
    texts = [item for page in document.pages for item in page.items if isinstance(item, Text)]
    return {found[1] for text in texts if (found := NUMBER.match(text.role))}


def unnumbered(plan: Plan, layout: Layout, paper: str) -> set[str]:
    job = job_of(plan)
    controls = {peg.id for loop in job.lay.loops for peg in loop.pegs if peg.control}
    assert controls
    return controls - numbered(compose([job], layout, paper=paper, draft=True))


@pytest.mark.parametrize("paper", PAPERS)
def test_no_control_peg_goes_without_its_number(
    any_plan: Path, only_plan: Layout, paper: str
) -> None:
    assert unnumbered(load(any_plan), only_plan, paper) == set()
