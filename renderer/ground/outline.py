"""From the measured outline to sides with points along them; arcs become chains of chords."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from shapely import Polygon

from renderer.ground.lay import Side
from renderer.plan.arcs import flattened

if TYPE_CHECKING:
    from renderer.ground.lay import Points
    from renderer.plan.model import Lawn, Vertex


def side_points(vertex: Vertex, following: Vertex) -> Points:
    """The points along a side from its first corner to its last."""
    if vertex.through is None:
        return np.array([vertex.at, following.at], dtype=float)
    return np.array([*flattened(vertex.at, vertex.through, following.at), following.at])


def lawn_sides(lawn: Lawn) -> tuple[Side, ...]:
    """The sides of a lawn in anticlockwise order, whichever way it was measured."""
    corners = lawn.outline
    sides = [
        Side(
            vertex.side,
            side_points(vertex, corners[(i + 1) % len(corners)]),
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
