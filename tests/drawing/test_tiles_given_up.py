"""Tiles at a closer scale are given up as soon as a control peg is sure to lose its number."""

from __future__ import annotations

from importlib import import_module
from typing import Any

import pytest

from benchmarks.gardens import round_garden
from renderer.drawing import drawing_words
from renderer.drawing.cells import cut
from renderer.drawing.errors import LeftOutError
from renderer.drawing.plan import left_out
from renderer.drawing.scene import LAYERS
from renderer.drawing.tiles import tiles
from renderer.job import Job
from renderer.sheets import compose, load_layout
from renderer.sheets.blocks.carry import CONTROL
from tests.plans import ROOT
from tests.shared import job_of

PARK = round_garden(40, 80)
BOX_MM = (180.0, 235.0)
SHOW = (LAYERS - {"findings"}) | CONTROL


@pytest.fixture
def drawn(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the tiles that have been drawn."""
    made: list[str] = []
    room = import_module("renderer.drawing.tiles")
    draw = room._tile

    def counted(scene: Any, cell: Any, *more: Any) -> Any:
        made.append(cell.name)
        return draw(scene, cell, *more)

    monkeypatch.setattr(room, "_tile", counted)
    return made


@pytest.mark.parametrize("scale", [300.0, 400.0])
def test_it_is_given_up_where_the_whole_would_lack_a_number_and_only_there(
    scale: float, drawn: list[str]
) -> None:
    job = job_of(PARK)
    cutting = cut(job.plan, job.lay, BOX_MM, scale, 0.0)
    assert len(cutting.sheets) > 1
    known = {"words": drawing_words(), "show": SHOW, "setting": job.setting}
    whole = tiles(job.plan, job.lay, (), cutting, **known)
    pegs = {peg.id for loop in job.lay.loops for peg in loop.pegs}
    lost = pegs.intersection(left_out(job.lay, [tile.plan for tile in whole.tiles]))
    drawn.clear()
    if lost:
        with pytest.raises(LeftOutError, match="control peg"):
            tiles(job.plan, job.lay, (), cutting, **known, all_numbered=True)
        assert len(drawn) < len(cutting.sheets)
    else:
        again = tiles(job.plan, job.lay, (), cutting, **known, all_numbered=True)
        assert again.tiles == whole.tiles


def test_a_park_draws_one_tile_for_a_scale_that_is_too_small(drawn: list[str]) -> None:
    layout = load_layout(ROOT / "layouts/carry.yaml")
    compose([Job(PARK)], layout)
    kept = int(max(drawn, key=int))
    tries = 2  # 1:400 as the plan lies, and turned
    assert kept > 4
    assert len(drawn) == kept + tries
