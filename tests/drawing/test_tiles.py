"""Tiles cover the plan, fit their neighbours, and can be found on the ground."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from shapely import LineString, Polygon, unary_union

from renderer.drawing import DrawError, TileSet, drawing_words, tiled
from renderer.plan import load
from renderer.primitives import Line, Text
from tests.drawing import handmade
from tests.drawing.audit import faults
from tests.plans import ROOT
from tests.shared import lay_plan

OPPOSITE = {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}
BOX = (110.0, 90.0)


def cut(scale: float | None = 50.0, box: tuple[float, float] = BOX) -> TileSet:
    words = drawing_words()
    return tiled(
        handmade.plan(), handmade.lay(), (), box_mm=box, inch_paper=False, words=words, scale=scale
    )


def test_one_tile_where_the_plan_fits_readably() -> None:
    sheets = cut(None, (230.0, 170.0))
    assert sheets.key is None
    assert len(sheets.tiles) == 1
    assert sheets.tiles[0].plan.scale == 100


def test_a_scale_too_small_to_read_is_not_used() -> None:
    machine = {**handmade.plan_data()["machine"], "peg_spacing": {"first": 1.0, "final": 0.2}}
    plan = handmade.plan(machine=machine)
    words = drawing_words()
    sheets = tiled(plan, handmade.lay(), (), box_mm=(120, 100), inch_paper=False, words=words)
    assert sheets.tiles[0].plan.scale == 100
    assert len(sheets.tiles) > 1


def test_tiles_cover_outline_and_wire() -> None:
    sheets = cut()
    ground = unary_union([Polygon(tile.ground) for tile in sheets.tiles])
    lay = handmade.lay()
    assert ground.covers(LineString(lay.loops[0].path))
    assert ground.covers(lay.lawns[0].outline.exterior)


def test_neighbours_overlap_by_fifteen_millimetres() -> None:
    tiles = {tile.name: tile for tile in cut().tiles}
    assert len(tiles) > 1 and all(tile.neighbours for tile in tiles.values())
    for tile in tiles.values():
        for side, name in tile.neighbours:
            common = Polygon(tile.ground).intersection(Polygon(tiles[name].ground))
            x0, y0, x1, y1 = common.bounds
            assert min(x1 - x0, y1 - y0) * 20 == pytest.approx(15.0, abs=0.01), side


def test_every_match_line_has_its_like_on_the_neighbour() -> None:
    tiles = {tile.name: tile for tile in cut().tiles}
    pairs = {(t.name, side, name) for t in tiles.values() for side, name in t.neighbours}
    assert pairs
    for here, side, there in pairs:
        assert (there, OPPOSITE[side], here) in pairs


def test_match_lines_lie_at_the_same_place_of_the_ground() -> None:
    sheets = cut()
    tiles = {tile.name: tile for tile in sheets.tiles}
    for tile in tiles.values():
        for side, name in tile.neighbours:
            ours, theirs = match_ground(tile, side), match_ground(tiles[name], OPPOSITE[side])
            axis = 0 if side in ("left", "right") else 1
            if sheets.rotation_deg:
                axis = 1 - axis
            assert ours[:, axis] == pytest.approx(theirs[:, axis], abs=1e-4)


def match_ground(tile, side: str) -> np.ndarray:  # type: ignore[no-untyped-def]
    """The ends of the match line at a side, in metres, from its place on the tile's paper."""
    width, height = tile.drawing.width_mm, tile.drawing.height_mm
    lines = [i for i in tile.drawing.items if isinstance(i, Line) and i.role == "match"]
    wanted = {
        "left": (0, 7.5),
        "right": (0, width - 7.5),
        "top": (1, 7.5),
        "bottom": (1, height - 7.5),
    }
    axis, value = wanted[side]
    (line,) = (
        line for line in lines if all(abs(point[axis] - value) < 1e-6 for point in line.points)
    )
    corner, right, _, down = (np.array(point) for point in tile.ground)
    return np.array(
        [
            corner + (right - corner) * x / width + (down - corner) * y / height
            for x, y in line.points
        ]
    )


def test_match_lines_name_the_neighbour() -> None:
    for tile in cut().tiles:
        texts = {i.text for i in tile.drawing.items if isinstance(i, Text)}
        for _, name in tile.neighbours:
            assert f"Match line – sheet {name}" in texts


def test_a_lawn_cut_at_an_edge_without_match_line_names_the_sheet_that_has_it() -> None:
    """Hollin park has two lawns in lots of their own; a strip of the other shows at an edge."""
    plan = load(ROOT / "demo" / "hollin-park.plan.yaml")
    lay = lay_plan(plan)
    sheets = tiled(
        plan, lay, (), box_mm=(190, 230), inch_paper=False, words=drawing_words(), scale=300
    )
    grounds = {tile.name: Polygon(tile.ground) for tile in sheets.tiles}
    told = 0
    for tile in sheets.tiles:
        names = [
            item.text.removeprefix("Goes on – sheet ")
            for item in tile.drawing.items
            if isinstance(item, Text) and item.text.startswith("Goes on")
        ]
        mine = grounds[tile.name]
        linked = {name for _, name in tile.neighbours}
        shown = [lawn.outline for lawn in lay.lawns if mine.intersects(lawn.outline)]
        for name in names:
            assert name not in linked and name != tile.name
            more = [lawn.intersection(grounds[name]).difference(mine).area for lawn in shown]
            assert max(more) > 1.0
            told += 1
    assert told


def test_each_tile_has_two_points_to_find_it_by() -> None:
    for tile in cut().tiles:
        assert len(tile.references) >= 2
        (ax, ay), (bx, by) = (ref.at for ref in tile.references[:2])
        assert abs(ax - bx) + abs(ay - by) > 0.5
        frame = Polygon(tile.ground)
        assert all(frame.contains_properly(LineString([r.at, r.at])) for r in tile.references)


def test_a_point_in_the_overlap_shows_on_both_tiles() -> None:
    sheets = cut()
    numbers = [
        {i.id for i in tile.drawing.items if getattr(i, "id", None)} for tile in sheets.tiles
    ]
    shared = set.union(*(a & b for a, b in pairwise(numbers)))
    assert any(str(id).startswith("peg-") for id in shared)


def test_the_key_plan_names_every_sheet() -> None:
    sheets = cut()
    assert sheets.key is not None
    texts = {i.text for i in sheets.key.items if isinstance(i, Text)}
    assert texts == {tile.name for tile in sheets.tiles}
    for tile in sheets.tiles:
        assert tile.key != sheets.key
        in_corner = [item for item in tile.drawing.items if getattr(item, "role", "") == "key"]
        assert (tile.key is None) == bool(in_corner)


def test_nothing_touches_on_any_tile() -> None:
    assert [fault for tile in cut().tiles for fault in faults(tile.drawing)] == []


def test_too_many_sheets_are_refused() -> None:
    with pytest.raises(DrawError, match="sheets"):
        cut(2.0)


def test_tiles_of_plans_on_disk(any_plan: Path) -> None:
    plan = load(any_plan)
    lay = lay_plan(plan)
    words = drawing_words()
    sheets = tiled(plan, lay, (), box_mm=(190.0, 200.0), inch_paper=False, words=words)
    for tile in sheets.tiles:
        assert faults(tile.drawing) == []
        assert len(sheets.tiles) == 1 or len(tile.references) >= 2
