"""A walk laid differently: a stretch turned round, points moved; all that lies on it follows."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

import numpy as np
import shapely

from renderer.geometry.lines import distances, points_at
from renderer.ground.lay import Peg, Splice
from renderer.ground.outline import signed_area

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from renderer.ground.lay import Lead, Leg, LoopLay, Points, Ring
    from renderer.ground.stations import Floats

Placed = TypeVar("Placed", Peg, Splice)
SAME_M = 1e-9


def frozen(points: Points) -> Points:
    """Points on the 0.1 mm grid, not to be written to."""
    points = np.round(points, 4)
    points.setflags(write=False)
    return points


def turned(loop: LoopLay, from_m: float, to_m: float) -> LoopLay:
    """The walk with a stretch, which begins and ends at one place, walked the other way round."""

    def new(at: float) -> float:
        return from_m + to_m - at if from_m - SAME_M < at < to_m + SAME_M else at

    inside = np.flatnonzero((loop.at_m > from_m - SAME_M) & (loop.at_m < to_m + SAME_M))
    path, at_m = loop.path.copy(), loop.at_m.copy()
    path[inside] = loop.path[inside[::-1]]
    at_m[inside] = from_m + to_m - loop.at_m[inside[::-1]]
    legs = [leg for leg in loop.legs if from_m - SAME_M < leg.from_m and leg.to_m < to_m + SAME_M]
    parts = {leg.part for leg in legs}
    round_about = [
        replace(leg, from_m=new(leg.to_m), to_m=new(leg.from_m), back=_back(leg)) for leg in legs
    ]
    rest = [leg for leg in loop.legs if leg not in legs]
    rings = tuple(
        replace(ring, points=frozen(ring.points[::-1])) if ring.id in parts else ring
        for ring in loop.rings
    )
    return replace(
        _restationed(loop, frozen(path), at_m, new),
        legs=tuple(sorted([*rest, *round_about], key=lambda leg: leg.from_m)),
        rings=rings,
    )


def _back(leg: Leg) -> bool:
    return not leg.back if leg.kind in ("lead", "crossing") else leg.back


def _restationed(
    loop: LoopLay, path: Points, at_m: Floats, new: Callable[[float], float]
) -> LoopLay:
    """The loop on another path, pegs and splices at their new running distances."""
    at_m.setflags(write=False)
    return replace(
        loop,
        path=path,
        at_m=at_m,
        working_area_m2=abs(signed_area(path)),
        pegs=_placed([_peg(peg, new) for peg in loop.pegs], path, at_m),
        splices=_placed([replace(s, at_m=new(s.at_m)) for s in loop.splices], path, at_m),
    )


def _placed(things: list[Placed], path: Points, at_m: Floats) -> tuple[Placed, ...]:
    """Pegs or splices in their order along a path, each at its place on it."""
    places = points_at(path, at_m, [each.at_m for each in things]).tolist()
    placed = [replace(each, x=x, y=y) for each, (x, y) in zip(things, places, strict=True)]
    return tuple(sorted(placed, key=lambda each: each.at_m))


def _peg(peg: Peg, new: Callable[[float], float]) -> Peg:
    """The peg at its new running distances, not yet at its place."""
    if peg.also_at_m is None:
        return replace(peg, at_m=new(peg.at_m))
    first, last = sorted((new(peg.at_m), new(peg.also_at_m)))
    return replace(peg, at_m=first, also_at_m=last)


def moved(loop: LoopLay, path: Points, rings: Sequence[Ring]) -> LoopLay:
    """The loop with the points of its path moved; legs, pegs and splices keep to their points."""
    path = frozen(path)
    at_m = loop.tail_m + distances(path)
    longer = float(at_m[-1] - loop.at_m[-1])

    def new(at: float) -> float:
        if at > loop.at_m[-1]:
            return at + longer
        return at if at < loop.at_m[0] else float(np.interp(at, loop.at_m, at_m))

    legs = tuple(replace(leg, from_m=new(leg.from_m), to_m=new(leg.to_m)) for leg in loop.legs)
    share = (loop.length_m + longer) / loop.length_m
    # a mistake may make a ring cross itself
    grounds = [(ring.kind, shapely.make_valid(shapely.Polygon(ring.points))) for ring in rings]
    islands = [ground for kind, ground in grounds if kind == "island"]
    outer = [ground for kind, ground in grounds if kind == "outer"]
    open_ground = shapely.union_all(outer).difference(shapely.union_all(islands))
    return replace(
        _restationed(loop, path, at_m, new),
        legs=legs,
        rings=tuple(rings),
        working=shapely.multipolygons(shapely.get_parts(open_ground)),
        length_m=loop.length_m * share,
        order_length_m=loop.order_length_m * share,
        resistance_ohm=loop.resistance_ohm * share,
    )


def redrawn(loop: LoopLay, ring: Ring, place: Callable[[Points], Points]) -> LoopLay:
    """The loop with the points of one ring, and the ends of pairs that meet it, placed anew."""
    on_ring = np.zeros(len(loop.path), dtype=bool)
    for leg in loop.legs:
        if leg.part == ring.id:
            on_ring |= (loop.at_m >= leg.from_m - SAME_M) & (loop.at_m <= leg.to_m + SAME_M)
    rings = tuple(
        replace(each, points=frozen(place(each.points))) if each is ring else each
        for each in loop.rings
    )
    path = np.where(on_ring[:, None], place(loop.path), loop.path)
    leads = tuple(_following(each, ring.id, place) for each in loop.leads)
    return replace(moved(loop, path, rings), leads=leads)


def _following(lead: Lead, ring: str, place: Callable[[Points], Points]) -> Lead:
    """A lead pair whose ends on a ring are placed anew with it."""
    points = lead.points.copy()
    if lead.from_ring == ring:
        points[:1] = place(points[:1])
    if lead.to_ring == ring:
        points[-1:] = place(points[-1:])
    length = float(np.hypot(*np.diff(points, axis=0).T).sum())
    return replace(lead, points=frozen(points), length_m=length)


def bulged(loop: LoopLay, leg: Leg, share: tuple[float, float], aside: Points) -> LoopLay:
    """The loop with a straight leg pushed aside between two shares of its length."""
    places = [leg.from_m + leg.length_m * each for each in share]
    new_points = points_at(loop.path, loop.at_m, places)
    k = int(np.searchsorted(loop.at_m, places[0]))
    wider = replace(
        loop,
        path=np.insert(loop.path, [k, k], new_points, axis=0),
        at_m=np.insert(loop.at_m, [k, k], places),
    )
    pushed = wider.path.copy()
    pushed[k : k + 2] += aside
    return moved(wider, pushed, loop.rings)
