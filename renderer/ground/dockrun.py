"""What lies about the start of a loop: straight wire, corners, leads, sprinklers."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.frozen import dataclass
from renderer.geometry.lines import distances, points_at, stretch
from renderer.ground.limits import CORNER_DEG
from renderer.ground.reach import Reach
from renderer.ground.spacing import chord_sags
from renderer.ground.stations import corners_at, turn_between
from renderer.trade import DOCK_AHEAD_M, DOCK_JOINED_RATIO, DOCK_STRAIGHT_M

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from renderer.ground.lay import Leg, Point, Points
    from renderer.ground.stations import Floats

SAMPLE_M = 0.05  # steps in which own wire is looked at


@dataclass(frozen=True, slots=True)
class DockRun:
    """The surroundings of a loop's start; metres, infinite where there is no such thing.

    ``before`` is the end of the walk, ``after`` its beginning. Straight lengths end where the wire
    leaves a chord, turns a corner, or a lead pair leaves it. ``deviation_m`` is how far the wire of
    the needed run, before and after together, leaves the line through the run's ends. Corners
    and leads are measured along the wire, sprinklers (from the edge of their throw, negative
    within it) and other wire straight across.
    """

    straight_before_m: float
    straight_after_m: float
    deviation_m: float
    turn_deg: float  # of the wire at the start itself
    corner_m: float
    lead_m: float
    sprinkler_m: float
    other_wire_m: float


def dock_run(
    path: Points,
    at_m: Floats,
    legs: Sequence[Leg],
    *,
    before_m: float,
    after_m: float,
    sprinklers: Iterable[tuple[Point, float]] = (),
    others: Sequence[Points] = (),
) -> DockRun:
    """What lies about the start of a closed walk ``path`` (n, 2) with running distances ``at_m``.

    ``before_m`` and ``after_m`` are the straight run that the dock needs: its deviation is given,
    and sprinklers and other wire are measured from it. ``sprinklers`` are (place, throw),
    ``others`` the paths of other loops.
    """
    start, end = float(at_m[0]), float(at_m[-1])
    turn = math.degrees(abs(_turn(path)))
    corners = corners_at(path, at_m, legs)
    leads = [
        at for leg in legs if leg.kind in ("lead", "crossing") for at in (leg.from_m, leg.to_m)
    ]
    stops = np.array([*corners.tolist(), *leads, end])
    run = _run(path, at_m, before_m, after_m)
    return DockRun(
        straight_before_m=_straight(path[::-1], end + start - at_m[::-1], end + start - stops),
        straight_after_m=_straight(path, at_m, stops),
        deviation_m=_deviation(run),
        turn_deg=turn,
        corner_m=0.0 if turn >= CORNER_DEG else _nearest(corners, start, end),
        lead_m=_nearest(leads, start, end),
        sprinkler_m=_to_sprinkler(run, sprinklers),
        other_wire_m=_to_other_wire(path, at_m, run, (before_m, after_m), others),
    )


def _turn(path: Points) -> float:
    """Turn of the wire at its start, radians."""
    steps = np.stack((path[-1] - path[-2], path[1] - path[0]))
    return float(turn_between(steps[:1], steps[1:])[0])


def _straight(path: Points, at_m: Floats, stops: Floats) -> float:
    """How far the wire runs straight from the start of ``path``, at most to the first stop."""
    start = float(at_m[0])
    most = min(
        DOCK_AHEAD_M, float(np.min(stops[stops > start + 1e-6], initial=float(at_m[-1]))) - start
    )
    points, at = stretch(path, at_m, start, start + most)
    return float(Reach(points, at, most, DOCK_STRAIGHT_M).cuts()[1]) - start


def _run(path: Points, at_m: Floats, before_m: float, after_m: float) -> Points:
    """The wire of the needed run in the order of the walk, through the start."""
    start, end = float(at_m[0]), float(at_m[-1])
    half = (end - start) / 2.0
    back, _ = stretch(path, at_m, end - min(before_m, half), end)
    ahead, _ = stretch(path, at_m, start, start + min(after_m, half))
    return np.concatenate((back, ahead[1:]))


def _deviation(run: Points) -> float:
    at = distances(run)
    return float(chord_sags(run, at, at[[0, -1]])[0]) if at[-1] > 0 else 0.0


def _nearest(places: Iterable[float], start: float, end: float) -> float:
    """Least distance along the wire from the start, either way."""
    return float(min((min(at - start, end - at) for at in places), default=math.inf))


def _to_sprinkler(run: Points, sprinklers: Iterable[tuple[Point, float]]) -> float:
    line = shapely.linestrings(run)
    return min(
        (float(shapely.distance(line, shapely.Point(at))) - throw for at, throw in sprinklers),
        default=math.inf,
    )


def _to_other_wire(
    path: Points,
    at_m: Floats,
    run: Points,
    needed: tuple[float, float],
    others: Sequence[Points],
) -> float:
    """Distance from the run to wire that does not follow on it."""
    line = shapely.linestrings(run)
    across = [float(shapely.distance(line, shapely.linestrings(other))) for other in others]
    from_m, to_m = float(at_m[0]) + needed[1], float(at_m[-1]) - needed[0]
    if to_m > from_m:
        at = np.arange(from_m, to_m, SAMPLE_M)
        at = np.sort(np.concatenate((at, at_m[(at_m > from_m) & (at_m < to_m)])))
        own = shapely.distance(line, shapely.points(points_at(path, at_m, at)))
        joined = np.minimum(at - from_m, to_m - at) <= DOCK_JOINED_RATIO * own
        across += own[~joined].tolist()
    return min(across, default=math.inf)
