"""Finished pages of odd gardens, read by MuPDF: no ink on ink or pegs, letters large enough.

PEGLINE_WIDE=3 prints nine random gardens in place of one, and the odd one on all papers.
"""

from __future__ import annotations

import json
import math
import os
import random
from pathlib import Path
from typing import Any

import pytest

import renderer
from renderer.plan import load, loads
from renderer.plan.kinds import SETBACK_KINDS, SIDE_KINDS
from tests.outside import ink

pymupdf = pytest.importorskip("pymupdf")

HERE = Path(__file__).parent / "plans"
ODD = HERE / "odd-ell.plan.yaml"
WIDE = int(os.environ.get("PEGLINE_WIDE", "1"))
LEAST_CAP_MM = 2.5
HEAD_MM, FOOT_MM = 24.0, 21.0  # down to the line of facts; from the title block on
LEAST_TABLE_MM = 8 / 72 * 25.4 * 0.7  # capitals of type of 8 pt
FULL_HEIGHT = frozenset("EFHIKLNTXZ147")  # neither round nor below the line
PAPERS = ("A4", "Letter", "A3", "Tabloid")
DRAWINGS = "layout: 1\ndocument: Drawings\nblocks: [plan, plates, proof]\n"


def garden(number: int) -> str:
    """A round or ragged lawn with up to sixty things on it."""
    rng = random.Random(f"finished page {number}")
    reach, corners = rng.uniform(8, 30), rng.randint(4, 12)
    ring = [
        (math.tau * (i + rng.uniform(0, 0.7)) / corners, reach * rng.uniform(0.6, 1.1))
        for i in range(corners)
    ]
    outline = [
        [round(far * math.cos(turn), 2), round(far * math.sin(turn), 2), rng.choice(SIDE_KINDS)]
        for turn, far in ring
    ]
    things = [thing(rng, i, reach) for i in range((20, 40, 3, 60)[number % 4])]
    dock = [(outline[0][i] + outline[1][i]) / 2 for i in (0, 1)]
    machine = {
        "label": "Training machine",
        "setback": dict.fromkeys(SETBACK_KINDS, 0.3),
        "passage_min": 1.0,
        "loop_max": 9000,
    }
    return json.dumps(
        {
            "plan": 1,
            "job": {"number": f"F-{number}"},
            "machine": machine,
            "lawns": [{"name": "Lawn", "outline": outline}],
            "obstacles": things,
            "loops": [{"dock": {"at": dock}}],
            "wire": {"conductor_mm2": 0.75, "spools": [250] * 6},
        }
    )


def thing(rng: random.Random, number: int, reach: float) -> dict[str, Any]:
    x, y = (round(rng.uniform(-reach, reach) * 0.8, 2) for _ in range(2))
    name = rng.choice(["Bed", "Old pear", "Rose bed west", "Lily pool", "Birch"])
    kind = rng.choice(["bed", "tree", "tree", "water", "firm", "low", "soft"])
    ring = {"at": [x, y], "radius": rng.choice([0.1, 0.3, 0.8, 1.5])}
    return {"name": f"{name} {number}", "kind": kind, "circle": ring}


def wrong(page: Any, least_mm: float) -> list[str]:
    return [*ink.faults(ink.ink_of(page)), *sorted(small(page, least_mm))]


def small(page: Any, least_mm: float, top_mm: float = 0.0, end_mm: float = math.inf) -> set[str]:
    """Letters that are too small, of those that stand between two heights of the page."""
    return {
        f"{g.letter!r} is {g.tall:.2f} mm high"
        for g in ink.ink_of(page).glyphs
        if g.letter in FULL_HEIGHT
        and g.tall < least_mm - 0.01
        and top_mm <= g.box[1]
        and g.box[3] <= end_mm
    }


@pytest.mark.parametrize("number", range(4 * WIDE - 3))
def test_the_diagram_of_a_random_garden(number: int) -> None:
    data = renderer.draw(loads(garden(number), "g.json"), "pdf", paper=PAPERS[number % 4])
    page = pymupdf.open(stream=data)[0]
    assert wrong(page, LEAST_TABLE_MM) == []
    # all but the lines of the sheet itself, at its head and its foot
    assert small(page, LEAST_CAP_MM, HEAD_MM, page.rect.height / 72 * 25.4 - FOOT_MM) == set()


@pytest.mark.parametrize("paper", PAPERS[1:2] if WIDE == 1 else PAPERS)
def test_every_page_with_a_drawing_of_an_odd_garden(paper: str, tmp_path: Path) -> None:
    layout = tmp_path / "drawings.yaml"
    layout.write_text(DRAWINGS)
    data = renderer.print_sheets([load(ODD)], layout=str(layout), draft=True, paper=paper)
    with pymupdf.open(stream=data) as pages:
        assert len(pages) > 3
        found = {page.number + 1: wrong(page, LEAST_TABLE_MM) for page in pages}
    assert {number: texts for number, texts in found.items() if texts} == {}


def test_what_touches_is_seen() -> None:
    """The reader itself: text on text, text on a disc, small text and text off the page."""
    with pymupdf.open() as made:
        page = made.new_page(width=200, height=200)
        page.insert_text((20, 50), "HALT", fontsize=20)
        assert wrong(page, LEAST_CAP_MM) == []
        page.insert_text((26, 52), "HALT", fontsize=20)
        assert any("touches 'H'" in text for text in wrong(page, LEAST_CAP_MM))
        page = made.new_page(width=200, height=200)
        page.insert_text((20, 50), "HALT", fontsize=20)
        page.draw_circle((24, 45), 2.3, color=None, fill=(0, 0, 0))
        assert any("touches a mark" in text for text in wrong(page, LEAST_CAP_MM))
        page = made.new_page(width=200, height=200)
        page.insert_text((190, 50), "HE", fontsize=8)
        texts = " ".join(wrong(page, LEAST_CAP_MM))
        assert "runs off the page" in texts and "mm high" in texts
