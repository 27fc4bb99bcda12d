"""Where leftover wire lies coiled on a fault plate: beside a straight, clear of all other marks."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import shapely

from renderer.geometry.lines import stretch
from renderer.ground.area import obstacle_ground
from renderer.ground.pieces import pieces

if TYPE_CHECKING:
    from renderer.ground.lay import Lay, LoopLay, Point
    from renderer.ground.pieces import Piece
    from renderer.job import Job

# Of a coil beside its wire, in mm on paper.
OFF_MM = 3.6  # from the wire to its middle
MARK_MM = 4.5  # from its middle to that of a mark, and from its foot on the wire
THING_MM = 3.0  # from its middle to an obstacle
SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)  # of a straight, at which a coil is tried


class CoilPlace(NamedTuple):
    """A place on a loop's wire: its running distance, and where that is, metres."""

    loop: LoopLay
    at_m: float
    at: Point


def coil_place(job: Job, mm_m: float) -> CoilPlace | None:
    """On the longest straight of any outer edge that has a clear place; ``None`` where none has.

    ``mm_m`` is what a millimetre of paper is on the ground, metres.
    """
    lay, hand = job.lay, 1.0 if job.plan.machine.lay_direction == "anticlockwise" else -1.0
    wires = shapely.union_all([shapely.linestrings(loop.path) for loop in lay.loops])
    marks = shapely.MultiPoint([*_marks(lay), *(each.at for each in job.setting.references)])
    things = shapely.union_all([obstacle_ground(each) for each in job.plan.obstacles])
    straights = sorted(_straights(job), key=lambda each: -round(each[1].length_m, 3))
    for loop, straight in straights:
        way = (straight.points[-1] - straight.points[0]) / straight.length_m
        inward = OFF_MM * mm_m * hand * np.array((-way[1], way[0]))
        for share in SHARES:
            foot = straight.points[0] + share * straight.length_m * way
            on_wire, middle = shapely.Point(foot), shapely.Point(foot + inward)
            if (
                shapely.distance(middle, wires) >= 0.99 * OFF_MM * mm_m  # no other wire is nearer
                and min(shapely.distance((on_wire, middle), marks)) >= MARK_MM * mm_m
                and (things.is_empty or shapely.distance(middle, things) >= THING_MM * mm_m)
            ):
                at_m = straight.from_m + share * straight.length_m
                return CoilPlace(loop, at_m, (on_wire.x, on_wire.y))
    return None


def _straights(job: Job) -> Iterator[tuple[LoopLay, Piece]]:
    for loop in job.lay.loops:
        for leg in loop.legs:
            if leg.kind == "outer":
                points, run = stretch(loop.path, loop.at_m, leg.from_m, leg.to_m)
                parts = pieces(points, run, job.plan.machine.peg_sag)
                yield from ((loop, each) for each in parts if each.straight)


def _marks(lay: Lay) -> Iterator[Point]:
    """Starts, control pegs and splices."""
    for loop in lay.loops:
        yield loop.start
        yield from ((peg.x, peg.y) for peg in loop.pegs if peg.control)
        yield from ((splice.x, splice.y) for splice in loop.splices)
