"""What a legend is reckoned to explain, against what a large drawing of the same plan uses."""

from __future__ import annotations

import pytest

from renderer.checks.finding import Finding
from renderer.drawing import LAYERS, Pin, drawing_words, plan_drawing
from renderer.drawing.legend_keys import legend_keys
from tests.drawing import handmade

PIN = Pin("test-point", (5.0, 5.0), "T1")
FLAG = Finding("near", "warn", "Too near.", (4.0, 4.0))


@pytest.mark.parametrize(
    "show",
    [
        LAYERS,
        LAYERS - {"pegs", "peg-numbers", "findings"},
        LAYERS - {"features", "obstacles"},
        LAYERS - {"wire", "dock", "supply", "splices"},
        LAYERS - {"sides", "dimensions", "references"},
    ],
)
def test_the_keys_are_those_that_the_drawing_uses(show: frozenset[str]) -> None:
    drawn = plan_drawing(
        handmade.plan(), handmade.lay(), (FLAG,),
        box_mm=(5000.0, 5000.0), inch_paper=False, words=drawing_words(), scale=10.0,
        show=show, pins=(PIN,),
    )  # fmt: skip
    found = legend_keys(handmade.plan(), handmade.lay(), (FLAG,), show, (PIN,))
    assert found - drawn.used <= {"arrow"}  # where too little wire shows for one
    # a side is dimensioned on the reckoning only where any scale has room for it
    assert drawn.used - found <= {"dimension"}
