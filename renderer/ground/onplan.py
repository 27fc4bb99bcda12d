"""What was worked out in the garden's own frame, put on the plan."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from renderer.frozen import dataclass
from renderer.geometry.lines import distances, points_at
from renderer.ground import route
from renderer.ground.outline import lawn_sides, outline_polygon
from renderer.ground.shift import placed_value

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import ArrayLike

    from renderer.ground.frame import Frame
    from renderer.ground.lay import Cut, LawnGround, Lead, Leg, Peg, Points, Ring
    from renderer.ground.loops import LoopWalk
    from renderer.ground.stations import Floats
    from renderer.ground.walk import Walk
    from renderer.plan.model import Lawn

SPIKE_M = 3e-4  # a step this short there and back is none


@dataclass(frozen=True, slots=True, eq=False)
class Carried:
    """How running distances in the own frame follow on the plan, whose grid falls otherwise."""

    own_m: Floats
    plan_m: Floats

    def to_plan(self, at: ArrayLike) -> Floats:
        """Running distances of the own frame on the plan, shape (k,)."""
        return _carried(at, self.own_m, self.plan_m)

    def to_own(self, at: ArrayLike) -> Floats:
        """Running distances on the plan in the own frame, shape (k,)."""
        return _carried(at, self.plan_m, self.own_m)


@dataclass(frozen=True, slots=True, eq=False)
class OwnWalk:
    """A walk in the garden's own frame, and how its running distances follow on the plan."""

    walk: Walk
    carried: Carried


def _carried(at: ArrayLike, here: Floats, there: Floats) -> Floats:
    """Between the vertices in proportion; in the tails as far from the path's ends."""
    given = np.asarray(at, dtype=float)
    beyond = np.maximum(given - here[-1], 0.0) + np.minimum(given - here[0], 0.0)
    carried: Floats = np.interp(given, here, there) + beyond
    return carried


def lawn_on_plan(own: LawnGround, lawn: Lawn, frame: Frame) -> LawnGround:
    """The ground of a lawn on the plan, its sides as measured."""
    sides = lawn_sides(lawn)
    return replace(
        placed_value(replace(own, sides=()), frame.back),
        sides=sides,
        outline=outline_polygon(sides),
    )


def cuts_on_plan(cuts: Sequence[Cut], frame: Frame) -> tuple[Cut, ...]:
    """The cuts on the plan."""
    return tuple(placed_value(cut, frame.back) for cut in cuts)


def walk_on_plan(own: LoopWalk, frame: Frame) -> tuple[LoopWalk, Carried]:
    """A loop's walk on the plan, on its grid of 0.1 mm and measured there."""
    walk, carried = _walk_on_plan(own.walk, frame)
    return replace(placed_value(own, frame.back), walk=walk), carried


def _walk_on_plan(own: Walk, frame: Frame) -> tuple[Walk, Carried]:
    path = _on_grid(own.path, frame)
    at_m = float(own.at_m[0]) + distances(path)
    carried = Carried(own.at_m, at_m)
    kept = _not_repeated(path)
    walk = replace(
        own,
        path=_frozen(path[kept]),
        at_m=_frozen(at_m[kept]),
        legs=_legs(own.legs, carried),
        rings=tuple(_ring(ring, frame) for ring in own.rings),
        leads=tuple(_lead(lead, frame) for lead in own.leads),
    )
    return walk, carried


def _on_grid(points: Points, frame: Frame) -> Points:
    """A line on the plan's grid, without the steps there and back that rounding can make."""
    on_plan: Points = np.round(frame.back(points), 4) + 0.0
    back = np.all(on_plan[2:] == on_plan[:-2], axis=1)
    spikes = 1 + np.flatnonzero(back & (np.hypot(*np.diff(on_plan[:-1], axis=0).T) < SPIKE_M))
    on_plan[spikes] = on_plan[spikes - 1]
    return on_plan


def _not_repeated(points: Points) -> Points:
    return np.concatenate([[True], np.any(np.diff(points, axis=0) != 0, axis=1)])


def _frozen(values: Points) -> Points:
    values.setflags(write=False)
    return values


def _legs(legs: Sequence[Leg], carried: Carried) -> tuple[Leg, ...]:
    stops = carried.to_plan([legs[0].from_m, *(leg.to_m for leg in legs)]).tolist()
    return tuple(
        replace(leg, from_m=from_m, to_m=to_m)
        for leg, (from_m, to_m) in zip(legs, pairwise(stops), strict=True)
    )


def _ring(ring: Ring, frame: Frame) -> Ring:
    points = _on_grid(ring.points, frame)
    return replace(ring, points=_frozen(points[_not_repeated(points)]))


def _lead(lead: Lead, frame: Frame) -> Lead:
    points = _on_grid(lead.points, frame)
    return replace(lead, points=_frozen(points), length_m=route.length(points))


def pegs_on_plan(
    pegs: Sequence[Peg], carried: Carried, path: Points, at_m: Floats
) -> tuple[Peg, ...]:
    """Pegs set in the own frame at their places along the plan's path."""
    if not pegs:
        return ()
    at = carried.to_plan([peg.at_m for peg in pegs])
    also = carried.to_plan([peg.at_m if peg.also_at_m is None else peg.also_at_m for peg in pegs])
    rows = zip(pegs, at.tolist(), also.tolist(), points_at(path, at_m, at).tolist(), strict=True)
    return tuple(
        replace(peg, at_m=first, x=x, y=y, also_at_m=None if peg.also_at_m is None else second)
        for peg, first, second, (x, y) in rows
    )
