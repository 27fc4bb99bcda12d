"""Wire that follows its pegs: where some of them stand elsewhere, it runs straight to them.

Wire lies from peg to peg. Where a peg was moved, the stretches to the pegs before and after it are
straight; all other wire lies as it was laid.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.geometry.lines import distances, points_at, stretch, without_repeats
from renderer.ground.area import obstacle_ground
from renderer.ground.electric import ohm_per_m
from renderer.ground.offset import multipolygon, polygons_of
from renderer.ground.outline import signed_area
from renderer.ground.rewalk import frozen
from renderer.ground.slope import slope_extra
from renderer.ground.stations import SAME_M

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import LawnGround, Lay, Lead, Leg, LoopLay, Peg, Point, Points, Ring
    from renderer.ground.stations import Floats
    from renderer.plan.model import Plan


@dataclass(frozen=True, slots=True, eq=False)
class Pinned:
    """A loop whose wire follows its pegs, and how running distances follow from those before."""

    loop: LoopLay
    before_m: Floats
    after_m: Floats

    def to_after(self, at_m: float) -> float:
        """A running distance of the wire before, on the wire as it lies."""
        return _carried(at_m, self.before_m, self.after_m)

    def to_before(self, at_m: float) -> float:
        """A running distance of the wire as it lies, on the wire before."""
        return _carried(at_m, self.after_m, self.before_m)


def _carried(at_m: float, here: Floats, there: Floats) -> float:
    if at_m >= here[-1]:
        return float(there[-1] + (at_m - here[-1]))
    if at_m <= here[0]:
        return float(there[0] + (at_m - here[0]))
    return float(np.interp(at_m, here, there))


def pinned(plan: Plan, loop: LoopLay, moves: Mapping[str, Point]) -> Pinned:
    """The loop with pegs moved to other places, by their numbers; all that lies on it follows."""
    if not any(peg.id in moves for peg in loop.pegs):
        return Pinned(loop, loop.at_m, loop.at_m)
    path, before_m = _path(loop, moves)
    after_m = loop.tail_m + distances(path)
    walk = Pinned(loop, before_m, after_m)
    legs = tuple(
        replace(leg, from_m=walk.to_after(leg.from_m), to_m=walk.to_after(leg.to_m))
        for leg in loop.legs
    )
    rings = tuple(_ring(ring, legs, path, after_m) for ring in loop.rings)
    length = legs[-1].to_m
    after_m.setflags(write=False)
    done = replace(
        loop,
        path=path,
        at_m=after_m,
        length_m=length,
        order_length_m=length * (1.0 + plan.wire.slack_percent / 100.0),
        slope_extra_m=slope_extra(path, plan.features),
        resistance_ohm=length * ohm_per_m(plan.wire),
        working=multipolygon(polygons_of(_ground(rings))),
        working_area_m2=abs(signed_area(path)),
        rings=rings,
        leads=tuple(_lead(lead, legs, path, after_m) for lead in loop.leads),
        legs=legs,
        pegs=tuple(_peg(peg, walk, path) for peg in loop.pegs),
    )
    places = points_at(path, after_m, [walk.to_after(each.at_m) for each in loop.splices])
    splices = tuple(
        replace(each, at_m=walk.to_after(each.at_m), x=x, y=y)
        for each, (x, y) in zip(loop.splices, np.round(places, 4).tolist(), strict=True)
    )
    return replace(walk, loop=replace(done, splices=splices))


def _path(loop: LoopLay, moves: Mapping[str, Point]) -> tuple[Points, Floats]:
    """The path through the pegs, and the running distance before of each of its points."""
    held = _held(loop)
    order = [at for at, _ in held]
    moved = [peg in moves for _, peg in held]
    places = points_at(loop.path, loop.at_m, order)
    for index, (_, peg) in enumerate(held):
        if moved[index]:
            places[index] = moves[peg]
    points, before = [places[:1]], [np.array(order[:1])]
    for index, (start, end) in enumerate(pairwise(order)):
        if not (moved[index] or moved[index + 1]):
            inner = (loop.at_m > start + SAME_M) & (loop.at_m < end - SAME_M)
            points.append(loop.path[inner])
            before.append(loop.at_m[inner])
        points.append(places[index + 1 : index + 2])
        before.append(np.array([end]))
    return frozen(np.concatenate(points)), np.concatenate(before)


def _held(loop: LoopLay) -> list[tuple[float, str]]:
    """Running distances at which the wire is held, in order, each with its peg, if it is one.

    The ends of legs are among them, so that no leg is cut short.
    """
    ends = [(leg.to_m, "") for leg in loop.legs[:-1]]
    pegs = [(at, peg.id) for peg in loop.pegs for at in (peg.at_m, peg.also_at_m) if at is not None]
    held: list[tuple[float, str]] = []
    for at, peg in sorted((*ends, *pegs)):
        if held and at - held[-1][0] <= SAME_M:
            held[-1] = (held[-1][0], held[-1][1] or peg)
        else:
            held.append((at, peg))
    return held


def _peg(peg: Peg, walk: Pinned, path: Points) -> Peg:
    at = walk.to_after(peg.at_m)
    x, y = points_at(path, walk.after_m, at)[0].tolist()
    also = None if peg.also_at_m is None else walk.to_after(peg.also_at_m)
    return replace(peg, at_m=at, x=x, y=y, also_at_m=also)


def _ring(ring: Ring, legs: Sequence[Leg], path: Points, at_m: Floats) -> Ring:
    """The ring by the stretches of the walk that run on it."""
    parts = [
        stretch(path, at_m, leg.from_m, leg.to_m)[0]
        for leg in legs
        if leg.part == ring.id and leg.length_m > SAME_M
    ]
    points = np.concatenate([*parts, parts[0][:1]])
    return replace(ring, points=frozen(without_repeats(points, 1e-5)))


def _lead(lead: Lead, legs: Sequence[Leg], path: Points, at_m: Floats) -> Lead:
    out = next((leg for leg in legs if leg.part == lead.id and not leg.back), None)
    if out is None:
        return lead
    points = frozen(stretch(path, at_m, out.from_m, out.to_m)[0])
    return replace(lead, points=points, length_m=out.length_m)


def _ground(rings: Sequence[Ring]) -> BaseGeometry:
    """The ground inside the outer rings and outside the islands'; a slip may make a ring cross."""
    shapes = [(ring.kind, shapely.make_valid(shapely.Polygon(ring.points))) for ring in rings]
    outer = shapely.union_all([shape for kind, shape in shapes if kind == "outer"])
    return outer.difference(shapely.union_all([shape for kind, shape in shapes if kind != "outer"]))


def grounds(plan: Plan, lay: Lay, loops: Sequence[LoopLay]) -> tuple[LawnGround, ...]:
    """The lawns with the ground inside the wire as it lies."""
    bare = shapely.union_all([obstacle_ground(each) for each in plan.obstacles])
    walked = {loop.name: loop for loop in loops}
    same = {loop.name: loop for loop in lay.loops}

    def lawn(ground: LawnGround) -> LawnGround:
        loop = walked.get(ground.loop)
        if loop is None or loop is same[ground.loop]:
            return ground
        working = _ground([ring for ring in loop.rings if ring.lawn == ground.name])
        left = ground.outline.difference(working).difference(bare)
        return replace(
            ground,
            working=multipolygon(polygons_of(working)),
            trim=multipolygon(polygons_of(left)),
        )

    return tuple(map(lawn, lay.lawns))
