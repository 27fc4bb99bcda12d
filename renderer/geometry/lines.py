"""Lines of points in the plane: measured along, cut to a stretch, moved aside.

A line is an array of shape (n, 2) in one unit, metres on the ground or millimetres on paper.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

import numpy as np

from renderer.geometry.point import Point as Point

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    Floats = NDArray[np.float64]
    Chain = NDArray[np.float64]

Segment = tuple[Point, Point]

SAME = 1e-6  # running distances that differ by less are the same place


def chain(points: Iterable[Point]) -> Chain:
    """The points as an array of shape (n, 2)."""
    return np.asarray(list(points), dtype=np.float64).reshape(-1, 2)


def as_points(points: Chain) -> tuple[Point, ...]:
    """The array as plain tuples, rounded to a micrometre so that equal input prints equal."""
    return tuple((x, y) for x, y in np.round(points, 3).tolist())


def distances(points: Chain) -> Floats:
    """Running distance of each point of a line from its first, in its own unit, shape (n,)."""
    return np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))))[: len(points)]


def length(points: Chain) -> float:
    """Length of the line; 0 where it has no points."""
    return float(distances(points)[-1]) if len(points) else 0.0


def points_at(points: Chain, run: Floats, at: ArrayLike) -> Chain:
    """The places of a line at distances ``at``, shape (k, 2); ``run`` are those of its points."""
    where = np.atleast_1d(np.asarray(at, dtype=np.float64))
    # np.clip takes three times as long as the two that it is made of, and the wire asks often
    after = np.minimum(np.maximum(np.searchsorted(run, where, side="right"), 1), len(run) - 1)
    start, first = run[after - 1], points[after - 1]
    span = run[after] - start
    share = np.minimum(
        np.maximum((where - start) / np.where(span > 0, span, 1.0), 0.0),
        1.0,
    )
    places: Chain = first + share[:, None] * (points[after] - first)
    return places


def stretch(points: Chain, run: Floats, start: float, end: float) -> tuple[Chain, Floats]:
    """A line from one running distance to another: points (k, 2) and their distances (k,)."""
    first = int(np.searchsorted(run, start + SAME, side="right"))
    last = int(np.searchsorted(run, end - SAME, side="left"))
    inner = slice(first, max(first, last))
    ends = points_at(points, run, [start, end])
    part = np.concatenate((ends[:1], points[inner], ends[1:]))
    return part, np.concatenate(([start], run[inner], [end]))


def between(points: Chain, start: float, end: float) -> Chain:
    """The part of a line between two running distances, points (k, 2)."""
    points = without_repeats(points)
    return stretch(points, distances(points), start, end)[0]


def without_repeats(points: Chain, least: float = 1e-9) -> Chain:
    """The chain without points that lie on the point before them."""
    if len(points) < 2:
        return points
    step = np.hypot(*np.diff(points, axis=0).T)
    kept: Chain = points[np.concatenate(([True], step > least))]
    return kept


def at_distances(points: Chain, wanted: NDArray[np.float64]) -> tuple[Chain, Chain]:
    """Places at the running distances and the unit directions of the chain there."""
    points = without_repeats(points)
    run = distances(points)
    place = points_at(points, run, wanted)
    step = np.diff(points, axis=0)
    index = np.clip(np.searchsorted(run, wanted, side="right") - 1, 0, len(step) - 1)
    direction: Chain = step[index] / np.hypot(*step[index].T)[:, None]
    return place, direction


def spaced(total: float, pitch: float, margin: float = 0.0) -> NDArray[np.float64]:
    """Running distances with about ``pitch`` between them, even, kept ``margin`` from both ends."""
    room = total - 2 * margin
    if room < 0:
        return np.zeros(0)
    count = max(1, round(room / pitch))
    step = room / count
    return np.asarray(margin + step * (np.arange(count) + 0.5), dtype=np.float64)


def aside(points: Chain, by: float) -> Chain:
    """The chain moved sideways, to the right of its direction as seen on paper where y is down.

    Corners are mitred, sharp ones cut at twice the distance.
    """
    points = without_repeats(points)
    if len(points) < 2:
        return points
    closed = len(points) > 3 and bool(np.allclose(points[0], points[-1]))
    step = np.diff(points, axis=0)
    normal = np.column_stack((-step[:, 1], step[:, 0])) / np.hypot(*step.T)[:, None]
    before = np.concatenate((normal[-1:] if closed else normal[:1], normal))
    after = np.concatenate((normal, normal[:1] if closed else normal[-1:]))
    middle = before + after
    square = np.maximum((middle**2).sum(axis=1), 0.5)
    moved: Chain = points + by * 2 * middle / square[:, None]
    return moved


def are_crossing(one: Segment, other: Segment) -> bool:
    """Whether two straight lines cross or touch; of two in one line, not."""

    def side(of: Segment, at: Point) -> float:
        (ax, ay), (bx, by) = of
        return (bx - ax) * (at[1] - ay) - (by - ay) * (at[0] - ax)

    def parts(line: Segment, ends: Segment) -> bool:
        a, b = side(line, ends[0]), side(line, ends[1])
        return a * b <= 0 and a != b

    return parts(one, other) and parts(other, one)
