"""A stretch of wire taken apart: straights, and curves as arcs of circles, as worked out by hand.

Corners and the ends of straights are found as the pegs find them, so that the pieces between
fixed pegs are the pieces here.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from renderer.frozen import dataclass
from renderer.geometry.lines import distances, stretch
from renderer.ground.limits import CORNER_DEG
from renderer.ground.spacing import SAG_LEAST_M, bends
from renderer.ground.stations import SAME_M, TOGETHER_M, corner_indices, sagitta

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.ground.lay import Point, Points
    from renderer.ground.stations import Floats

FIT_M = 3e-4  # points of an arc lie this near to its circle: they are on a grid of 0.1 mm
CHORD_SAG_M = 1e-3  # a longer chord is no piece of a flattened arc
LONG_M = 0.05  # a step this long, and so many times as long as the shorter of its neighbours,
LONG_RATIO = 4.0  # is a straight beside a bend too short to have pegs of its own


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """A straight, or a curve between two straights or corners; ``turn_rad`` is 0 on a straight."""

    points: Points
    from_m: float
    to_m: float
    turn_rad: float

    @property
    def straight(self) -> bool:
        return self.turn_rad == 0.0

    @property
    def length_m(self) -> float:
        return self.to_m - self.from_m


@dataclass(frozen=True, slots=True)
class Arc:
    """A part of a curve that is an arc of a circle, and its length along the wire."""

    centre: Point
    radius_m: float
    angle_rad: float
    length_m: float


def pieces(points: Points, at: Floats, sag_m: float) -> tuple[Piece, ...]:
    """Straights and curves of a chain in order; ``at`` are its running distances in metres."""
    corners = [
        int(i) for i in corner_indices(points) if at[0] + TOGETHER_M < at[i] < at[-1] - TOGETHER_M
    ]
    found: list[Piece] = []
    for start, end in pairwise([0, *corners, len(at) - 1]):
        part, run = points[start : end + 1], at[start : end + 1]
        bent = bends(part, run, max(sag_m, SAG_LEAST_M), math.radians(CORNER_DEG))
        for from_m, to_m in pairwise([float(run[0]), *bent.tangents.tolist(), float(run[-1])]):
            inner = (bent.places > from_m + SAME_M) & (bent.places < to_m - SAME_M)
            turn = float(np.abs(bent.turns[inner]).sum())
            found.append(Piece(stretch(part, run, from_m, to_m)[0], from_m, to_m, turn))
    return tuple(found)


def ring_pieces(ring: Points, sag_m: float) -> tuple[Piece, ...]:
    """The pieces of a closed ring (first point repeated last), beginning with a straight.

    Bends too short for pegs of their own are kept apart from the straights beside them.
    """
    steps = np.hypot(*np.diff(ring, axis=0).T)
    first = int(np.argmax(steps))
    turned = np.concatenate((ring[first:-1], ring[: first + 1]))
    run = distances(turned)
    return tuple(part for piece in pieces(turned, run, sag_m) for part in _parted(piece))


def _parted(piece: Piece) -> Iterator[Piece]:
    """A piece as it is, or a curve with its long steps as straights of their own."""
    steps = np.hypot(*np.diff(piece.points, axis=0).T)
    padded = np.concatenate(([np.inf], steps, [np.inf]))
    shorter = np.minimum(padded[:-2], padded[2:])
    long = (steps >= LONG_M) & (steps >= LONG_RATIO * shorter)
    if piece.straight or not long.any():
        yield piece
        return
    changes = np.flatnonzero(long[1:] | long[:-1]) + 1
    run = piece.from_m + np.concatenate(([0.0], np.cumsum(steps)))
    for start, end in pairwise([0, *changes.tolist(), len(steps)]):
        turn = 0.0 if long[start] else max(piece.turn_rad, SAME_M)
        yield Piece(piece.points[start : end + 1], float(run[start]), float(run[end]), turn)


def arcs(points: Points) -> tuple[Arc, ...]:
    """A curve as arcs of circles, each as long as its points allow; empty where there are none."""
    found: list[Arc] = []
    start = 0
    while start < len(points) - 1:
        end = _furthest(points, start)
        arc = _arc(points[start : end + 1])
        if arc is None:
            return ()
        found.append(arc)
        start = end
    return tuple(found)


def _furthest(points: Points, start: int) -> int:
    """Index of the last point up to which the points from ``start`` lie on one circle."""
    low, high = min(start + 2, len(points) - 1), len(points) - 1
    while low < high:
        middle = (low + high + 1) // 2
        if _fits(points[start : middle + 1]):
            low = middle
        else:
            high = middle - 1
    return low


def _fits(points: Points) -> bool:
    centre, radius = _circle(points)
    off = np.abs(np.hypot(*(points - centre).T) - radius)
    longest = float(np.hypot(*np.diff(points, axis=0).T).max())
    return bool(off.max() <= FIT_M and sagitta(longest, radius) <= CHORD_SAG_M)


def _circle(points: Points) -> tuple[Points, float]:
    """Centre and radius of the circle that fits points best, by linear least squares."""
    middle = points.mean(axis=0)
    near = points - middle
    rows = np.column_stack((2.0 * near, np.ones(len(near))))
    x, y, rest = np.linalg.lstsq(rows, (near * near).sum(axis=1), rcond=None)[0].tolist()
    centre = middle + np.array((x, y))
    return centre, math.sqrt(max(rest + x * x + y * y, 0.0))


def _arc(points: Points) -> Arc | None:
    if len(points) < 3 or not _fits(points):
        return None
    centre, radius = _circle(points)
    ways = points - centre
    cross = ways[:-1, 0] * ways[1:, 1] - ways[:-1, 1] * ways[1:, 0]
    angle = float(np.arctan2(cross, (ways[:-1] * ways[1:]).sum(axis=1)).sum())
    length = float(np.hypot(*np.diff(points, axis=0).T).sum())
    return Arc((float(centre[0]), float(centre[1])), radius, abs(angle), length)
