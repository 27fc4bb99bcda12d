"""Where pegs stand on one stretch of wire without a corner: even on straights, by sag on curves.

The sag of a chord is the greatest distance of the wire from it. On an arc of radius R a chord c
sags by c^2 / 8R, but what is kept here is measured on the wire itself, whatever its shape.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from typing import TYPE_CHECKING

import numpy as np

from renderer.frozen import dataclass
from renderer.geometry.lines import points_at
from renderer.ground.reach import Reach
from renderer.ground.stations import SAME_M, kept_indices, turn_between
from renderer.trade import SHORT_BEND_M

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from renderer.ground.lay import Points

    Floats = NDArray[np.float64]

SPACING_TOLERANCE_M = 2e-4  # rounding of the path must not cost a peg
SAG_LEAST_M = 1e-3  # arcs are chains of chords, a smaller sag would ask for pegs at their joints
COLLINEAR_M = 1.5e-4  # a vertex nearer than this to the straight through its neighbours is no bend
FACET_SAG_M = 1.5e-3  # a chord that stands for more sag than this is no piece of a flattened arc
FACET_RATIO = 4.0  # and is a straight where it is this many times longer than its neighbour

EVEN_SHARE = 0.8  # sags of equal intervals this alike make a curve of constant radius
REPAIRS_MOST = 12


@dataclass(frozen=True, slots=True)
class Limits:
    """Peg spacing of the first pass, of both passes together, and sag between pegs; metres."""

    first: float
    final: float
    sag: float


@dataclass(frozen=True, slots=True)
class Bends:
    """A stretch taken apart: tangent points, and all places where the wire bends at all.

    ``marked`` says which tangents end a real bend (a corner's worth of turn) and are worth a
    control peg; ``turns`` is the turn at each of ``places`` in radians, left positive.
    """

    tangents: Floats
    marked: NDArray[np.bool_]
    places: Floats
    turns: Floats


def _straight(lengths: Floats, turns: Floats, sag: float) -> NDArray[np.bool_]:
    """Which segments are straights of their own rather than facets of a curve."""
    ends = np.concatenate(([np.nan], turns, [np.nan]))
    turn = np.nanmean(np.stack((ends[:-1], ends[1:])), axis=0)
    rise = lengths * turn / 8.0
    padded = np.concatenate(([np.inf], lengths, [np.inf]))
    shorter = np.minimum(padded[:-2], padded[2:])
    return np.asarray(
        (rise >= sag) | ((rise > FACET_SAG_M) & (lengths >= FACET_RATIO * shorter)), dtype=np.bool_
    )


def bends(points: Points, at: Floats, sag: float, corner_rad: float) -> Bends:
    """Tangent points and bends of a stretch without a corner; ``at`` are running distances."""
    none = np.empty(0)
    if len(points) < 3:
        return Bends(none, none.astype(bool), none, none)
    index = kept_indices(points, COLLINEAR_M)
    steps = np.diff(points[index], axis=0)
    if len(steps) < 2:
        return Bends(none, none.astype(bool), none, none)
    lengths, turns = np.hypot(steps[:, 0], steps[:, 1]), turn_between(steps[:-1], steps[1:])
    straight = _straight(lengths, np.abs(turns), sag)
    tangent = straight[:-1] | straight[1:]
    run: NDArray[np.intp] = np.cumsum(tangent & straight[:-1])  # a new number after each straight
    whole = np.zeros(int(run[-1]) + 1)
    np.add.at(whole, run, turns)
    marked = tangent & (np.abs(whole[run]) >= corner_rad)
    places = at[index[1:-1]]
    if not tangent.any():
        return Bends(none, none.astype(bool), places, turns)
    tangents, kept = _short_joined(places[tangent], run[tangent])
    return Bends(tangents, marked[tangent][kept], places, turns)


def _short_joined(tangents: Floats, run: NDArray[np.intp]) -> tuple[Floats, NDArray[np.bool_]]:
    """Tangents with the two of a short bend joined in its middle, and which old ones stay."""
    short = (np.diff(run) == 0) & (np.diff(tangents) < SHORT_BEND_M)
    joined = tangents.copy()
    joined[:-1][short] = ((tangents[:-1] + tangents[1:]) / 2.0)[short]
    kept = ~np.concatenate(([False], short))
    return joined[kept], kept


def chord_sags(points: Points, at: Floats, cuts: Floats) -> Floats:
    """Greatest distance of the wire from each chord between neighbouring ``cuts``, metres.

    ``cuts`` are k rising running distances; gives k-1 values.
    """
    ends = points_at(points, at, cuts)
    sags = np.zeros(len(cuts) - 1)
    lo, hi = np.searchsorted(at, (cuts[0] + SAME_M, cuts[-1] - SAME_M))
    where = np.minimum(np.searchsorted(cuts, at[lo:hi], side="right") - 1, len(cuts) - 2)
    start, chord = ends[where], ends[where + 1] - ends[where]
    off = points[lo:hi] - start
    square = np.maximum(_dot(chord, chord), 1e-18)
    share = np.minimum(np.maximum(_dot(off, chord) / square, 0.0), 1.0)
    away = off - share[:, None] * chord
    np.maximum.at(sags, where, np.hypot(away[:, 0], away[:, 1]))
    return sags


def _dot(one: Points, two: Points) -> Floats:
    """The products of vectors (k, 2), row by row."""
    return np.asarray(one[:, 0] * two[:, 0] + one[:, 1] * two[:, 1])


def even(from_m: float, to_m: float, most: float) -> Floats:
    """Equal intervals no longer than ``most``: their ends, from the first to the last."""
    count = max(1, math.ceil((to_m - from_m - SPACING_TOLERANCE_M) / most))
    return np.linspace(from_m, to_m, count + 1)


def on_straight(from_m: float, to_m: float, limits: Limits) -> tuple[Floats, NDArray[np.bool_]]:
    """Running distances of pegs on a straight, ends included, and which are of the first pass."""
    cuts = even(from_m, to_m, limits.final)
    step = (to_m - from_m) / (len(cuts) - 1)
    chosen = np.zeros(len(cuts), dtype=bool)
    chosen[even_choice(len(cuts) - 1, int((limits.first + SPACING_TOLERANCE_M) / step))] = True
    return cuts, chosen


def _even_on_curve(points: Points, at: Floats, limits: Limits) -> tuple[Floats, bool]:
    """The fewest equal intervals that keep spacing and sag; whether unequal ones are no fewer."""
    cuts = even(at[0], at[-1], limits.final)
    least = count = len(cuts) - 1
    sags = chord_sags(points, at, cuts)
    while sags.max() > limits.sag:
        count = max(count + 1, math.ceil(count * math.sqrt(sags.max() / limits.sag) * 0.999))
        sags = chord_sags(points, at, np.linspace(at[0], at[-1], count + 1))
    while count > least:
        fewer = chord_sags(points, at, np.linspace(at[0], at[-1], count))
        if fewer.max() > limits.sag:
            break
        count, sags = count - 1, fewer
    sure = count == least or bool(sags.min() >= EVEN_SHARE * sags.max())
    return np.linspace(at[0], at[-1], count + 1), sure


def _repaired(points: Points, at: Floats, cuts: Floats, sag: float) -> Floats:
    """The cuts with intervals halved wherever a chord still sags too far."""
    for _ in range(REPAIRS_MOST):
        wrong = np.flatnonzero(chord_sags(points, at, cuts) > sag)
        if len(wrong) == 0:
            break
        cuts = np.sort(np.concatenate((cuts, (cuts[wrong] + cuts[wrong + 1]) / 2.0)))
    return cuts


def _last_evened(points: Points, at: Floats, cuts: Floats, sag: float) -> Floats:
    """The last inner cut moved to the middle of its neighbours, where the sag allows it."""
    if len(cuts) < 3:
        return cuts
    moved = cuts.copy()
    moved[-2] = (cuts[-3] + cuts[-1]) / 2.0
    return moved if chord_sags(points, at, moved[-3:]).max() <= sag else cuts


def on_curve(points: Points, at: Floats, limits: Limits) -> Floats:
    """Running distances of pegs on a curve, its two ends included.

    Equal intervals where the radius is constant or nothing is gained by others, else each chord
    as long as spacing and sag allow.
    """
    equal, sure = _even_on_curve(points, at, limits)
    if sure:
        return equal
    reach = Reach(points, at, limits.final + SPACING_TOLERANCE_M / 2, limits.sag)
    reached = _repaired(points, at, reach.cuts(), limits.sag)
    if len(reached) >= len(equal):
        return equal
    return _last_evened(points, at, reached, limits.sag)


def first_pass(points: Points, at: Floats, cuts: Floats, limits: Limits) -> NDArray[np.bool_]:
    """Which of the pegs at ``cuts`` go in on the first pass: enough to keep its limits alone."""
    longest = float(np.diff(cuts).max())
    chosen = np.zeros(len(cuts), dtype=bool)
    most = int((limits.first + SPACING_TOLERANCE_M) / longest)
    sure = _SagMidway(points, at, cuts) if most > 1 else None
    for group in range(most, 1, -1):
        index = even_choice(len(cuts) - 1, group)
        if sure and sure.of(int(index[1])) > limits.sag * (1.0 + 1e-9):
            continue
        if chord_sags(points, at, cuts[index]).max() <= limits.sag:
            chosen[index] = True
            return chosen
    chosen[_reaching_choice(points, at, cuts, limits)] = True
    return chosen


class _SagMidway:
    """How far the wire lies from a chord at about its middle: its sag is no less, and dearer."""

    def __init__(self, points: Points, at: Floats, cuts: Floats) -> None:
        self.points = points.tolist()
        self.at: list[float] = at.tolist()
        self.cuts: list[float] = cuts.tolist()
        self.ends = points_at(points, at, cuts).tolist()

    def of(self, last: int) -> float:
        """For the chord from the first of the cuts to another; metres, 0.0 for a straight."""
        start, end = self.cuts[0], self.cuts[last]
        middle = bisect_left(self.at, (start + end) / 2.0)
        if middle == len(self.at) or not start + SAME_M < self.at[middle] < end - SAME_M:
            return 0.0
        (x, y), (to_x, to_y), (far_x, far_y) = self.ends[0], self.points[middle], self.ends[last]
        dx, dy, off_x, off_y = far_x - x, far_y - y, to_x - x, to_y - y
        square = max(dx * dx + dy * dy, 1e-18)
        share = min(max((off_x * dx + off_y * dy) / square, 0.0), 1.0)
        return math.hypot(off_x - share * dx, off_y - share * dy)


def even_choice(count: int, group: int) -> NDArray[np.intp]:
    """Ends of as few equal groups of at most ``group`` intervals as ``count`` intervals need."""
    groups = math.ceil(count / max(group, 1))
    return np.asarray((np.arange(groups + 1) * count) // groups, dtype=np.intp)


def _reaching_choice(points: Points, at: Floats, cuts: Floats, limits: Limits) -> NDArray[np.intp]:
    """Peg by peg, the furthest that spacing and sag of the first pass allow."""
    chosen, last = [0], len(cuts) - 1
    while chosen[-1] < last:
        i = chosen[-1]
        j = i + 1
        while j < last and cuts[j + 1] - cuts[i] <= limits.first + SPACING_TOLERANCE_M:
            lo, hi = np.searchsorted(at, (cuts[i], cuts[j + 1]))
            near = slice(max(0, int(lo) - 1), int(hi) + 1)
            if chord_sags(points[near], at[near], cuts[[i, j + 1]])[0] > limits.sag:
                break
            j += 1
        chosen.append(j)
    return np.asarray(chosen, dtype=np.intp)
