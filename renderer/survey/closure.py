"""How well a run of bearings and tapes closes, before anything is adjusted."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from renderer.survey.network import Network, Reading


@dataclass(frozen=True, slots=True)
class Closure:
    """A run over ``points``: its length, and by how much it misses where it should end, metres."""

    points: tuple[str, ...]
    length_m: float
    dx_m: float
    dy_m: float

    @property
    def apart_m(self) -> float:
        """The misclosure."""
        return math.hypot(self.dx_m, self.dy_m)

    @property
    def one_in(self) -> float | None:
        """The length over the misclosure, the N of 1 in N; nothing where it closes exactly."""
        return self.length_m / self.apart_m if self.apart_m > 0 else None


def closures(network: Network) -> tuple[Closure, ...]:
    """The runs that come back to where they began or end at a fixed point."""
    found = (_closure(network, run) for run in network.runs)
    return tuple(each for each in found if each is not None)


def _closure(network: Network, run: tuple[str, ...]) -> Closure | None:
    closes = run[-1] in run[:-1] or run[-1] in network.fixed
    if not closes or run[0] not in network.fixed:
        return None
    place, length, before = network.fixed[run[0]], 0.0, ""
    turn: float | None = None
    passed = {run[0]: place}
    for start, end in pairwise(run):
        tape = _reading(network, "tape", (start, end))
        turn = _turn(network, start, end, before, turn)
        if tape is None or turn is None:
            return None
        length += tape.value
        place = (place[0] + tape.value * math.sin(turn), place[1] + tape.value * math.cos(turn))
        before = start
        if end != run[-1]:
            passed[end] = place
    target = network.fixed.get(run[-1]) or passed[run[-1]]
    return Closure(run, length, place[0] - target[0], place[1] - target[1])


def _turn(network: Network, start: str, end: str, before: str, turn: float | None) -> float | None:
    """The direction of a leg in radians clockwise from y."""
    bearing = _reading(network, "bearing", (start, end))
    if bearing is not None:
        return math.radians(bearing.value)
    for reading in network.readings:
        if reading.kind == "angle" and (reading.of[0], reading.of[2]) == (start, end):
            if reading.of[1] == before and turn is not None:
                return turn + math.pi + math.radians(reading.value)
            if reading.of[1] in network.fixed and start in network.fixed:
                (x0, y0), (x1, y1) = network.fixed[start], network.fixed[reading.of[1]]
                return math.atan2(x1 - x0, y1 - y0) + math.radians(reading.value)
    return None


def _reading(network: Network, kind: str, of: tuple[str, str]) -> Reading | None:
    return next((each for each in network.readings if each.kind == kind and each.of == of), None)
