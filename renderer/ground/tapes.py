"""How a place on the wire is found again: by two tapes, else along its side, else by the wire."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from renderer.ground.barriers import FACE_M, barriers, reached
from renderer.ground.edges import edges, offset_from_side
from renderer.ground.references import references
from renderer.ground.ties import Tie, ties
from renderer.trade import TAPE_LAID_M

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

    from renderer.ground.edges import Edge, SideOffset
    from renderer.ground.lay import LawnGround, LoopLay, Points
    from renderer.ground.references import Reference
    from renderer.plan.model import Plan

OWN_SIDE_M = 0.10  # further than this beyond its setback a side says nothing about a place


@dataclass(frozen=True, slots=True)
class Along:
    """A place by its side: how far along it from a point at its end, then square off it; metres."""

    a: str
    a_m: float
    offset_m: float


@dataclass(frozen=True, slots=True)
class Mark:
    """A named place on a wire that is found, and its running distance in metres."""

    name: str
    at_m: float


@dataclass(frozen=True, slots=True)
class OnWire:
    """A place by the wire: ``on_m`` metres along it from a named place, or back where negative."""

    name: str
    on_m: float


Taped = Tie | Along
Found = Taped | OnWire


@dataclass(frozen=True, slots=True, eq=False)
class Tapes:
    """What a garden is taped from: fixed points, what stops a tape, and the sides."""

    references: tuple[Reference, ...]
    blocked: BaseGeometry
    edges: tuple[Edge, ...]

    def found(self, points: Points) -> tuple[Taped | None, ...]:
        """How each of ``points`` (n, 2) is found; by a poor crossing only where all else fails."""
        if len(points) == 0:
            return ()
        taped = ties(points, self.references, self.blocked)
        sides = offset_from_side(points, self.edges)
        return tuple(
            tie if tie and tie.quality != "poor" else self._along(side) or tie
            for tie, side in zip(taped, sides, strict=True)
        )

    def longest(self) -> tuple[Reference, Reference] | None:
        """The two points furthest apart that one tape reaches; ``None`` where none does."""
        at = np.array([each.at for each in self.references]).reshape(-1, 2)
        apart = np.hypot(*(at[:, None] - at[None]).T)
        apart[~reached(at, at, self.blocked)] = 0.0
        if apart.max(initial=0.0) == 0.0:
            return None
        one, two = sorted(np.unravel_index(int(np.argmax(apart)), apart.shape))
        return self.references[one], self.references[two]

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


def measured_on(
    ways: Sequence[Taped | None], at_m: Sequence[float], marks: Sequence[Mark]
) -> tuple[Found | None, ...]:
    """The ways to some places of a wire, those without any measured on from the nearest mark."""
    marks = sorted(marks, key=lambda mark: mark.at_m)

    def on(here: float) -> OnWire | None:
        nearest = min(marks, key=lambda mark: abs(mark.at_m - here), default=None)
        return OnWire(nearest.name, here - nearest.at_m) if nearest else None

    return tuple(way or on(at) for way, at in zip(ways, at_m, strict=True))


def found_by_pegs(
    tapes: Tapes, loop: LoopLay, points: Points, at_m: Sequence[float]
) -> tuple[Found | None, ...]:
    """How places of a loop's wire are found, out of reach on from the nearest control peg."""
    ways = tapes.found(points)
    if all(ways):
        return ways
    pegs = [peg for peg in loop.pegs if peg.control]
    marks = marks_of(
        tapes.found(np.array([(peg.x, peg.y) for peg in pegs]).reshape(-1, 2)),
        [(peg.id, (peg.at_m, peg.also_at_m)) for peg in pegs],
    )
    return measured_on(ways, at_m, marks)


def marks_of(
    ways: Sequence[Taped | None], places: Sequence[tuple[str, Sequence[float | None]]]
) -> tuple[Mark, ...]:
    """The named places that are found, at each distance at which the wire passes them.

    Those of a poor crossing only where there are no others, since their error goes on.
    """
    found = [(way, place) for way, place in zip(ways, places, strict=True) if way]
    sound = [place for way, place in found if isinstance(way, Along) or way.quality != "poor"]
    return tuple(
        Mark(name, at)
        for name, passes in sound or [place for _, place in found]
        for at in passes
        if at is not None
    )


def tapes_of(
    plan: Plan, lawns: Sequence[LawnGround], known: Sequence[Reference] | None = None
) -> Tapes:
    """The points, sides and barriers of a plan, for tapes to the places of its wire.

    ``known`` are its fixed points, where they have been chosen already.
    """
    points = references(plan, lawns) if known is None else tuple(known)
    return Tapes(points, barriers(plan, lawns), edges(plan, lawns))
