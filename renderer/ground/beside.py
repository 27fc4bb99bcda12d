"""A place beside the wire where something can lie: at a straight, clear of all other marks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import shapely

from renderer.geometry.lines import stretch
from renderer.ground.area import obstacle_ground
from renderer.ground.pieces import pieces

if TYPE_CHECKING:
    from renderer.ground.lay import Lay, LoopLay, Point
    from renderer.ground.pieces import Piece
    from renderer.plan.model import Plan

SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)  # of a straight, at which places are tried


class WirePlace(NamedTuple):
    """A place on a loop's wire: its running distance, and where that is, metres."""

    loop: LoopLay
    at_m: float
    at: Point


class Clear(NamedTuple):
    """How far a thing's middle is from its wire, and at least from marks and obstacles, metres."""

    off_m: float
    mark_m: float
    thing_m: float


def clear_beside(plan: Plan, lay: Lay, fixed: Sequence[Point], room: Clear) -> WirePlace | None:
    """On the longest straight of any outer edge that has a clear place on its mown side.

    Marks are starts, control pegs, splices and the ``fixed`` points. ``None`` where there is none.
    """
    hand = 1.0 if plan.machine.lay_direction == "anticlockwise" else -1.0
    wires = shapely.union_all([shapely.linestrings(loop.path) for loop in lay.loops])
    marks = shapely.MultiPoint([*_marks(lay), *fixed])
    things = shapely.union_all([obstacle_ground(each) for each in plan.obstacles])
    straights = sorted(_straights(plan, lay), key=lambda each: -round(each[1].length_m, 3))
    for loop, straight in straights:
        way = (straight.points[-1] - straight.points[0]) / straight.length_m
        inward = room.off_m * hand * np.array((-way[1], way[0]))
        for share in SHARES:
            foot = straight.points[0] + share * straight.length_m * way
            on_wire, middle = shapely.Point(foot), shapely.Point(foot + inward)
            if (
                shapely.distance(middle, wires) >= 0.99 * room.off_m  # no other wire is nearer
                and min(shapely.distance((on_wire, middle), marks)) >= room.mark_m
                and (things.is_empty or shapely.distance(middle, things) >= room.thing_m)
            ):
                at_m = straight.from_m + share * straight.length_m
                return WirePlace(loop, at_m, (on_wire.x, on_wire.y))
    return None


def _straights(plan: Plan, lay: Lay) -> Iterator[tuple[LoopLay, Piece]]:
    for loop in lay.loops:
        for leg in loop.legs:
            if leg.kind == "outer":
                points, run = stretch(loop.path, loop.at_m, leg.from_m, leg.to_m)
                parts = pieces(points, run, plan.machine.peg_sag)
                yield from ((loop, each) for each in parts if each.straight)


def _marks(lay: Lay) -> Iterator[Point]:
    for loop in lay.loops:
        yield loop.start
        yield from ((peg.x, peg.y) for peg in loop.pegs if peg.control)
        yield from ((splice.x, splice.y) for splice in loop.splices)
