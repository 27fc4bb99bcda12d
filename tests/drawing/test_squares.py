"""The squares never tell anything of a place that the marks themselves would deny."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point, box

from renderer.drawing.boxes import Box, disc
from renderer.drawing.squares import CLEAR, TAKEN, Squares
from renderer.geometry.rects import Rect
from tests.drawing.test_labels import shape

FRAME = Rect(-5.0, -5.0, 50.0, 50.0)

coordinates = st.one_of(st.integers(0, 160).map(lambda n: n / 4), st.floats(0.0, 40.0))
boxes = st.builds(
    lambda x, y, hw, hh: Box(x, y, hw, hh),
    coordinates,
    coordinates,
    st.floats(0.1, 9),
    st.floats(0.1, 3),
)
marks = st.one_of(
    boxes,
    st.builds(disc, st.tuples(coordinates, coordinates), st.floats(0.1, 4)),
    st.builds(lambda b: b._replace(c=0.6, s=0.8), boxes),
)


@given(marks, st.tuples(coordinates, coordinates), st.floats(0.2, 6), st.floats(0.2, 3))
@settings(max_examples=150, deadline=None)
def test_squares_agree_with_an_independent_library(
    mark: Box, at: tuple[float, float], wide: float, high: float
) -> None:
    place = Rect(at[0], at[1], at[0] + wide, at[1] + high)
    squares = Squares(FRAME)
    squares.add(mark)
    form = Point(mark.x, mark.y).buffer(mark.hw, 64) if mark.round else shape(mark)
    common = form.intersection(box(*place)).area
    if squares.state(place) == CLEAR:
        assert common == 0
    if squares.state(place) == TAKEN:
        assert common > 0


def test_a_place_well_on_a_mark_or_well_off_it_is_told_at_a_glance() -> None:
    squares = Squares(FRAME)
    squares.add(disc((10.0, 10.0), 1.2))
    assert squares.state(Rect(9.0, 9.0, 14.0, 11.0)) == TAKEN
    assert squares.state(Rect(12.0, 9.0, 17.0, 11.0)) == CLEAR
