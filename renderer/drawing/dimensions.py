"""Lengths that a crew checks first: the sides as measured, with dimension lines.

As ISO 129 has it: thin full dimension and extension lines, a small gap at the object,
a short overshoot at the line, solid arrowheads, the value above and along the line,
read from below or from the right.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import shapely

from renderer.drawing.boxes import CLEAR_MM, Box, segment
from renderer.drawing.fills import FILLS
from renderer.drawing.kinds import LabelKind
from renderer.drawing.labels import Label, Spot, text_size
from renderer.drawing.measures import length_text
from renderer.drawing.pens import FINE, FINE_MM, HALO, NARROW_MM, VALUE_TEXT
from renderer.drawing.scene import Part, Scene
from renderer.drawing.spots import readable
from renderer.geometry.lines import length
from renderer.ground.area import obstacle_ground
from renderer.ground.slope import feature_shape
from renderer.primitives import BLACK, Line, Pen, Primitive

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from renderer.geometry.lines import Point

OFFSETS_MM = (6.7, 9.7, 12.7, 15.7)
GAP_MM = 2.4
OVERSHOOT_MM = 8 * NARROW_MM
ARROW_MM = 2.2
LEAST_MM = 14.0
MOST = 24
ON_LEAD_COST = 3.0  # of a figure that would cut a supply lead in two


def dimensions(scene: Scene) -> Part:
    """Dimensions of the longest straight sides that the frame shows whole."""
    found: list[tuple[float, str, Point, Point, float]] = []
    for lawn in scene.lay.lawns:
        for number, side in enumerate(lawn.sides):
            if side.arc:
                continue
            ends = scene.view.chain(side.points[[0, -1]])
            a, b = _pair(ends[0]), _pair(ends[1])
            span = length(ends)
            if span >= LEAST_MM and scene.view.frame.holds(a) and scene.view.frame.holds(b):
                key = f"dimension {lawn.name} {number}"
                found.append((span, key, a, b, length(side.points)))
    found.sort(key=lambda row: (-round(row[0], 3), row[1]))
    ground = _Ground(_hatched(scene), _lawns(scene), _obstacles(scene), _supply_leads(scene))
    labels = tuple(
        Label(
            key,
            (text,),
            VALUE_TEXT,
            LabelKind.DIMENSION,
            tuple(_spots(a, b, text, ground)),
            listed=False,
        )
        for _, key, a, b, metres in found[:MOST]
        for text in (length_text(metres, scene.units, scene.words),)
    )
    return Part(labels=labels, used=frozenset({"dimension"} if labels else ()))


def _pair(row: np.ndarray) -> Point:
    return float(row[0]), float(row[1])


def _hatched(scene: Scene) -> BaseGeometry:
    """The ground of features that is drawn with hatching, on paper."""
    shapes = [
        feature_shape(each) for each in scene.plan.features if f"feature.{each.kind}" in FILLS
    ]
    areas = [each for each in shapes if each.area > 0.0] if "features" in scene.show else []
    return shapely.union_all(shapely.transform(areas, scene.view.chain))


def _lawns(scene: Scene) -> BaseGeometry:
    """All lawns on paper, without their edges."""
    outlines = [lawn.outline for lawn in scene.lay.lawns]
    return shapely.union_all(shapely.transform(outlines, scene.view.chain)).buffer(-FINE_MM)


def _obstacles(scene: Scene) -> BaseGeometry:
    """All obstacles on paper."""
    grounds = [obstacle_ground(each) for each in scene.plan.obstacles]
    return shapely.union_all(shapely.transform(grounds, scene.view.chain))


def _supply_leads(scene: Scene) -> BaseGeometry:
    """The leads from supplies to loops on paper, where they are drawn."""
    runs = scene.setting.supply_runs.values() if "supply" in scene.show else ()
    return shapely.union_all([shapely.linestrings(scene.view.chain(run.points)) for run in runs])


def _lies_on(ground: BaseGeometry, a: Point, b: Point, offset: float) -> bool:
    """Whether the dimension of a side ``offset`` mm outside of it lies on some ground."""
    line = dimension_line(a, b, offset)
    return bool(shapely.intersects(ground, shapely.LineString(line)))


class _Ground(NamedTuple):
    """What dimensions keep off, on paper."""

    hatched: BaseGeometry
    lawns: BaseGeometry
    obstacles: BaseGeometry
    leads: BaseGeometry


def _spots(a: Point, b: Point, text: str, ground: _Ground) -> Iterator[Spot]:
    """Outside of a side; where that is hatched or there is a lawn, also inside of it.

    Never on a lawn outside or on an obstacle, where a dimension reads as if it were of that.
    """
    size = text_size((text,), VALUE_TEXT)
    crossing = [_lies_on(ground.lawns, a, b, offset) for offset in OFFSETS_MM]
    turned = any(crossing) or _lies_on(ground.hatched, a, b, OFFSETS_MM[0])
    for rank, offset in enumerate(OFFSETS_MM):
        for share in (0.5, 0.35, 0.65):
            cost = 1.0 + 0.8 * rank + abs(share - 0.5)
            for signed, is_place in ((offset, not crossing[rank]), (-offset, turned)):
                if is_place and not _lies_on(ground.obstacles, a, b, signed):
                    yield _off(ground.leads, dimension_spot(a, b, signed, share, size, cost))


def _off(leads: BaseGeometry, spot: Spot) -> Spot:
    """The place, dearer where its figure would cut a supply lead in two."""
    cuts = shapely.intersects(leads, shapely.Polygon(spot.box.corners()))
    return spot._replace(cost=spot.cost + ON_LEAD_COST) if cuts else spot


def dimension_spot(
    a: Point, b: Point, offset: float, share: float, size: tuple[float, float], cost: float
) -> Spot:
    """A dimension of the distance from a to b, its line ``offset`` mm to the right of a-b."""
    span = math.hypot(b[0] - a[0], b[1] - a[1])
    ux, uy = (b[0] - a[0]) / span, (b[1] - a[1]) / span
    nx, ny = -uy, ux
    sign = 1.0 if offset > 0 else -1.0
    p, q = dimension_line(a, b, offset)
    at = (p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1]))
    box = _value_box(at, (ux, uy), size)
    extensions = [
        (_moved(end, nx, ny, sign * GAP_MM), _moved(end, nx, ny, offset + sign * OVERSHOOT_MM))
        for end in (a, b)
    ]
    strokes = [segment(*line, FINE_MM + 2 * CLEAR_MM) for line in (*extensions, (p, q))]
    lines = (*extensions, (p, q))
    marks: list[Primitive] = [_stroke(line, HALO) for line in lines]
    marks += [_stroke(line) for line in lines]
    marks += [_arrowhead(p, (-ux, -uy)), _arrowhead(q, (ux, uy))]
    return Spot(cost, box, tuple(strokes), tuple(marks))


def dimension_line(a: Point, b: Point, offset: float) -> tuple[Point, Point]:
    """The line from a to b moved ``offset`` mm to its right."""
    span = math.hypot(b[0] - a[0], b[1] - a[1])
    nx, ny = -(b[1] - a[1]) / span, (b[0] - a[0]) / span
    return _moved(a, nx, ny, offset), _moved(b, nx, ny, offset)


def _value_box(at: Point, way: Point, size: tuple[float, float]) -> Box:
    """The value's box above the line as read from below or, for upright lines, from the right."""
    ux, uy = readable(way)
    lift = size[1] / 2 + FINE_MM / 2 + CLEAR_MM + 0.05
    return Box(at[0] + uy * lift, at[1] - ux * lift, size[0] / 2, size[1] / 2, ux, uy)


def _moved(at: Point, nx: float, ny: float, by: float) -> Point:
    return at[0] + nx * by, at[1] + ny * by


def _stroke(line: tuple[Point, Point], pen: Pen = FINE) -> Line:
    return Line(tuple((round(x, 3), round(y, 3)) for x, y in line), pen, role="dimension")


def _arrowhead(tip: Point, way: Point) -> Line:
    """A solid head of 30 degrees."""
    half = ARROW_MM * math.tan(math.radians(15))
    back = (tip[0] - way[0] * ARROW_MM, tip[1] - way[1] * ARROW_MM)
    points = (
        tip,
        (back[0] - way[1] * half, back[1] + way[0] * half),
        (back[0] + way[1] * half, back[1] - way[0] * half),
    )
    rounded = tuple((round(x, 3), round(y, 3)) for x, y in points)
    return Line(rounded, None, closed=True, fill=BLACK, role="dimension")


def arrowheads(lines: Iterable[tuple[Point, Point]]) -> tuple[Line, ...]:
    """Heads at both ends of each line."""
    heads = []
    for a, b in lines:
        span = math.hypot(b[0] - a[0], b[1] - a[1])
        way = ((b[0] - a[0]) / span, (b[1] - a[1]) / span)
        heads += [_arrowhead(a, (-way[0], -way[1])), _arrowhead(b, way)]
    return tuple(heads)
