"""The allowed ground of a lawn: where wire may lie and grass may be mown (rule 1 of the wire)."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.ground import limits
from renderer.ground.offset import disc, disc_ring, joined, less, sweep_ring
from renderer.ground.outline import signed_area
from renderer.plan.arcs import arc_through

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import Points, Side
    from renderer.plan.model import Machine, Obstacle


def obstacle_ring(obstacle: Obstacle) -> Points:
    """The obstacle's own outline, anticlockwise, first point not repeated."""
    if obstacle.circle is not None:
        return disc_ring(obstacle.circle.at, obstacle.circle.radius)
    ring = np.array(obstacle.polygon, dtype=float)
    return ring if signed_area(ring) >= 0 else ring[::-1]


def obstacle_ground(obstacle: Obstacle) -> shapely.Polygon:
    """The ground that an obstacle covers."""
    return shapely.Polygon(obstacle_ring(obstacle))


def _around_obstacle(obstacle: Obstacle, machine: Machine, extra_m: float) -> list[BaseGeometry]:
    """Pieces that cover an obstacle and all within its setback (and ``extra_m``)."""
    setback = machine.setback[obstacle.kind] + extra_m
    bend = machine.corner_radius + extra_m
    if obstacle.circle is not None:
        return [disc(obstacle.circle.at, max(obstacle.circle.radius + setback, bend))]
    ring = obstacle_ring(obstacle)[
        ::-1
    ]  # clockwise, so that its corners turn right as the lawn's re-entrant ones do
    corner = math.radians(limits.CORNER_DEG)
    pieces = sweep_ring(ring, np.full(len(ring), setback), bend, corner, extra_m)
    return [shapely.Polygon(ring), *pieces]


def _along_sides(sides: Sequence[Side], machine: Machine, extra_m: float) -> list[BaseGeometry]:
    """Pieces that cover all within the setback (and ``extra_m``) of each side."""
    points = np.concatenate([side.points[:-1] for side in sides])
    radii = np.concatenate(
        [np.full(len(side.points) - 1, _clearance(side, machine) + extra_m) for side in sides]
    )
    corner = math.radians(limits.CORNER_DEG)
    return sweep_ring(points, radii, machine.corner_radius + extra_m, corner, extra_m)


def _clearance(side: Side, machine: Machine) -> float:
    """The setback of a side; along an arc that bulges into the lawn, what bends the wire enough."""
    setback = machine.setback[side.kind]
    if not side.arc:
        return setback
    first, middle, last = (tuple(side.points[k]) for k in (0, len(side.points) // 2, -1))
    bulge = arc_through(first, middle, last)
    if bulge is None or bulge.turn > -math.radians(limits.CORNER_DEG):
        return setback
    return max(setback, machine.corner_radius - bulge.radius)


def near_obstacles(
    lawn: shapely.Polygon, obstacles: Sequence[Obstacle], machine: Machine, extra_m: float = 0.0
) -> list[Obstacle]:
    """The obstacles other than firm ones whose setback can reach into a lawn."""
    soft = [obstacle for obstacle in obstacles if obstacle.kind != "firm"]
    if not soft:
        return []
    reach = [max(machine.setback[o.kind], machine.corner_radius) + extra_m for o in soft]
    boxes = shapely.bounds([obstacle_ground(o) for o in soft])
    grown = shapely.box(
        boxes[:, 0] - reach, boxes[:, 1] - reach, boxes[:, 2] + reach, boxes[:, 3] + reach
    )
    return [o for o, hit in zip(soft, shapely.intersects(grown, lawn), strict=True) if hit]


def allowed_ground(
    lawn: shapely.Polygon,
    sides: Sequence[Side],
    obstacles: Sequence[Obstacle],
    machine: Machine,
    extra_m: float = 0.0,
) -> shapely.MultiPolygon:
    """The points of a lawn at least the setback from each side and obstacle.

    With ``extra_m`` each setback is that much larger, which is the allowed ground eroded by it.
    Firm obstacles have no setback. All lengths in metres.
    """
    pieces = _along_sides(sides, machine, extra_m)
    for obstacle in near_obstacles(lawn, obstacles, machine, extra_m):
        pieces.extend(_around_obstacle(obstacle, machine, extra_m))
    return less(lawn, joined(pieces))
