"""Where a record says that a peg or a splice is, as a place on the ground."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, NoReturn

import numpy as np

from renderer.geometry.lines import at_distances, points_at, without_repeats
from renderer.ground.ties import meet
from renderer.plan.errors import Problem, did_you_mean
from renderer.plan.lengths import UNITS
from renderer.trade import RECORD_MOVED_MOST_M, RECORD_TAPES_FIT_M

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from renderer.ground.lay import Lay, LoopLay, Peg, Point
    from renderer.ground.stations import Floats
    from renderer.plan.errors import Loc
    from renderer.plan.records import MovedPeg, Placed

NAMES_MOST = 12  # names that a message lists


class RecordProblem(Exception):
    """What of a record cannot be right, now that the wire is laid."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem)
        self.problem = problem


def refuse(loc: Loc, problem: str, cure: str) -> NoReturn:
    """Raise the problem at a place of the plan file."""
    raise RecordProblem(Problem(loc, problem, cure))


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """What a record measures from: fixed points by name, and the wire as it lay before."""

    fixed: Mapping[str, Point]
    lay: Lay
    units: str

    def peg(self, loc: Loc, name: str) -> tuple[LoopLay, Peg]:
        """A peg by its number, with its loop. Raises RecordProblem."""
        for loop in self.lay.loops:
            for peg in loop.pegs:
                if peg.id == name:
                    return loop, peg
        numbers = [peg.id for loop in self.lay.loops for peg in loop.pegs]
        known = f"the pegs of this plan are {numbers[0]} to {numbers[-1]}" if numbers else ""
        refuse((*loc, "peg"), f"no peg has the number '{name}'", known)

    def moved(self, loc: Loc, moved: MovedPeg) -> tuple[str, Point]:
        """The number of a moved peg, and where it stands. Raises RecordProblem."""
        loop, peg = self.peg(loc, moved.peg)
        planned = (peg.x, peg.y)
        place = self._by_wire(loc, moved, loop, peg) if moved.by_wire else None
        if place is None:
            place = self.place(loc, moved, planned)
        if math.dist(place, planned) > RECORD_MOVED_MOST_M:
            away = self._told(math.dist(place, planned))
            problem = f"this puts peg {peg.id} {away} from where it was planned"
            refuse(loc, problem, "check the number of the peg and the figures")
        return peg.id, (round(place[0], 4), round(place[1], 4))

    def place(self, loc: Loc, placed: Placed, near: Point | None) -> Point:
        """A place by coordinates or tapes; ``near`` decides its side of them. Raises."""
        if placed.to is not None:
            return placed.to
        tapes = placed.ties or ()
        found = [(self._fixed((*loc, "ties", name), name), length) for name, length in tapes]
        (a, a_m), (b, b_m) = found[:2]
        both = []
        for side in ("left", "right") if placed.side is None else (placed.side,):
            try:
                both.append(meet(a, b, a_m, b_m, side))
            except ValueError:
                apart = self._told(math.dist(a, b))
                names = [name for name, _ in tapes[:2]]
                problem = f"these tapes do not meet: {names[0]} and {names[1]} are {apart} apart"
                refuse((*loc, "ties"), problem, "check the readings and which points they are from")
        others = found[2:]
        if others:
            both.sort(key=lambda at: sum((math.dist(at, c) - c_m) ** 2 for c, c_m in others))
            best = _best_of(both[0], found)
            self._require_fit((*loc, "ties"), best, found)
            return best
        if len(both) == 1:
            return both[0]
        if near is None:
            refuse((*loc, "ties"), "two places have these tapes", "add side: left or right")
        return min(both, key=lambda at: math.dist(at, near))

    def _require_fit(self, loc: Loc, at: Point, tapes: Sequence[tuple[Point, float]]) -> None:
        off = max(abs(math.dist(at, point) - length) for point, length in tapes)
        if off > RECORD_TAPES_FIT_M:
            problem = f"these tapes do not fit together: one is off by {self._told(off)} at least"
            refuse(loc, problem, "check the readings and which points they are from")

    def _fixed(self, loc: Loc, name: str) -> Point:
        if name in self.fixed:
            return self.fixed[name]
        for loop in self.lay.loops:
            for peg in loop.pegs:
                if peg.id == name:
                    return (peg.x, peg.y)
        names = list(self.fixed)[:NAMES_MOST]
        cure = did_you_mean(name, names) or f"tape from one of {', '.join(names)}, or from a peg"
        refuse(loc, f"there is no fixed point '{name}'", cure)

    def _by_wire(self, loc: Loc, moved: MovedPeg, loop: LoopLay, peg: Peg) -> Point:
        """Along the wire as it lay before, and square off it."""
        at = peg.at_m if moved.along_m is None else moved.along_m
        self.on_wire((*loc, "at" if moved.at_m is None else "at_m"), loop, at)
        path = without_repeats(loop.path)
        run = np.array([at - float(loop.at_m[0])])
        place, along = (row[0] for row in at_distances(path, run))
        if moved.along_m is None and peg.also_at_m is None:
            along = _through(loop, at)
        off = np.array((-along[1], along[0])) * (moved.offset or 0.0)
        x, y = (place + off).tolist()
        return x, y

    def on_wire(self, loc: Loc, loop: LoopLay, at_m: float) -> None:
        """Raises RecordProblem where a running distance is beyond the wire."""
        if not float(loop.at_m[0]) - 1e-6 <= at_m <= float(loop.at_m[-1]) + 1e-6:
            unit = "m" if loc[-1] == "at_m" else self.units
            given, *ends = (_told(each, unit) for each in (at_m, loop.at_m[0], loop.at_m[-1]))
            problem = f"{given} is not on the wire of {loop.name}"
            refuse(loc, problem, f"it runs from {ends[0]} to {ends[1]} between the terminals")

    def _told(self, metres: float) -> str:
        return _told(metres, self.units)


def _told(metres: float, unit: str) -> str:
    return f"{metres / UNITS[unit]:.2f} {unit}"


def _through(loop: LoopLay, at_m: float) -> Floats:
    """The direction of the wire at a place; at a corner the mean of both its sides."""
    step = 1e-3
    before, here, after = points_at(loop.path, loop.at_m, [at_m - step, at_m, at_m + step])
    ways = [way / (np.hypot(*way) or 1.0) for way in (here - before, after - here)]
    mean = ways[0] + ways[1]
    length = float(np.hypot(*mean))
    found: Floats = mean / length if length > 1e-6 else ways[1]
    return found


def _best_of(start: Point, tapes: Sequence[tuple[Point, float]]) -> Point:
    """The place that fits three tapes or more best, by least squares from near it."""
    place = np.array(start)
    points = np.array([point for point, _ in tapes])
    reads = np.array([length for _, length in tapes])
    for _ in range(20):
        away = place - points
        far = np.maximum(np.hypot(*away.T), 1e-9)
        step = np.linalg.lstsq(away / far[:, None], reads - far, rcond=None)[0]
        place = place + step
        if float(np.hypot(*step)) < 1e-7:
            break
    x, y = place.tolist()
    return x, y
