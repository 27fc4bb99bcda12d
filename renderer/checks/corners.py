"""Corners and bends of the wire, against the machine's least angle and least radius."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.checks.rule import Hit, Rule
from renderer.geometry.lines import distances
from renderer.ground.limits import FLATTEN_M, GRID_M
from renderer.ground.offset import turn_angles
from renderer.ground.stations import corner_indices

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from renderer.checks.case import Case
    from renderer.ground.lay import Points, Ring

ANGLE_DEG = 0.5  # a corner this little sharper than allowed passes
NOISE_M = 1.5 * GRID_M  # what the grid may turn a step by, over its length
JOG_M = 4.0 * GRID_M  # a jog of this, where chords of arcs meet on the grid, is no bend
WINDOW = 0.25  # a bend is looked at over this share of the least radius
SPARE_DEG = 2.0


def corner_too_sharp(case: Case) -> Iterator[Hit]:
    """Corners of the rings sharper than the machine follows."""
    least = case.plan.machine.corner_angle_min
    if not least:
        return
    for loop in case.lay.loops:
        for ring in loop.rings:
            points = np.concatenate((ring.points, ring.points[1:2]))
            for i in corner_indices(points, 180.0 - least + ANGLE_DEG).tolist():
                angle = 180.0 - math.degrees(abs(_turn(points, i)))
                if angle >= least - ANGLE_DEG - _noise_deg(points, i):
                    continue
                at = (float(points[i, 0]), float(points[i, 1]))
                facts = {"angle_deg": round(angle), "least_deg": least}
                yield Hit("corner-too-sharp.found", facts, at, ring.of, case.station(at, loop))


def _turn(points: Points, i: int) -> float:
    """Turn at a corner by the directions a few millimetres before and after it, radians."""
    run = distances(points)
    near = [max(0.0, run[i] - 5e-3), min(run[-1], run[i] + 5e-3)]
    x, y = (np.interp(near, run, points[:, k]) for k in (0, 1))
    before, after = points[i] - (x[0], y[0]), (x[1], y[1]) - points[i]
    cross = float(before[0] * after[1] - before[1] * after[0])
    return math.atan2(cross, float(np.dot(before, after)))


def _noise_deg(points: Points, i: int) -> float:
    """By how much the grid may have sharpened a corner between short steps."""
    steps = np.hypot(*np.diff(points[i - 1 : i + 2], axis=0).T)
    return math.degrees(NOISE_M / max(float(steps.min()), NOISE_M))


def bend_too_tight(case: Case) -> Iterator[Hit]:
    """Rings that turn more, over a short stretch, than the least radius allows."""
    radius = case.plan.machine.corner_radius
    if radius <= 0:
        return
    facet = 2.0 * math.sqrt(3.0 * FLATTEN_M / radius)  # the turn between two chords of an arc
    most = WINDOW + 2.0 * facet + math.radians(SPARE_DEG)
    for loop in case.lay.loops:
        for ring in loop.rings:
            turned, at = _sharpest(ring, WINDOW * radius)
            if turned > most:
                facts = {
                    "radius_m": radius,
                    "turned_deg": round(math.degrees(turned)),
                    "length_m": WINDOW * radius,
                    "allowed_deg": round(math.degrees(WINDOW)),
                }
                yield Hit("bend-too-tight.found", facts, at, ring.of, case.station(at, loop))


def _sharpest(ring: Ring, window_m: float) -> tuple[float, tuple[float, float]]:
    """The most that a ring turns within a length, radians, and where."""
    plain = shapely.get_coordinates(shapely.simplify(shapely.Polygon(ring.points), JOG_M))[:-1]
    steps = np.hypot(*(np.roll(plain, -1, axis=0) - plain).T)
    turns = np.concatenate([turn_angles(plain)] * 2)
    run = np.concatenate(([0.0], np.cumsum(np.concatenate([steps] * 2))))[:-1]
    total: NDArray[np.float64] = np.concatenate(([0.0], np.cumsum(turns)))
    count = len(plain)
    last = np.searchsorted(run, run[:count] + window_m, side="right")
    found = np.abs(total[np.minimum(last, len(turns))] - total[:count])
    k = int(np.argmax(found))
    return float(found[k]), (float(plain[k, 0]), float(plain[k, 1]))


RULES = (
    Rule("corner-too-sharp", "warn", corner_too_sharp),
    Rule("bend-too-tight", "warn", bend_too_tight, figure="turned_deg"),
)
