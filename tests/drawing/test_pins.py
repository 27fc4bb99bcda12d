"""Places that a sheet marks on the plan, besides what the plan itself has."""

from __future__ import annotations

import math

import pytest

from renderer.drawing import LAYERS, Pin, drawing_words, plan_drawing, tiled
from renderer.drawing.legends import rows
from renderer.drawing.symbols import SYMBOLS
from renderer.primitives import Circle, Text
from tests.drawing.handmade import lay, plan

PINS = (Pin("test-point", (4.0, 0.3), "T1"), Pin("pair-end", (10.0, 7.3), "P2"))


def test_pins_are_marked_at_their_place_and_named() -> None:
    drawn = plan_drawing(
        plan(), lay(), (), box_mm=(180, 160), inch_paper=False, words=drawing_words(), pins=PINS
    )
    texts = {item.text: item for item in drawn.drawing.items if isinstance(item, Text)}
    assert {"T1", "P2"} <= set(texts)
    assert {"test-point", "pair-end"} <= drawn.used
    rings = [i for i in drawn.drawing.items if isinstance(i, Circle) and i.radius_mm == 1.2]
    (ring,) = rings
    label = texts["T1"]
    assert math.dist(ring.at, label.at) < 12.0


def test_a_drawing_without_pins_has_none() -> None:
    drawn = plan_drawing(
        plan(), lay(), (), box_mm=(180, 160), inch_paper=False, words=drawing_words()
    )
    assert not {"test-point", "pair-end"} & drawn.used


def test_tiles_show_each_pin_somewhere() -> None:
    sheets = tiled(
        plan(), lay(), (), box_mm=(120, 100), inch_paper=False, words=drawing_words(),
        scale=100.0, show=LAYERS - {"pegs", "peg-numbers"}, pins=PINS,
    )  # fmt: skip
    shown = {
        item.text for tile in sheets.tiles for item in tile.drawing.items if isinstance(item, Text)
    }
    assert len(sheets.tiles) > 1
    assert {"T1", "P2"} <= shown


@pytest.mark.parametrize("name", ["test-point", "pair-end"])
def test_the_legend_explains_them(name: str) -> None:
    (row,) = rows({name}, drawing_words())
    assert row.text
    assert row.sample == SYMBOLS[name].at((5.5, 0.0))
