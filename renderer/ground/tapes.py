"""How a place on the wire is found again: by two tapes that reach it, else along its side."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from renderer.ground.barriers import FACE_M, barriers
from renderer.ground.edges import edges, offset_from_side
from renderer.ground.references import references
from renderer.ground.ties import Tie, ties
from renderer.trade import TAPE_LAID_M

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

    from renderer.ground.edges import Edge, SideOffset
    from renderer.ground.lay import LawnGround, Points
    from renderer.ground.references import Reference
    from renderer.plan.model import Plan

OWN_SIDE_M = 0.10  # further than this beyond its setback a side says nothing about a place


@dataclass(frozen=True, slots=True)
class Along:
    """A place by its side: how far along it from a point at its end, then square off it; metres."""

    a: str
    a_m: float
    offset_m: float


Found = Tie | Along


@dataclass(frozen=True, slots=True, eq=False)
class Tapes:
    """What a garden is taped from: fixed points, what stops a tape, and the sides."""

    references: tuple[Reference, ...]
    blocked: BaseGeometry
    edges: tuple[Edge, ...]

    def found(self, points: Points) -> tuple[Found | None, ...]:
        """How each of ``points`` (n, 2) is found; by a poor crossing only where all else fails."""
        if len(points) == 0:
            return ()
        taped = ties(points, self.references, self.blocked)
        sides = offset_from_side(points, self.edges)
        return tuple(
            tie if tie and tie.quality != "poor" else self._along(side) or tie
            for tie, side in zip(taped, sides, strict=True)
        )

    def _along(self, side: SideOffset | None) -> Along | None:
        """The way along the side of a lawn from the nearer of its ends that has a letter."""
        if side is None or side.edge.obstacle:
            return None
        if side.offset_m > side.edge.setback_m + OWN_SIDE_M:
            return None
        points = side.edge.points
        whole = float(np.hypot(*np.diff(points, axis=0).T).sum())
        ways = [
            Along(reference.name, away, side.offset_m)
            for end, away in ((points[0], side.along_m), (points[-1], whole - side.along_m))
            for reference in self.references
            if np.hypot(*(np.array(reference.at) - end)) <= FACE_M and away <= TAPE_LAID_M
        ]
        return min(ways, key=lambda way: way.a_m, default=None)


def tapes_of(plan: Plan, lawns: Sequence[LawnGround]) -> Tapes:
    """The points, sides and barriers of a plan, for tapes to the places of its wire."""
    return Tapes(references(plan, lawns), barriers(plan, lawns), edges(plan, lawns))
