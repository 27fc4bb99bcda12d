"""Places along the wire by running distance: points, stretches, turns and corners."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.geometry.lines import SAME, stretch
from renderer.ground.limits import CORNER_DEG

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from renderer.ground.lay import Leg, Points

    Floats = NDArray[np.float64]

TOGETHER_M = 1e-3  # vertices nearer to each other than this make one corner, or none, together
SAME_M = SAME  # running distances that differ by less are the same place


def sagitta(chord_m: float, radius_m: float) -> float:
    """Rise of an arc over its chord, metres, by the surveyor's c^2 / 8R."""
    return chord_m * chord_m / (8.0 * radius_m)


def turn_between(before: Floats, after: Floats) -> Floats:
    """Signed turn in radians from each direction to the next, left positive. Shapes (k, 2)."""
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    return np.asarray(np.arctan2(cross, np.sum(before * after, axis=1)), dtype=np.float64)


def _clusters(gaps: Floats) -> Floats:
    """First vertex of each cluster, for the n-1 gaps between n vertices."""
    starts = [0, *(np.flatnonzero(gaps >= TOGETHER_M) + 1).tolist()]
    whole = []
    for start, end in zip(starts, [*starts[1:], len(gaps) + 1], strict=True):
        whole.append(start)
        gone = 0.0
        for i in range(start + 1, end):  # a long chain of short facets is not one corner
            gone += gaps[i - 1]
            if gone > TOGETHER_M:
                whole.append(i)
                gone = 0.0
    return np.asarray(whole)


def corner_indices(points: Points, least_deg: float = CORNER_DEG) -> NDArray[np.intp]:
    """Indices of the corners of an open chain, its two ends left out.

    Vertices within a millimetre count as one, by the directions of the wire into and out of them,
    so that rounding makes no corner and a corner of several vertices is found once.
    """
    if len(points) < 3:
        return np.empty(0, dtype=np.intp)
    steps = np.diff(points, axis=0)
    first = _clusters(np.hypot(steps[:, 0], steps[:, 1])).astype(np.intp)
    if len(first) < 3:
        return np.empty(0, dtype=np.intp)
    last = np.append(first[1:] - 1, len(points) - 1)
    turns = np.abs(turn_between(steps[first[1:-1] - 1], steps[last[1:-1]]))
    sharp = turns >= math.radians(least_deg) - 1e-9
    middle: NDArray[np.intp] = (first[1:-1] + last[1:-1]) // 2
    return middle[sharp]


def corners_at(
    path: Points, at_m: Floats, legs: Sequence[Leg], least_deg: float = CORNER_DEG
) -> Floats:
    """Running distances of the corners within the legs; the second wires of pairs included."""
    found = [np.empty(0)]
    for leg in legs:
        if leg.kind != "tail" and leg.length_m > SAME_M:
            points, at = stretch(path, at_m, leg.from_m, leg.to_m)
            found.append(at[corner_indices(points, least_deg)])
    return np.concatenate(found)


def within(stretches: Floats, over_m: float) -> list[tuple[float, float]]:
    """Those of some stretches (k, 2) that are no longer than a length."""
    short = stretches[stretches[:, 1] - stretches[:, 0] <= over_m]
    return [(a, b) for a, b in short.tolist()]


def bends_of(
    path: Points, at_m: Floats, legs: Sequence[Leg], least_deg: float = CORNER_DEG
) -> Floats:
    """Where a ring turns by as much as a corner: from each bend on, the shortest stretch that does.

    A corner is such a place, and so is one that is rounded, or the arc round an island, whose
    many small turns are none by themselves. First and last running distance, shape (k, 2).
    """
    found = [np.empty((0, 2))]
    for leg in legs:
        if leg.kind not in ("outer", "island") or leg.length_m <= SAME_M:
            continue
        points, at = stretch(path, at_m, leg.from_m, leg.to_m)
        kept = kept_indices(points, TOGETHER_M)
        turns = np.abs(turn_between(*_steps_before_and_after(points[kept])))
        at = at[kept][1:-1]
        total = np.concatenate(([0.0], np.cumsum(turns)))
        last = np.searchsorted(total, total[:-1] + math.radians(least_deg) - 1e-9) - 1
        first = np.flatnonzero(last < len(at))
        found.append(np.stack((at[first], at[last[first]]), axis=1))
    return np.concatenate(found)


def _steps_before_and_after(points: Points) -> tuple[Floats, Floats]:
    steps = np.diff(points, axis=0)
    return steps[:-1], steps[1:]


def kept_indices(points: Points, jog_m: float) -> NDArray[np.intp]:
    """Indices of a chain's vertices without those that make jogs up to a size only; ends kept."""
    line = shapely.simplify(shapely.linestrings(points), jog_m, preserve_topology=False)
    all_of, found, i = points.tolist(), [], 0
    for place in shapely.get_coordinates(line).tolist():
        while all_of[i] != place:
            i += 1
        found.append(i)
        i += 1
    found[-1] = len(points) - 1
    return np.asarray(found, dtype=np.intp)


def pairs(legs: Sequence[Leg]) -> dict[str, tuple[Leg, Leg]]:
    """The way out and the way back of each lead pair and crossing, by the part they run on."""
    out = {leg.part: leg for leg in legs if leg.kind in ("lead", "crossing") and not leg.back}
    back = {leg.part: leg for leg in legs if leg.kind in ("lead", "crossing") and leg.back}
    return {part: (out[part], back[part]) for part in out if part in back}
