"""What stays of wire that lies when islands come or go: its pegs and their numbers."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.geometry.lines import points_at, stretch
from renderer.ground.stations import SAME_M

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from renderer.ground.lay import Lay, Leg, LoopLay, Peg, PegReason
    from renderer.ground.stations import Floats

ON_WIRE_M = 2e-3  # a place no further off than this lies on the wire
ONE_PLACE_M = 0.01  # pegs of two states no further apart than this are one peg
STEP_M = 0.05  # between places at which wire is compared; the ends are then found exactly
FIRM: tuple[PegReason, ...] = ("corner", "lead", "dock")


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of wire by its running distances, metres."""

    from_m: float
    to_m: float

    @property
    def length_m(self) -> float:
        """How long it is."""
        return self.to_m - self.from_m


def off_wire(loop: LoopLay, other: LoopLay | None) -> tuple[Stretch, ...]:
    """The stretches of a loop's wire that do not lie where the other's wire does."""
    start, end = float(loop.at_m[0]), float(loop.at_m[-1])
    if other is None:
        return (Stretch(start, end),)
    count = max(2, int(np.ceil((end - start) / STEP_M)) + 1)
    at_m = np.unique(np.concatenate((np.linspace(start, end, count), loop.at_m)))
    line = shapely.linestrings(other.path)
    shapely.prepare(line)

    def off(places: Floats) -> Floats:
        points = shapely.points(points_at(loop.path, loop.at_m, places))
        far: Floats = shapely.distance(points, line)
        return far

    apart = off(at_m) > ON_WIRE_M
    edges = np.flatnonzero(np.diff(np.concatenate(([0], apart.astype(np.int8), [0]))))
    return tuple(
        Stretch(
            _end(off, at_m[first - 1], at_m[first]) if first else start,
            _end(off, at_m[last], at_m[last - 1]) if last < len(at_m) else end,
        )
        for first, last in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True)
    )


def _end(off: object, on_m: float, off_m: float) -> float:
    """Where wire leaves other wire, between a place that lies on it and one that does not."""
    assert callable(off)
    for _ in range(12):
        middle = (on_m + off_m) / 2.0
        if off(np.array([middle]))[0] > ON_WIRE_M:
            off_m = middle
        else:
            on_m = middle
    return float(on_m)


def with_pegs_of(before: Lay, after: Lay) -> Lay:
    """The wire ``after`` with the pegs that stand: those on wire that stays keep their numbers.

    Where it is laid anew, and where pairs join it, there are new ones, numbered on.
    """
    known = {loop.name: loop for loop in before.loops}
    numbers = [int(peg.id) for loop in before.loops for peg in loop.pegs if peg.id.isdecimal()]
    next_number = max(numbers, default=0) + 1
    loops = []
    for loop in after.loops:
        pegs = _pegs(known.get(loop.name), loop)
        named = []
        for peg in pegs:
            if not peg.id:
                peg = replace(peg, id=str(next_number))
                next_number += 1
            named.append(peg)
        loops.append(replace(loop, pegs=tuple(named)))
    return replace(after, loops=tuple(loops))


def _pegs(before: LoopLay | None, after: LoopLay) -> list[Peg]:
    """The pegs in order along the wire; those that are new have no number yet."""
    if before is None:
        return [replace(peg, id="") for peg in after.pegs]
    paired = _paired(before.pegs, after.pegs)
    fresh = _on_new_wire(before, after)
    kept = [
        replace(peg, id=before.pegs[paired[index]].id if index in paired else "")
        for index, peg in enumerate(after.pegs)
        if index in paired or peg.reason in FIRM or fresh[index]
    ]
    taken = set(paired.values())
    for index, peg in enumerate(before.pegs):
        if index not in taken:
            kept += _still_standing(peg, after)
    return sorted(kept, key=lambda peg: peg.at_m)


def _paired(old: Sequence[Peg], new: Sequence[Peg]) -> dict[int, int]:
    """New pegs by index, each with the old one that stands in the same place."""
    if not old or not new:
        return {}
    tree = shapely.STRtree(shapely.points([(peg.x, peg.y) for peg in old]))
    points = shapely.points([(peg.x, peg.y) for peg in new])
    mine, its = tree.query(points, predicate="dwithin", distance=ONE_PLACE_M)
    far = shapely.distance(points[mine], tree.geometries[its])
    paired: dict[int, int] = {}
    taken: set[int] = set()
    for index in np.argsort(far, kind="stable").tolist():
        one, two = int(mine[index]), int(its[index])
        if one not in paired and two not in taken:
            paired[one] = two
            taken.add(two)
    return paired


def _on_new_wire(before: LoopLay, after: LoopLay) -> list[bool]:
    line = shapely.linestrings(before.path)
    points = shapely.points([(peg.x, peg.y) for peg in after.pegs])
    return [bool(far > ON_WIRE_M) for far in shapely.distance(points, line)]


def _still_standing(peg: Peg, loop: LoopLay) -> Iterator[Peg]:
    """A peg where wire still runs past it, at its new running distances."""
    passes = [at for _, at in passing(loop, (peg.x, peg.y))]
    if passes:
        reason: PegReason = "spacing" if peg.reason in ("lead", "dock") else peg.reason
        also = passes[-1] if len(passes) > 1 else None
        yield replace(peg, at_m=passes[0], also_at_m=also, reason=reason)


def passing(
    loop: LoopLay, place: tuple[float, float], within_m: float = ON_WIRE_M
) -> list[tuple[Leg, float]]:
    """The legs that run past a place, each with the running distance there, one for each pass."""
    point = shapely.Point(place)
    found: list[tuple[Leg, float]] = []
    for leg in loop.legs:
        if leg.kind == "tail" or leg.length_m <= SAME_M:
            continue
        line = shapely.linestrings(stretch(loop.path, loop.at_m, leg.from_m, leg.to_m)[0])
        if shapely.distance(line, point) <= within_m:
            at = leg.from_m + float(shapely.line_locate_point(line, point))
            if not found or at - found[-1][1] > ONE_PLACE_M:
                found.append((leg, at))
    return found
