"""Every line on every document is of one table of widths, every letter of a drawing of another.

ISO 128-2 gives the series of widths, ISO 3098-1 that of letters; what each is for is in ``trade``.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from renderer.drawing import pens
from renderer.plan import load
from renderer.primitives import Area, Circle, Line, Pen, Primitive
from renderer.sheets import load_layout
from renderer.trade import LETTER_MM, LINE_MM
from tests.plans import ROOT
from tests.shared import compose, job_of

ISO_128 = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0)
ISO_3098 = (2.5, 3.5, 5.0, 7.0)
# Two lines drawn as one with white in it, and the white under a line, are no lines of their own.
MADE_OF_TWO = {pens.PAIR_PEN, pens.PAIR_CORE, pens.PAIR_COVER, pens.HALO}
LAYOUTS = ("crew-work-order", "wiring-map", "survey-form", "exercise", "exercise-key", "drawing")


def pens_of(items: tuple[Primitive, ...]) -> Iterator[Pen]:
    for item in items:
        if isinstance(item, (Line, Area, Circle)) and item.pen is not None:
            yield item.pen


def test_the_table_is_of_the_series_of_the_standards() -> None:
    assert set(LINE_MM.values()) <= set(ISO_128)
    assert set(LETTER_MM.values()) <= set(ISO_3098)
    assert max(LINE_MM, key=LINE_MM.__getitem__) == "wire"
    assert min(LINE_MM, key=LINE_MM.__getitem__) == "hatch"


def test_letters_of_drawings_are_of_the_table() -> None:
    styles = [each for each in vars(pens).values() if isinstance(each, pens.Lettering)]
    assert len(styles) > 5
    assert {each.cap_mm for each in styles} <= set(LETTER_MM.values())


@pytest.mark.parametrize("layout", LAYOUTS)
@pytest.mark.parametrize("name", ["practice-lawn", "old-smithy"])
def test_nothing_is_drawn_with_a_width_of_its_own(name: str, layout: str) -> None:
    plan = load(ROOT / f"demo/{name}.plan.yaml")
    document = compose([job_of(plan)], load_layout(layout), draft=True)
    used = {pen for page in document.pages for pen in pens_of(page.items)} - MADE_OF_TWO
    widths = {pen.width_mm for pen in used}
    assert len(widths) > 1
    assert widths <= set(LINE_MM.values())


def test_the_wire_is_heaviest_and_hatching_lightest(any_plan: Path) -> None:
    document = compose([job_of(load(any_plan))], load_layout("drawing"), draft=True)
    assert {pen.width_mm for page in document.pages for pen in pens_of(page.items)} <= {
        *LINE_MM.values(),
        *(pen.width_mm for pen in MADE_OF_TWO),
    }
    by_role: dict[str, set[float]] = {}
    for page in document.pages:
        for item in page.items:
            if isinstance(item, Line) and item.pen and item.pen not in MADE_OF_TWO:
                by_role.setdefault(item.role, set()).add(item.pen.width_mm)
    assert by_role["wire"] == {LINE_MM["wire"]}
    assert by_role["outline"] == {LINE_MM["outline"]}
    assert by_role.get("dimension", {0.18}) == {LINE_MM["dimension"]}
    assert by_role.get("leader", {0.18}) == {LINE_MM["dimension"]}
    assert by_role.get("hatch", {0.13}) == {LINE_MM["hatch"]}
