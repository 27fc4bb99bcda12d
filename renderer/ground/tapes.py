"""How a place on the wire is found again: by two tapes, else along its side, else by the wire."""

from __future__ import annotations

import math
from dataclasses import field
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from renderer.frozen import dataclass
from renderer.ground.barriers import FACE_M, barriers, reached
from renderer.ground.edges import edges, offset_from_side
from renderer.ground.hops import Base, hopped
from renderer.ground.references import references
from renderer.ground.ties import Tie, ties
from renderer.trade import ON_WIRE_ERROR, TAPE_ERROR_M, TAPE_LAID_M, TAPES_LAID

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shapely.geometry.base import BaseGeometry

    from renderer.ground.edges import Edge, SideOffset
    from renderer.ground.lay import LawnGround, LoopLay, Points
    from renderer.ground.references import Reference
    from renderer.plan.model import Plan

STRAIGHT_M = 0.01  # a side no longer than its chord by more than this is straight
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


class SetPegs(NamedTuple):
    """The control pegs of a loop, which are set out before others: places, names, ways, marks."""

    at: Points
    names: tuple[str, ...]
    ways: tuple[Taped | None, ...]
    marks: tuple[Mark, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Tapes:
    """What a garden is taped from: fixed points, what stops a tape, and the sides.

    How a loop's control pegs are found is worked out once, when it is first asked for.
    """

    references: tuple[Reference, ...]
    blocked: BaseGeometry
    edges: tuple[Edge, ...]
    _pegs: dict[str, tuple[LoopLay, SetPegs]] = field(default_factory=dict, init=False)

    def pegs_of(self, loop: LoopLay) -> SetPegs:
        """How the control pegs of a loop are found, those out of reach by others of them."""
        known = self._pegs.get(loop.name)
        if known is None or known[0] is not loop:
            known = self._pegs[loop.name] = loop, self._set_pegs(loop)
        return known[1]

    def _set_pegs(self, loop: LoopLay) -> SetPegs:
        pegs = [peg for peg in loop.pegs if peg.control]
        at = np.array([(peg.x, peg.y) for peg in pegs]).reshape(-1, 2)
        names = tuple(peg.id for peg in pegs)
        ways = self.hopped(at, names, self.found(at))
        marks = marks_of(ways, [(peg.id, (peg.at_m, peg.also_at_m)) for peg in pegs])
        return SetPegs(at, names, ways, marks)

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

    def hopped(
        self, points: Points, names: Sequence[str], ways: Sequence[Taped | None]
    ) -> tuple[Taped | None, ...]:
        """The ways to some named places, those out of reach by others of them."""
        todo = [k for k, way in enumerate(ways) if way is None or not sound(way)]
        bases = self._bases(points, names, ways)
        new = hopped(np.asarray(points)[todo], [names[k] for k in todo], bases, self.blocked)
        by_index = {todo[k]: tie for k, tie in new.items()}
        return tuple(_better(way, by_index, k) for k, way in enumerate(ways))

    def from_known(
        self,
        points: Points,
        ways: Sequence[Taped | None],
        at: Points,
        names: Sequence[str],
        known: Sequence[Taped | None],
    ) -> tuple[Taped | None, ...]:
        """The ways to ``points``, those out of reach from named places at ``at`` that are found.

        One that is such a place itself is found as that is.
        """
        bases = self._bases(at, names, known)
        same = {_place(row): way for row, way in zip(at, known, strict=True)}

        def found(point: Points, way: Taped | None) -> Taped | None:
            if way is not None and sound(way):
                return way
            if _place(point) in same:
                return same[_place(point)]
            return _better(way, hopped(point[None], [""], bases, self.blocked), 0)

        return tuple(map(found, np.asarray(points), ways))

    def _bases(
        self, points: Points, names: Sequence[str], ways: Sequence[Taped | None]
    ) -> list[Base]:
        """The fixed points, and the named places that are found well."""
        fixed = [Base(each.name, each.at) for each in self.references]
        return fixed + [
            Base(name, (float(x), float(y)), *_error(way))
            for (x, y), name, way in zip(points, names, ways, strict=True)
            if way is not None and sound(way)
        ]

    def checks(self) -> tuple[tuple[Reference, Reference], ...]:
        """Pairs of points that one tape reaches, each point with the nearest of those before it."""
        at = np.array([each.at for each in self.references]).reshape(-1, 2)
        apart = np.hypot(*(at[:, None] - at[None]).T)
        apart[~reached(at, at, self.blocked)] = np.inf
        nearest = [int(np.argmin(apart[k, :k])) for k in range(1, len(at))]
        return tuple(
            (self.references[one], self.references[two])
            for two, one in enumerate(nearest, 1)
            if np.isfinite(apart[one, two])
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
        straight = whole - float(np.hypot(*(points[-1] - points[0]))) <= STRAIGHT_M
        most = TAPE_LAID_M * (TAPES_LAID if straight else 1)
        ways = [
            Along(reference.name, away, side.offset_m)
            for end, away in ((points[0], side.along_m), (points[-1], whole - side.along_m))
            for reference in self.references
            if np.hypot(*(np.array(reference.at) - end)) <= FACE_M and away <= most
        ]
        return min(ways, key=lambda way: way.a_m, default=None)


def sound(way: Taped) -> bool:
    """Whether a place is found well enough to measure on from it."""
    return isinstance(way, Along) or way.quality != "poor"


def _better(way: Taped | None, new: Mapping[int, Tie], index: int) -> Taped | None:
    """The new tie of an index, where there is one, and no tie that is off by less."""
    tie = new.get(index)
    return way if tie is None or (isinstance(way, Tie) and way.error_m <= tie.error_m) else tie


def found_within(ways: Mapping[str, Found | None], name: str) -> float | None:
    """How near a named place is found, metres, by one standard error of every tape.

    Two times in three it lies no further off. ``None`` where it is not found.
    """
    way = ways.get(name)
    if way is None:
        return None
    if not isinstance(way, OnWire):
        return _error(way)[0]
    base = found_within(ways, way.name)
    return None if base is None else math.hypot(base, ON_WIRE_ERROR * way.on_m)


def _place(row: Points) -> tuple[float, float]:
    return float(row[0]), float(row[1])


def _error(way: Taped) -> tuple[float, int]:
    """How far off a place may be, metres, and by how many links it is found."""
    if isinstance(way, Along):
        laid = math.ceil(way.a_m / TAPE_LAID_M)
        return TAPE_ERROR_M * math.sqrt(laid + 1.0), 1
    return way.error_m, 1 + max(way.hops)


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
    """How places of a loop's wire are found.

    Out of reach of the fixed points, by control pegs that are set out before; where those are too
    far as well, on along the wire from the nearest one.
    """
    ways = tapes.found(points)
    if all(way is not None and sound(way) for way in ways):
        return ways
    pegs = tapes.pegs_of(loop)
    known = tapes.from_known(points, ways, pegs.at, pegs.names, pegs.ways)
    return measured_on(known, at_m, pegs.marks)


def marks_of(
    ways: Sequence[Taped | None], places: Sequence[tuple[str, Sequence[float | None]]]
) -> tuple[Mark, ...]:
    """The named places that are found, at each distance at which the wire passes them.

    Those of a poor crossing only where there are no others, since their error goes on.
    """
    found = [(way, place) for way, place in zip(ways, places, strict=True) if way]
    good = [place for way, place in found if sound(way)]
    return tuple(
        Mark(name, at)
        for name, passes in good or [place for _, place in found]
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
