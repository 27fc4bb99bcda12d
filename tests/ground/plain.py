"""Plain geometry that tests judge by, written apart from the engine, importing nothing of it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from renderer.plan.model import Lawn, Obstacle

    Floats = NDArray[np.float64]
    XY = tuple[float, float]


def shoelace(ring: Floats) -> float:
    """Signed area of a closed line (first point repeated last), m2."""
    x, y = (ring - ring[0]).T
    return float(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1]) / 2)


def winding(path: Floats, points: Floats) -> NDArray[np.int64]:
    """How often a closed path goes round each point, by counting signed crossings of a ray east."""
    (ax, ay), (bx, by) = path[:-1].T, path[1:].T
    turns = np.zeros(len(points), dtype=np.int64)
    rows = max(1, 200_000 // len(ax))  # as many points at a time as a fast memory holds
    for first in range(0, len(points), rows):
        x, y = points[first : first + rows].T[:, :, None]
        starts_low, ends_low = ay <= y, by <= y
        some, edge = np.nonzero(starts_low != ends_low)
        rises = starts_low[some, edge]
        x, y = x[some, 0], y[some, 0]
        left = (bx - ax)[edge] * (y - ay[edge]) - (x - ax[edge]) * (by - ay)[edge]
        signed = np.where(rises, left > 0, -(left < 0).astype(np.int64))
        np.add.at(turns[first : first + rows], some, signed)
    return turns


def point_to_segments(points: Floats, a: Floats, b: Floats) -> Floats:
    """Distance of each of n points from each of m segments, shape (n, m)."""
    along_x, along_y = (b - a).T
    square = np.maximum(along_x**2 + along_y**2, 1e-30)
    off_x, off_y = points[:, :1] - a[:, 0], points[:, 1:] - a[:, 1]
    share = (off_x * along_x + off_y * along_y) / square
    share = np.minimum(np.maximum(share, 0.0), 1.0)
    off_x -= share * along_x
    off_y -= share * along_y
    return np.sqrt(off_x * off_x + off_y * off_y)


def circle_of(a: XY, b: XY, c: XY) -> tuple[XY, float]:
    """Centre and radius of the circle through three points, by the two bisectors."""
    matrix = 2 * np.array([[b[0] - a[0], b[1] - a[1]], [c[0] - a[0], c[1] - a[1]]])
    square = [p[0] ** 2 + p[1] ** 2 for p in (a, b, c)]
    x, y = np.linalg.solve(matrix, [square[1] - square[0], square[2] - square[0]])
    return (float(x), float(y)), math.dist((x, y), a)


class Arc:
    """A true circular arc from one point through another to a third."""

    def __init__(self, a: XY, through: XY, b: XY) -> None:
        self.ends = np.array([a, b])
        self.centre, self.radius = circle_of(a, through, b)
        first, middle, last = (
            math.atan2(p[1] - self.centre[1], p[0] - self.centre[0]) for p in (a, through, b)
        )
        ccw = (middle - first) % math.tau < (last - first) % math.tau
        self.start = first if ccw else last
        self.sweep = (last - first) % math.tau if ccw else (first - last) % math.tau

    def points_off(self, points: Floats) -> Floats:
        """Distance of each point from the arc."""
        off = points - np.array(self.centre)
        on = (np.arctan2(off[:, 1], off[:, 0]) - self.start) % math.tau <= self.sweep
        to_ends = np.hypot(*(points[:, None] - self.ends[None]).transpose(2, 0, 1)).min(axis=1)
        return np.where(on, np.abs(np.hypot(*off.T) - self.radius), to_ends)

    def off(self, a: Floats, b: Floats) -> float:
        """Least distance of segments a-b from the arc.

        It is least at an end of a segment, at its foot from the centre, where it meets the circle,
        or at an end of the arc.
        """
        along, from_centre = b - a, a - np.array(self.centre)
        square = np.maximum(np.sum(along**2, axis=1), 1e-30)
        foot = -np.sum(from_centre * along, axis=1) / square
        root = foot**2 - (np.sum(from_centre**2, axis=1) - self.radius**2) / square
        half = np.sqrt(np.maximum(root, 0))
        places = [a, b]
        for share in (foot, foot - half, foot + half):
            places.append(a + np.clip(share, 0, 1)[:, None] * along)
        near = min(float(self.points_off(p).min()) for p in places)
        return min(near, float(point_to_segments(self.ends, a, b).min()))


def line_off(a: Floats, b: Floats, one: XY, two: XY) -> float:
    """Least distance of segments a-b from the segment one-two; 0 where they cross."""
    return float(lines_off(a, b, np.array([one]), np.array([two]))[0])


def lines_off(a: Floats, b: Floats, p: Floats, q: Floats) -> Floats:
    """Least distance of segments a-b from each of the segments p-q; 0 where they cross."""
    near = np.minimum.reduce(
        [
            point_to_segments(p, a, b).min(axis=1),
            point_to_segments(q, a, b).min(axis=1),
            point_to_segments(a, p, q).min(axis=0),
            point_to_segments(b, p, q).min(axis=0),
        ]
    )
    parted = _left(a, b, p[:, None]) * _left(a, b, q[:, None])
    other = (_left(p, q, a[:, None]) * _left(p, q, b[:, None])).T
    return np.where(np.any((parted < 0) & (other < 0), axis=1), 0.0, near)


def _left(a: Floats, b: Floats, c: Floats) -> Floats:
    return (b[:, 0] - a[:, 0]) * (c[..., 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[..., 0] - a[:, 0])


def sides_of(lawn: Lawn) -> list[tuple[str, XY, XY | None, XY]]:
    """Kind, start, point that an arc passes, and end of each side."""
    ring = lawn.outline
    return [
        (v.side, v.at, v.through, w.at) for v, w in zip(ring, (*ring[1:], ring[0]), strict=True)
    ]


def sides_off(lawn: Lawn, a: Floats, b: Floats) -> list[float]:
    """Least distance of segments a-b from each side of a lawn as it was measured."""
    sides = sides_of(lawn)
    starts, ends = (np.array([side[end] for side in sides]) for end in (1, 3))
    off = lines_off(a, b, starts, ends)
    return [
        float(straight) if through is None else Arc(start, through, end).off(a, b)
        for (_, start, through, end), straight in zip(sides, off, strict=True)
    ]


def obstacle_off(obstacle: Obstacle, a: Floats, b: Floats) -> float:
    """Least distance of segments a-b from an obstacle as it was measured; 0 where they enter it."""
    if obstacle.circle is not None:
        centre = np.array([obstacle.circle.at])
        return max(0.0, float(point_to_segments(centre, a, b).min()) - obstacle.circle.radius)
    assert obstacle.polygon is not None
    ring = np.array([*obstacle.polygon, obstacle.polygon[0]])
    if bool(np.any(winding(ring, a[:1]) != 0)):
        return 0.0
    return float(lines_off(a, b, ring[:-1], ring[1:]).min())


def points_off(lawn: Lawn, points: Floats) -> list[tuple[str, Floats]]:
    """For each side of a lawn its kind and its distance from each point."""
    found = []
    for kind, start, through, end in sides_of(lawn):
        if through is None:
            off = point_to_segments(points, np.array([start]), np.array([end]))[:, 0]
        else:
            off = Arc(start, through, end).points_off(points)
        found.append((kind, off))
    return found


def points_off_obstacle(obstacle: Obstacle, points: Floats) -> Floats:
    """Distance of each point from an obstacle, 0 inside it."""
    if obstacle.circle is not None:
        far = np.hypot(*(points - np.array(obstacle.circle.at)).T)
        return np.maximum(0.0, far - obstacle.circle.radius)
    assert obstacle.polygon is not None
    ring = np.array([*obstacle.polygon, obstacle.polygon[0]])
    off = point_to_segments(points, ring[:-1], ring[1:]).min(axis=1)
    return np.where(winding(ring, points) != 0, 0.0, off)


def in_lawn(lawn: Lawn, points: Floats) -> NDArray[np.bool_]:
    """Whether each point lies inside the outline; arcs as chains of chords within 0.01 mm."""
    ring: list[XY] = []
    for _, start, through, end in sides_of(lawn):
        ring.append(start)
        if through is not None:
            ring.extend(_chain(Arc(start, through, end), start))
    return winding(np.array([*ring, ring[0]]), points) != 0


def _chain(arc: Arc, start: XY) -> list[XY]:
    step = 2 * math.acos(1 - 1e-5 / max(arc.radius, 2e-5))
    count = max(2, math.ceil(arc.sweep / step))
    angles = arc.start + arc.sweep * np.arange(1, count) / count
    chain = np.array(arc.centre) + arc.radius * np.column_stack((np.cos(angles), np.sin(angles)))
    points = [(float(x), float(y)) for x, y in chain]
    return points if math.dist(points[0], start) < math.dist(points[-1], start) else points[::-1]
