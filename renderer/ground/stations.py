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
SAME_M = SAME  # running distances that differ by less are one place


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


def bends_at(
    path: Points, at_m: Floats, legs: Sequence[Leg], over_m: float, least_deg: float = CORNER_DEG
) -> list[tuple[float, float]]:
    """Where a ring turns by as much as a corner within ``over_m``: first and last running distance.

    A corner is such a place, and so is one that is rounded, or the arc round an island, whose
    many small turns are none by themselves. Stretches may overlap.
    """
    found = []
    for leg in legs:
        if leg.kind not in ("outer", "island") or leg.length_m <= SAME_M:
            continue
        points, at = stretch(path, at_m, leg.from_m, leg.to_m)
        kept = _plain_indices(points)
        turns = np.abs(turn_between(*_steps_before_and_after(points[kept])))
        at = at[kept][1:-1]
        total = np.concatenate(([0.0], np.cumsum(turns)))
        last = np.searchsorted(total, total[:-1] + math.radians(least_deg) - 1e-9) - 1
        first = np.flatnonzero(last < len(at))
        places = np.stack((at[first], at[last[first]]), axis=1)
        found += places[places[:, 1] - places[:, 0] <= over_m].tolist()
    return [(float(a), float(b)) for a, b in found]


def _steps_before_and_after(points: Points) -> tuple[Floats, Floats]:
    steps = np.diff(points, axis=0)
    return steps[:-1], steps[1:]


def _plain_indices(points: Points) -> NDArray[np.intp]:
    """Indices of the vertices without jogs of a millimetre, which are no turns of the wire."""
    line = shapely.simplify(shapely.linestrings(points), TOGETHER_M, preserve_topology=False)
    kept, found = shapely.get_coordinates(line), [0]
    for place in kept[1:-1]:
        start = found[-1] + 1
        found.append(start + int(np.argmax(np.all(points[start:] == place, axis=1))))
    return np.asarray([*found, len(points) - 1])


def pairs(legs: Sequence[Leg]) -> dict[str, tuple[Leg, Leg]]:
    """The way out and the way back of each lead pair and crossing, by the part they run on."""
    out = {leg.part: leg for leg in legs if leg.kind in ("lead", "crossing") and not leg.back}
    back = {leg.part: leg for leg in legs if leg.kind in ("lead", "crossing") and leg.back}
    return {part: (out[part], back[part]) for part in out if part in back}
