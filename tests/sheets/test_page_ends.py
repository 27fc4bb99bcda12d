"""No heading is the last text of a page and no table's head stands without a row, in any PDF."""

from __future__ import annotations

from functools import lru_cache

import pytest

import renderer
from renderer.output.pdf import write_pdf
from renderer.plan import load
from renderer.primitives import Document, Page, shifted
from renderer.sheets import load_layout
from renderer.sheets.frame import title_block_items
from renderer.sheets.kit import heading, paragraph, subheading
from renderer.sheets.pages import Numbers, blank_block, blank_sheet, frame_of
from renderer.sheets.piece import Piece
from renderer.sheets.table import Column, Group, Row, Write, table
from tests.plans import demo_plans
from tests.shared import print_sheets
from tests.sheets.page_ends import lonely

BY_JOB = ("crew-work-order", "wiring-map", "survey-form", "first-visit")
BY_CLASS = ("exercise", "fault-plates", "class-set")


PRINTS = (("old-smithy", "A4"), ("quarry-lane", "Letter"))  # metres, and feet and inches


@lru_cache
def plan(name: str) -> renderer.Plan:
    return load(next(path for path in demo_plans() if path.name.startswith(name)))


@pytest.mark.parametrize(("name", "paper"), PRINTS)
@pytest.mark.parametrize("layout", BY_JOB)
def test_nothing_stands_alone_at_the_end_of_a_page(layout: str, name: str, paper: str) -> None:
    assert lonely(print_sheets([plan(name)], layout=layout, paper=paper)) == []


@pytest.mark.parametrize(
    ("layout", "paper"), [*zip(BY_CLASS, ("A4", "Letter", "Letter"), strict=True)]
)
def test_nothing_stands_alone_on_sheets_for_a_class(layout: str, paper: str) -> None:
    for pdf in renderer.print_class(plan("quarry"), 1, seed=3, layout=layout, paper=paper):
        assert lonely(pdf) == []


def test_nothing_stands_alone_in_a_pack() -> None:
    assert lonely(print_sheets([plan("practice"), plan("quarry")])) == []


def page_of(*pieces: Piece) -> bytes:
    """A page as the sheets are framed, with these pieces at its top and nothing below."""
    frame, paper = frame_of("A4", False)
    sheet = blank_sheet(load_layout("survey-form"), frame, paper)
    items, y = [], frame.top_mm
    for piece in pieces:
        items += [shifted(item, frame.left_mm, y) for item in piece.items]
        y += piece.height_mm
    items += title_block_items(frame, blank_block(sheet, Numbers(1, 1)))
    return write_pdf(Document((Page(frame.page_width_mm, frame.page_height_mm, tuple(items)),), ""))


COLUMNS = (Column("One", 1), Column("Two", 1, lined=True))
TEXT = paragraph("A line of text above.", 190.0)
HEAD, GROUP, ROW, SPACE = table(
    COLUMNS, (Group("Before"), Row(("row", "x")), Row((Write("a"), Write("b")))), 190.0
)


@pytest.mark.parametrize(
    ("pieces", "found"),
    [
        ((*TEXT, heading("Sign-off", 190.0, "a")), ["1: Sign-off"]),
        ((*TEXT, subheading("Test lap", 190.0)), ["1: Test lap"]),
        ((*TEXT, HEAD), ["1: One | Two"]),
        ((heading("Peg list", 190.0, "a"), HEAD), ["1: One | Two"]),
        ((*TEXT, HEAD, GROUP), ["1: Before"]),
        ((heading("Sign-off", 190.0, "a"), *TEXT), []),
        ((*TEXT, HEAD, ROW), []),
        ((*TEXT, HEAD, SPACE), []),
        ((*TEXT, HEAD, GROUP, SPACE), []),
    ],
)
def test_the_reader_sees_what_stands_alone(pieces: tuple[Piece, ...], found: list[str]) -> None:
    assert lonely(page_of(*pieces)) == found
