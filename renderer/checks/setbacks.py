"""Setbacks: no wire nearer to a side or an obstacle than the machine's figure for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.checks.case import where_nearest
from renderer.checks.rule import Hit, Rule

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from shapely.geometry.base import BaseGeometry

    from renderer.checks.case import Case, Walked
    from renderer.ground.edges import Edge

TOLERANCE_M = 1e-3  # a wire that is short of its setback by less than this keeps it
# Sides beyond which the machine or a person comes to harm.
HAZARDS = frozenset({"water", "drop", "road"})


def too_near_hazard(case: Case) -> Iterator[Hit]:
    """Wire too near to water, a drop or a road."""
    return _too_near(case, [edge for edge in case.edges if edge.kind in HAZARDS])


def too_near_side(case: Case) -> Iterator[Hit]:
    """Wire too near to any other side or obstacle."""
    soft = [edge for edge in case.edges if edge.kind not in HAZARDS]
    return _too_near(case, soft)


def _too_near(case: Case, sides: list[Edge]) -> Iterator[Hit]:
    """The worst place of each lawn's sides of one kind, and of each obstacle."""
    worst: dict[tuple[str, str], tuple[float, Hit]] = {}
    for edge in sides:
        for each, distance, spot in _shortfalls(case, edge):
            short = edge.setback_m - distance
            if short > worst.get((edge.of, edge.kind), (0.0, None))[0]:
                worst[edge.of, edge.kind] = (short, _hit(case, edge, each, distance, spot))
    return (hit for _, hit in worst.values())


def _shortfalls(case: Case, edge: Edge) -> Iterable[tuple[Walked, float, tuple[float, float]]]:
    shape = _shape(edge)
    legs = [each for each in case.walked if _keeps_off(case, each, edge)]
    if not legs:
        return
    lines = np.array([each.line for each in legs])
    near = np.flatnonzero(shapely.dwithin(lines, shape, edge.setback_m - TOLERANCE_M))
    for k in near.tolist():
        distance, spot = where_nearest(lines[k], shape)
        yield legs[k], distance, spot


def _shape(edge: Edge) -> BaseGeometry:
    return shapely.Polygon(edge.points) if edge.obstacle else shapely.linestrings(edge.points)


def _keeps_off(case: Case, each: Walked, edge: Edge) -> bool:
    """Whether a leg has to keep the setback: not on a crossing, nor from another lawn's sides."""
    if each.leg.kind == "crossing":
        return False
    return edge.obstacle or edge.of in case.lawns_at(each)


def _hit(case: Case, edge: Edge, each: Walked, distance: float, spot: tuple[float, float]) -> Hit:
    is_m, needed = case.show.lengths(distance, edge.setback_m)
    at_m = each.at_m(spot)
    what = edge.of if edge.obstacle else f"the {edge.kind} side of {edge.of}"
    message = f"The wire is {is_m} from {what}; it needs {needed} ({edge.kind})"
    return Hit(message, spot, edge.of, at_m)


RULES = (
    Rule(
        "wire-too-near-hazard",
        "stop",
        too_near_hazard,
        "Beyond water, a drop or a road the machine is lost and people are in danger.",
        "Move the wire out to the setback",
    ),
    Rule(
        "wire-too-near-side",
        "warn",
        too_near_side,
        "The machine turns some way beyond the wire and meets what stands there.",
        "Move the wire out to the setback",
    ),
)
