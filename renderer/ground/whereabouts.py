"""What of a plan and its lay lies where: bounds in arrays, so that a small window looks at little.

A row of bounds is least x and y, greatest x and y, in metres.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from renderer.frozen import dataclass
from renderer.geometry.lines import chain

if TYPE_CHECKING:
    from renderer.geometry.lines import Chain, Floats
    from renderer.geometry.rects import Rect
    from renderer.ground.lay import Lay, Leg, LoopLay
    from renderer.plan.model import Obstacle, Plan

STEPS = 32  # of the wire that are looked at together


@dataclass(frozen=True, eq=False)
class LoopPlaces:
    """One loop: its lead pairs and legs by their bounds, its pegs by their places."""

    loop: LoopLay

    @cached_property
    def leads(self) -> Chain:
        """The bounds of each lead pair and crossing, shape (n, 4)."""
        return _rows(_bounds(lead.points) for lead in self.loop.leads)

    @cached_property
    def rings(self) -> Chain:
        """The bounds of each ring, shape (n, 4)."""
        return _rows(_bounds(ring.points) for ring in self.loop.rings)

    @cached_property
    def legs(self) -> Chain:
        """The bounds of each leg, shape (n, 4); those of a tail are of the point at its end."""
        return _rows(_bounds(self._points(leg)) for leg in self.loop.legs)

    @cached_property
    def pegs(self) -> Chain:
        """The place of each peg, shape (n, 2)."""
        return chain((peg.x, peg.y) for peg in self.loop.pegs)

    @cached_property
    def pegs_at_m(self) -> Floats:
        """The running distance of each peg, on the way out, shape (n,)."""
        return np.array([peg.at_m for peg in self.loop.pegs], dtype=np.float64)

    @cached_property
    def passed_at_m(self) -> Floats:
        """The running distances at which the wire passes a peg, in order, none twice."""
        both = {at for peg in self.loop.pegs for at in (peg.at_m, peg.also_at_m)}
        return np.array(sorted(at for at in both if at is not None), dtype=np.float64)

    @cached_property
    def _steps(self) -> Chain:
        """The bounds of each ``STEPS`` steps of the wire, shape (n, 4)."""
        path = self.loop.path
        starts = range(0, max(1, len(path) - 1), STEPS)
        return _rows(_bounds(path[start : start + STEPS + 1]) for start in starts)

    def near(self, window: Rect) -> list[Chain]:
        """The wire as far as it comes near a window, in pieces, in order; a little more of each."""
        path, found = self.loop.path, meeting(self._steps, window)
        ends = [i for i in range(len(found)) if i == 0 or found[i] != found[i - 1] + 1]
        runs = [found[a:b] for a, b in itertools.pairwise((*ends, len(found)))]
        return [path[run[0] * STEPS : (run[-1] + 1) * STEPS + 1] for run in runs]

    def stretch(self, at_m: Floats, more_m: float) -> tuple[int, int]:
        """The first and the last point of the wire on the stretch that holds running distances."""
        known = self.loop.at_m
        low, high = float(at_m.min()) - more_m, float(at_m.max()) + more_m
        first = int(np.searchsorted(known, low, side="right")) - 1
        last = int(np.searchsorted(known, high, side="left"))
        return max(0, min(first, len(known) - 2)), max(1, min(last, len(known) - 1))

    def _points(self, leg: Leg) -> Chain:
        at_m = self.loop.at_m
        first = max(0, int(np.searchsorted(at_m, leg.from_m, side="right")) - 1)
        last = min(len(at_m) - 1, int(np.searchsorted(at_m, leg.to_m, side="left")))
        points: Chain = self.loop.path[min(first, last) : last + 1]
        return points


@dataclass(frozen=True, eq=False)
class Whereabouts:
    """The loops and the obstacles of a plan and its lay, each part when it is first asked for."""

    plan: Plan
    lay: Lay

    @cached_property
    def loops(self) -> tuple[LoopPlaces, ...]:
        """The loops in the order of the lay."""
        return tuple(LoopPlaces(loop) for loop in self.lay.loops)

    @cached_property
    def obstacles(self) -> Chain:
        """The bounds of each obstacle of the plan, shape (n, 4)."""
        return _rows(_bounds_of_obstacle(thing) for thing in self.plan.obstacles)


def meeting(bounds: Chain, window: Rect) -> list[int]:
    """Which of the bounds meet the window, in order."""
    low = (bounds[:, :2] <= (window.x1, window.y1)).all(axis=1)
    high = (bounds[:, 2:] >= (window.x0, window.y0)).all(axis=1)
    found: list[int] = np.flatnonzero(low & high).tolist()
    return found


def _rows(bounds: Iterable[Floats]) -> Chain:
    return np.array(list(bounds), dtype=np.float64).reshape(-1, 4)


def _bounds(points: Chain) -> Floats:
    return np.concatenate((points.min(axis=0), points.max(axis=0)))


def _bounds_of_obstacle(thing: Obstacle) -> Floats:
    if thing.circle is not None:
        (x, y), r = thing.circle.at, thing.circle.radius
        return np.array((x - r, y - r, x + r, y + r))
    return _bounds(chain(thing.polygon or ()))
