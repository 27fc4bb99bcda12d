"""How far a peg lies from the side it is set out from, and how far along that side."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.frozen import dataclass
from renderer.ground.area import obstacle_ring

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from renderer.ground.lay import LawnGround, Points
    from renderer.ground.stations import Floats
    from renderer.plan.model import Plan

NEAR_M = 0.10  # sides whose setback ends within this of a point are weighed against each other


@dataclass(frozen=True, slots=True, eq=False)
class Edge:
    """What the wire keeps its setback from: a side of a lawn, or the outline of an obstacle."""

    kind: str
    of: str  # the lawn's or the obstacle's name
    setback_m: float
    points: Points
    obstacle: bool = False


@dataclass(frozen=True, slots=True)
class SideOffset:
    """A point from its side: the edge, the distance to it, and where along it that is measured."""

    edge: Edge
    offset_m: float
    along_m: float  # from the first point of the edge


def edges(plan: Plan, lawns: Sequence[LawnGround]) -> tuple[Edge, ...]:
    """All sides of the lawns, and all obstacles that wire goes round."""
    setback = plan.machine.setback
    sides = [
        Edge(side.kind, lawn.name, setback[side.kind], side.points)
        for lawn in lawns
        for side in lawn.sides
    ]
    for obstacle in plan.obstacles:
        if obstacle.kind != "firm":
            ring = obstacle_ring(obstacle)
            closed = np.concatenate((ring, ring[:1]))
            sides.append(Edge(obstacle.kind, obstacle.name, setback[obstacle.kind], closed, True))
    return tuple(sides)


def offset_from_side(points: Points, sides: Sequence[Edge]) -> tuple[SideOffset | None, ...]:
    """For each of ``points`` (n, 2) the edge that sets it: the one whose setback ends nearest.

    Where a point is within reach of no setback, the nearest edge. ``None`` without any edge.
    """
    if not sides or len(points) == 0:
        return (None,) * len(points)
    lines = shapely.linestrings(
        np.concatenate([side.points for side in sides]),
        indices=np.repeat(np.arange(len(sides)), [len(side.points) for side in sides]),
    )
    places = shapely.points(points)
    which = _governing(places, lines, np.array([side.setback_m for side in sides]))
    offsets = shapely.distance(places, lines[which])
    along = shapely.line_locate_point(lines[which], places)
    return tuple(
        SideOffset(sides[k], float(offset), float(at))
        for k, offset, at in zip(which.tolist(), offsets, along, strict=True)
    )


def _governing(
    places: NDArray[np.object_], lines: NDArray[np.object_], setbacks: Floats
) -> NDArray[np.intp]:
    """Index of the line that sets each place."""
    tree = shapely.STRtree(lines)
    nearest = tree.query_nearest(places, all_matches=False)
    which = np.zeros(len(places), dtype=np.intp)
    which[nearest[0]] = nearest[1]
    place, line = tree.query(places, predicate="dwithin", distance=float(setbacks.max()) + NEAR_M)
    spare = np.round(shapely.distance(places[place], lines[line]) - setbacks[line], 4)
    within = spare <= NEAR_M
    place, line, spare = place[within], line[within], spare[within]
    order = np.lexsort((line, spare, place))
    first = np.unique(place[order], return_index=True)
    which[first[0]] = line[order][first[1]]
    return which
