"""A list of control pegs in columns says what the wide one says, in half as many millimetres."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import pytest

from renderer.plan import load
from renderer.primitives import Document, Field, Text
from renderer.sheets import load_layout
from renderer.sheets.frame import Frame
from renderer.sheets.layout import Layout
from tests.shared import compose, job_of

WIDE = "layout: 1\ndocument: Pegs\nblocks: [{block: peg-list, brief: yes}]\n"
CLOSE = (
    "layout: 1\ndocument: Pegs\nblocks: [{columns: 2, blocks: [{block: peg-list, brief: yes}]}]\n"
)
ROW_SIZES = {("condensed", 9.5), ("condensed_bold", 9.5), ("regular", 10), ("bold", 10)}
ROW_SIZES |= {("condensed_bold", 11)}
LONG_MM = 400.0  # a shorter list is for the most part heads and explanation
SAVED = 0.8  # of the length of the wide list, at the most


@pytest.fixture(scope="module")
def lists(tmp_path_factory: pytest.TempPathFactory) -> tuple[Layout, Layout]:
    found = []
    for name, text in (("wide", WIDE), ("close", CLOSE)):
        path = tmp_path_factory.mktemp("layout") / f"{name}.yaml"
        path.write_text(text, encoding="utf-8")
        found.append(load_layout(str(path)))
    return found[0], found[1]


def said(document: Document) -> Counter[str]:
    """The words and figures of all rows; a word that is broken is two others."""
    return Counter(
        word
        for page in document.pages
        for item in page.items
        if isinstance(item, Text) and (item.face, item.size_pt) in ROW_SIZES
        for word in item.text.split(" ")
    )


def ticked(document: Document) -> list[str]:
    fields = [item for page in document.pages for item in page.items if isinstance(item, Field)]
    return sorted(field.name for field in fields)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_list_in_columns_says_all_that_the_wide_one_says(
    any_plan: Path, lists: tuple[Layout, Layout], paper: str
) -> None:
    job = job_of(load(any_plan))
    wide, close = (compose([job], layout, paper=paper, draft=True) for layout in lists)
    assert said(close) == said(wide)
    assert ticked(close) == ticked(wide)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_peg_that_stands_already_takes_one_line(
    any_plan: Path, lists: tuple[Layout, Layout], paper: str
) -> None:
    """Its distance from the peg before it stands behind the word, not in a line below."""
    document = compose([job_of(load(any_plan))], lists[1], paper=paper, draft=True)
    texts = [item for page in document.pages for item in page.items if isinstance(item, Text)]
    back = [text.text for text in texts if text.text.split(" ")[0] in ("again", "closing")]
    assert back
    assert all(re.fullmatch(r"(again|closing) \d+\s\+\s[\d.'\" ½¼¾\u00a0]+", text) for text in back)


def length_mm(document: Document) -> float:
    """How far down the rows go, over all pages."""
    frame = Frame(document.pages[0].width_mm, document.pages[0].height_mm)
    last = max(
        item.at[1]
        for item in document.pages[-1].items
        if isinstance(item, Text) and (item.face, item.size_pt) in ROW_SIZES
        if item.at[1] < frame.top_mm + frame.height_mm
    )
    return (len(document.pages) - 1) * frame.height_mm + last


def test_a_long_list_in_columns_is_shorter(any_plan: Path, lists: tuple[Layout, Layout]) -> None:
    job = job_of(load(any_plan))
    wide, close = (length_mm(compose([job], layout, paper="A4", draft=True)) for layout in lists)
    assert wide < LONG_MM or close <= SAVED * wide
