"""From the measured outline to sides with points along them; arcs become chains of chords."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
from shapely import Polygon

from renderer.ground.lay import Side
from renderer.ground.limits import FLATTEN_M

if TYPE_CHECKING:
    from renderer.ground.lay import Point, Points
    from renderer.plan.model import Lawn, Vertex


def circle_through(a: Point, b: Point, c: Point) -> tuple[float, float, float]:
    """Centre x, y and radius of the circle through three points.

    Raises ``ValueError`` when they lie on one line.
    """
    ax, ay = b[0] - a[0], b[1] - a[1]
    bx, by = c[0] - a[0], c[1] - a[1]
    twice = 2.0 * (ax * by - ay * bx)
    if abs(twice) < 1e-12:
        raise ValueError("the three points of an arc lie on one line")
    sa, sb = ax * ax + ay * ay, bx * bx + by * by
    ux, uy = (by * sa - ay * sb) / twice, (ax * sb - bx * sa) / twice
    return a[0] + ux, a[1] + uy, math.hypot(ux, uy)


def flatten_arc(start: Point, through: Point, end: Point, tolerance_m: float = FLATTEN_M) -> Points:
    """Points along the arc from start through a point to end, both ends exact.

    The chords keep within ``tolerance_m`` of the arc.
    """
    cx, cy, radius = circle_through(start, through, end)
    first = math.atan2(start[1] - cy, start[0] - cx)
    middle = (math.atan2(through[1] - cy, through[0] - cx) - first) % math.tau
    last = (math.atan2(end[1] - cy, end[0] - cx) - first) % math.tau
    sweep = last if middle < last else last - math.tau
    step = 2.0 * math.acos(max(0.0, 1.0 - tolerance_m / radius))
    count = max(2, math.ceil(abs(sweep) / step))
    angles = first + sweep * np.arange(count + 1) / count
    points = np.column_stack((cx + radius * np.cos(angles), cy + radius * np.sin(angles)))
    points[0], points[-1] = start, end
    return points


def _side_points(vertex: Vertex, following: Vertex) -> Points:
    if vertex.through is None:
        return np.array([vertex.at, following.at], dtype=float)
    return flatten_arc(vertex.at, vertex.through, following.at)


def lawn_sides(lawn: Lawn) -> tuple[Side, ...]:
    """The sides of a lawn in anticlockwise order, whichever way it was measured."""
    corners = lawn.outline
    sides = [
        Side(
            vertex.side,
            _side_points(vertex, corners[(i + 1) % len(corners)]),
            vertex.through is not None,
        )
        for i, vertex in enumerate(corners)
    ]
    ring = np.concatenate([side.points[:-1] for side in sides])
    if signed_area(ring) >= 0:
        return tuple(sides)
    return tuple(Side(side.kind, side.points[::-1], side.arc) for side in reversed(sides))


def outline_polygon(sides: tuple[Side, ...]) -> Polygon:
    """The ground inside the sides."""
    return Polygon(np.concatenate([side.points[:-1] for side in sides]))


def signed_area(ring: Points) -> float:
    """Area in m2 by the shoelace formula, positive anticlockwise; closed or open ring."""
    origin = ring[0]
    x, y = ring[:, 0] - origin[0], ring[:, 1] - origin[1]
    return float(0.5 * np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))
