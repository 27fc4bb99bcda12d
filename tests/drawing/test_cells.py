"""How a plan is cut into sheets: a loop on sheets of its own, none higher than what it shows."""

from __future__ import annotations

import json
import math
from typing import Any

import numpy as np
import pytest
import yaml
from shapely import LineString, Polygon, unary_union

from renderer.drawing.cells import Cutting, cut, enlarged
from renderer.plan import Plan, load, loads
from tests.plans import ROOT, moved
from tests.shared import lay_plan

BOX = (190.0, 238.0)
PARK = ROOT / "demo" / "hollin-park.plan.yaml"


def park(turn: float, mirror: bool, shift: tuple[float, float]) -> Plan:
    """The demo's park as it lies when turned, mirrored and moved."""
    data: dict[str, Any] = yaml.safe_load(PARK.read_text("utf-8"))
    data["machine"] = yaml.safe_load((PARK.parent / "machine.yaml").read_text("utf-8"))
    del data["machine"]["units"]  # metres, as the plan's
    kept = {key: data[key] for key in ("machine", "wire")}
    text = json.dumps({**moved(data, turn, mirror, shift), **kept}, default=str)
    return loads(text, "park.json")


def shown(cutting: Cutting) -> Polygon:
    return unary_union([Polygon(cell.ground) for cell in cutting.sheets])


def test_each_loop_has_sheets_of_its_own() -> None:
    plan = load(PARK)
    lay = lay_plan(plan)
    cutting = cut(plan, lay, BOX, 400.0, 90.0)
    assert not cutting.is_split
    for loop, (cell,) in zip(lay.loops, cutting.cells, strict=True):
        ground = Polygon(cell.ground)
        assert ground.covers(LineString(loop.path))
        for other in lay.loops:
            assert other is loop or not ground.intersects(LineString(other.path))


def test_loops_share_sheets_where_that_saves_one() -> None:
    plan = load(PARK)
    cutting = cut(plan, lay_plan(plan), (190.0, 160.0), 1000.0, 0.0)
    assert len(cutting.lots) == len(cutting.sheets) == 1


@pytest.mark.parametrize("scale", [200.0, 250.0, 300.0, 400.0])
@pytest.mark.parametrize("turn", [0.0, 90.0])
@pytest.mark.parametrize("box", [BOX, (190.0, 120.0)])
def test_the_sheets_show_all_of_it_and_none_is_larger_than_its_box(
    scale: float, turn: float, box: tuple[float, float]
) -> None:
    plan = load(PARK)
    lay = lay_plan(plan)
    cutting = cut(plan, lay, box, scale, turn)
    whole = shown(cutting)
    assert all(whole.covers(LineString(loop.path)) for loop in lay.loops)
    assert all(whole.covers(lawn.outline.exterior) for lawn in lay.lawns)
    for cell in cutting.sheets:
        assert cell.rect.width <= box[0] + 1e-9
        assert cell.rect.height <= box[1] + 1e-9


def test_a_sheet_is_no_higher_than_what_it_shows() -> None:
    """The walled garden and its socket: 20.6 m, 51.5 mm at 1:400.

    Of margins there are 12 mm at the far side and 8.5 mm, less 1, to the park at the near one.
    """
    plan = load(PARK)
    (_, (walled,)) = cut(plan, lay_plan(plan), BOX, 400.0, 90.0).cells
    assert walled.rect.height == pytest.approx(51.5 + 12.0 + 7.5, abs=0.1)


def test_one_loop_is_enlarged_where_it_stays_on_its_sheet() -> None:
    plan = load(PARK)
    cutting = cut(plan, lay_plan(plan), BOX, 400.0, 90.0)
    larger = enlarged(cutting, 1, BOX, 200.0)
    assert larger is not None
    ((main,), (walled,)) = larger.cells
    assert (main.view.scale, walled.view.scale) == (400.0, 200.0)
    assert main.rect == cutting.cells[0][0].rect
    assert enlarged(cutting, 0, BOX, 200.0) is None


def test_a_key_plan_stands_where_no_ground_is() -> None:
    plan = load(PARK)
    lay = lay_plan(plan)
    cornered = [cell for cell in cut(plan, lay, BOX, 400.0, 90.0).sheets if cell.corner]
    assert cornered
    for cell in cornered:
        assert cell.corner is not None
        corner = Polygon([cell.own_view.back(at) for at in cell.corner.corners()])
        assert not any(corner.intersects(LineString(loop.path)) for loop in lay.loops)
        assert not any(corner.intersects(lawn.outline.exterior) for lawn in lay.lawns)


@pytest.mark.parametrize("turn", [90.0, 180.0, 270.0])
@pytest.mark.parametrize("mirror", [False, True])
def test_it_is_cut_alike_however_the_garden_lies(turn: float, mirror: bool) -> None:
    plan = park(math.radians(turn), mirror, (412_000.0, 287_000.0))
    lay = lay_plan(plan)
    found = [cut(plan, lay, BOX, 400.0, each) for each in (0.0, 90.0)]
    fewest = min(found, key=lambda each: (len(each.sheets), each.is_split))
    as_drawn = cut(load(PARK), lay_plan(load(PARK)), BOX, 400.0, 90.0)
    assert len(fewest.sheets) == len(as_drawn.sheets)
    high = [sorted(cell.rect.height for cell in each.sheets) for each in (fewest, as_drawn)]
    assert np.allclose(*high, atol=1e-6)
