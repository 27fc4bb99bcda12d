"""Where dimensions stand: on no other lawn, their white paper under outlines and wire."""

from __future__ import annotations

import itertools
import math

import pytest
import shapely

from renderer.drawing import drawing_words, plan_drawing
from renderer.drawing.pens import HALO
from renderer.primitives import Line
from tests.drawing import handmade
from tests.ground.gardens import as_text, box, figures, plan_of, ring_of
from tests.shared import lay_plan

APART_M = 0.5  # so near that any dimension between the lawns would lie on one of them
OFF_MM = {6.7, 9.7, 12.7, 15.7}  # of a dimension from its side


def test_no_dimension_lies_on_the_lawn_beside_and_its_white_is_under_outlines_and_wire() -> None:
    lawns = [
        {
            "name": name,
            "outline": ring_of([(x + left, y) for x, y in box(9, 7)]),
            "loop": name.lower(),
        }
        for name, left in (("Left", 0.0), ("Right", 9.0 + APART_M))
    ]
    loops = [
        {"name": name, "dock": {"at": [x, 0.3]}} for name, x in (("left", 4.5), ("right", 14.0))
    ]
    plan = plan_of(as_text(figures(), lawns, [], loops))
    assert plan is not None
    made = plan_drawing(
        *(plan, lay_plan(plan), ()), box_mm=(260.0, 150.0), inch_paper=False, words=drawing_words()
    )
    lines = [item for item in made.drawing.items if isinstance(item, Line)]
    outlines = [shapely.Polygon(line.points) for line in lines if line.role == "outline"]
    assert made.scale == 100
    assert len(outlines) == 2
    measured = [
        line
        for line in lines
        if line.role == "dimension" and line.pen not in (None, HALO) and _long(line) > 60.0
    ]
    inside = 0
    for line in measured:
        told = shapely.LineString(line.points)
        for lawn in outlines:
            if told.intersection(lawn.buffer(-0.5)).length > 1.0:
                inside += 1
                # as far from its own side as any dimension: not hard by an edge from beyond it
                off = min(
                    told.interpolate(0.5, normalized=True).distance(side)
                    for side in _parallel(lawn, told)
                )
                assert any(off == pytest.approx(one, abs=0.05) for one in OFF_MM)
    assert inside == 2
    places = {id(item): number for number, item in enumerate(made.drawing.items)}
    halos = [places[id(line)] for line in lines if line.pen == HALO]
    whole = [places[id(line)] for line in lines if line.role in ("outline", "wire")]
    assert halos and whole
    assert max(halos) < min(whole)


def _long(line: Line) -> float:
    return math.dist(line.points[0], line.points[-1])


def _parallel(lawn: shapely.Polygon, told: shapely.LineString) -> list[shapely.LineString]:
    """The sides of an upright lawn that run as a line does."""
    (x0, _), (x1, _) = told.coords
    corners = list(lawn.exterior.coords)
    sides = [shapely.LineString(pair) for pair in itertools.pairwise(corners)]
    upright = abs(x0 - x1) < 0.01
    return [
        side for side in sides if (abs(side.coords[0][0] - side.coords[1][0]) < 0.01) == upright
    ]


def test_no_dimension_runs_through_an_obstacle() -> None:
    """Where paving lies outside of a side, its dimension may stand inside, but on no bed there."""
    bed = {"name": "Bed", "kind": "bed", "polygon": [[9, 0.5], [11, 0.5], [11, 4], [9, 4]]}
    paving = {"name": "Path", "kind": "paving", "polygon": [[0, -3], [20, -3], [20, 0], [0, 0]]}
    plan = handmade.plan(obstacles=[bed], features=[paving])
    for scale in (100, 200):
        made = plan_drawing(
            *(plan, handmade.lay(), ()),
            box_mm=(260.0, 180.0),
            inch_paper=False,
            words=drawing_words(),
            scale=scale,
        )
        lines = [item for item in made.drawing.items if isinstance(item, Line)]
        (edge,) = [line for line in lines if line.role == "obstacle"]
        island = shapely.Polygon(edge.points)
        told = [
            shapely.LineString(line.points)
            for line in lines
            if line.role == "dimension" and line.pen not in (None, HALO) and _long(line) > 30.0
        ]
        assert told and island.area > 0
        assert not any(line.intersects(island) for line in told)
