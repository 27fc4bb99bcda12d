"""Setbacks: no wire nearer to a side or an obstacle than the machine's figure for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.checks.case import where_nearest
from renderer.checks.rule import Hit, Rule

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from shapely.geometry.base import BaseGeometry

    from renderer.checks.case import Case, Walked
    from renderer.ground.edges import Edge

TOLERANCE_M = 1e-3  # a wire that is short of its setback by less than this keeps it
# Sides beyond which the machine or a person comes to harm.
HAZARDS = frozenset({"water", "drop", "road"})
HAZARD, SIDE = "wire-too-near-hazard", "wire-too-near-side"


def too_near_hazard(case: Case) -> Iterator[Hit]:
    """Wire too near to water, a drop or a road."""
    return _too_near(case, HAZARD, [edge for edge in case.edges if edge.kind in HAZARDS])


def too_near_side(case: Case) -> Iterator[Hit]:
    """Wire too near to any other side or obstacle."""
    return _too_near(case, SIDE, [edge for edge in case.edges if edge.kind not in HAZARDS])


def _too_near(case: Case, rule: str, sides: Sequence[Edge]) -> Iterator[Hit]:
    """The worst place of each lawn's sides of one kind, and of each obstacle."""
    if not sides or not case.walked:
        return
    pieces, legs = case.pieces
    shapes = np.array([_shape(side) for side in sides])
    least = np.array([max(0.0, side.setback_m - TOLERANCE_M) for side in sides])
    side, piece = pieces.query(shapes, predicate="dwithin", distance=least)
    lines = pieces.geometries[piece]
    short = least[side] - shapely.distance(lines, shapes[side])
    told: set[tuple[str, str]] = set()
    for k in np.argsort(-short, kind="stable").tolist():
        edge, each = sides[int(side[k])], case.walked[int(legs[piece[k]])]
        if short[k] > 0 and (edge.of, edge.kind) not in told and _keeps_off(case, each, edge):
            told.add((edge.of, edge.kind))
            yield _hit(case, rule, edge, each, *where_nearest(lines[k], shapes[side[k]]))


def _shape(edge: Edge) -> BaseGeometry:
    return shapely.Polygon(edge.points) if edge.obstacle else shapely.linestrings(edge.points)


def _keeps_off(case: Case, each: Walked, edge: Edge) -> bool:
    """Whether a leg has to keep the setback: not on a crossing, nor from another lawn's sides."""
    if each.leg.kind == "crossing":
        return False
    return edge.obstacle or edge.of in case.lawns_at(each)


def _hit(
    case: Case, rule: str, edge: Edge, each: Walked, distance: float, spot: tuple[float, float]
) -> Hit:
    is_m, needed = case.show.lengths(distance, edge.setback_m)
    key = f"{rule}.{'obstacle' if edge.obstacle else 'side'}"
    kind = case.words(f"kind.{edge.kind}")
    message = case.words(key, distance=is_m, of=edge.of, needed=needed, kind=kind)
    return Hit(message, spot, edge.of, each.at_m(spot))


RULES = (
    Rule(
        HAZARD,
        "stop",
        too_near_hazard,
        "Beyond water, a drop or a road the machine is lost and people are in danger.",
    ),
    Rule(
        SIDE,
        "warn",
        too_near_side,
        "The machine turns some way beyond the wire and meets what stands there.",
    ),
)
