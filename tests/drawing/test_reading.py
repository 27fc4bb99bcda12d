"""What is read off a drawing: values above their lines, text from below or the right, numbers."""

from __future__ import annotations

import math

import numpy as np
import pytest

from renderer.drawing import drawing_words, plan_drawing, scale_bar
from renderer.drawing.boxes import LINE, PEG, Box, Occupied
from renderer.drawing.dimensions import dimension_spot
from renderer.drawing.kinds import LabelKind
from renderer.drawing.labels import Label, Spot, drawn, place, text_size
from renderer.drawing.pens import NAME_TEXT
from renderer.drawing.spots import readable
from renderer.geometry.rects import Rect
from renderer.primitives import Line, Text
from tests.drawing import handmade


@pytest.mark.parametrize("degrees", range(0, 360, 15))
def test_text_along_a_line_is_read_from_below_or_from_the_right(degrees: int) -> None:
    """Paper y runs down: read from below is to the right, read from the right is upwards."""
    a = math.radians(degrees)
    x, y = readable((math.cos(a), math.sin(a)))
    assert abs(x * math.sin(a) - y * math.cos(a)) < 1e-9  # along the same line
    assert x > 1e-9 or y < 0.0


@pytest.mark.parametrize("offset", [-8.0, -5.0, 5.0, 8.0])
@pytest.mark.parametrize("degrees", range(0, 360, 30))
def test_a_value_stands_above_its_dimension_line(offset: float, degrees: int) -> None:
    """Above as it is read: on the left of the way that the text runs."""
    a = math.radians(degrees)
    start, end = (100.0, 100.0), (100 + 50 * math.cos(a), 100 + 50 * math.sin(a))
    spot = dimension_spot(start, end, offset, 0.5, (9.0, 3.0), 0.0)
    way = np.array(readable((math.cos(a), math.sin(a))))
    above = np.array((way[1], -way[0]))
    line = max(
        (np.array(mark.points) for mark in spot.marks if isinstance(mark, Line) and not mark.fill),
        key=lambda points: float(np.hypot(*(points[1] - points[0]))),
    )
    lift = (np.array((spot.box.x, spot.box.y)) - line.mean(axis=0)) @ above
    assert 1.5 < lift < 4.0


def numbered(scale: float) -> set[str]:
    made = plan_drawing(
        handmade.plan(), handmade.lay(), (), box_mm=(300.0, 300.0), inch_paper=False,
        words=drawing_words(), scale=scale, show=frozenset({"wire", "pegs", "peg-numbers"}),
    )  # fmt: skip
    return {item.text for item in made.drawing.items if isinstance(item, Text)}


def test_fewer_pegs_are_numbered_where_they_stand_closer() -> None:
    """Pegs 0.75 m apart are 7.5 mm apart at 1:100, 1.5 mm at 1:500; a number is 4 mm wide."""
    controls = {peg.id for peg in handmade.lay().loops[0].pegs if peg.control}
    others = {peg.id for peg in handmade.lay().loops[0].pegs} - controls
    assert controls <= numbered(100)
    assert len(numbered(100) & others) > 0.8 * len(others)
    far = numbered(500) & others
    assert far and all(int(number) % 5 == 0 for number in far)
    assert len(numbered(200) & others) <= 0.6 * len(others)


@pytest.mark.parametrize(
    ("scale", "inch", "step"),
    [(100, False, 1), (200, False, 2), (250, False, 5), (500, False, 5), (1000, False, 10),
     (50, False, 0.5), (120, True, 5), (240, True, 10)],
)  # fmt: skip
def test_a_scale_bar_has_blocks_of_one_two_or_five(scale: float, inch: bool, step: float) -> None:
    """The least round length that is 9 mm or more on paper."""
    texts = [i.text for i in scale_bar(scale, inch=inch, words=drawing_words()).items
             if isinstance(i, Text)][:-1]  # fmt: skip
    assert [float(text) for text in texts[:3]] == [0.0, step, 2 * step]


@pytest.mark.parametrize("kind", [LINE, PEG])
def test_a_leader_goes_round_what_it_could_cross(kind: int) -> None:
    """Of two places alike the one is taken whose leader crosses no line and no peg."""
    size = text_size(("Pond",), NAME_TEXT)
    crossing = Spot(1.0, Box(80, 40, size[0] / 2, size[1] / 2), (Box(65, 40, 8, 0.3),))
    clear = Spot(1.1, Box(20, 40, size[0] / 2, size[1] / 2), (Box(35, 40, 8, 0.3),))
    label = Label("pond", ("Pond",), NAME_TEXT, LabelKind.PEG_FIXED, (crossing, clear))
    free = place([label], [], Rect(0, 0, 120, 90), "N{}")
    assert next(text.at[0] for text in drawn(free.placed) if isinstance(text, Text)) > 60
    wall = Occupied(Box(65, 40, 0.5, 20), kind, 8.0)
    held = place([label], [wall], Rect(0, 0, 120, 90), "N{}")
    assert next(text.at[0] for text in drawn(held.placed) if isinstance(text, Text)) < 60
