"""Drawings cut to their ink."""

from __future__ import annotations

import pytest

from renderer.drawing.cropped import MARGIN_MM, cropped
from renderer.primitives import Circle, Drawing, Line, Pen, Primitive, Text
from renderer.text import cap_height_mm

PEN = Pen(0.35)


def test_blank_paper_above_and_below_goes_and_what_is_drawn_stays() -> None:
    items: tuple[Primitive, ...] = (
        Line(((10.0, 20.0), (40.0, 25.0)), PEN),
        Circle((30.0, 40.0), 5.0, PEN),
    )
    made = cropped(Drawing(60.0, 80.0, items))
    assert (made.width_mm, made.height_mm) == (60.0, 25.0 + 2 * MARGIN_MM)
    line, circle = made.items
    assert isinstance(line, Line) and isinstance(circle, Circle)
    assert line.points == ((10.0, MARGIN_MM), (40.0, 5.0 + MARGIN_MM))
    assert circle.at == (30.0, 20.0 + MARGIN_MM)


def test_the_sides_go_only_where_they_are_asked_to() -> None:
    items = (Line(((10.0, 20.0), (40.0, 25.0)), PEN),)
    made = cropped(Drawing(60.0, 80.0, items), sides=True)
    assert made.width_mm == 30.0 + 2 * MARGIN_MM


@pytest.mark.parametrize("turn", [0.0, 90.0, -90.0, 180.0])
def test_a_turned_text_stays_whole(turn: float) -> None:
    """A capital H of 20 pt: as high as its face says upright, as wide as it is when turned."""
    made = cropped(Drawing(60.0, 80.0, (Text((30.0, 40.0), "H", 20.0, angle_deg=turn),)))
    high = cap_height_mm("regular", 20.0)
    if turn in (0.0, 180.0):
        assert made.height_mm == pytest.approx(high + 2 * MARGIN_MM, abs=0.01)
    else:
        assert made.height_mm > 0.6 * high + 2 * MARGIN_MM


def test_nothing_is_cut_where_ink_reaches_the_edge_or_there_is_none() -> None:
    full = Drawing(60.0, 80.0, (Line(((0.0, 0.0), (60.0, 80.0)), PEN),))
    assert cropped(full) == full
    empty = Drawing(60.0, 80.0, ())
    assert cropped(empty) == empty
