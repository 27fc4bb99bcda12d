"""Plain geometry that tests judge by, written apart from the engine, importing nothing of it."""

from __future__ import annotations

import itertools
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
    a, b = path[:-1], path[1:]
    turns = np.zeros(len(points), dtype=np.int64)
    for i, (x, y) in enumerate(points):
        left = (b[:, 0] - a[:, 0]) * (y - a[:, 1]) - (x - a[:, 0]) * (b[:, 1] - a[:, 1])
        up = (a[:, 1] <= y) & (b[:, 1] > y) & (left > 0)
        down = (a[:, 1] > y) & (b[:, 1] <= y) & (left < 0)
        turns[i] = np.count_nonzero(up) - np.count_nonzero(down)
    return turns


def point_to_segments(points: Floats, a: Floats, b: Floats) -> Floats:
    """Distance of each of n points from each of m segments, shape (n, m)."""
    along = b - a
    square = np.maximum(np.sum(along**2, axis=1), 1e-30)
    off = points[:, None, :] - a[None]
    share = np.clip(np.sum(off * along[None], axis=2) / square, 0, 1)
    return np.hypot(*(off - share[..., None] * along[None]).transpose(2, 0, 1))


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
    p, q = np.array([one]), np.array([two])
    ends = np.concatenate([a, b])
    near = min(
        float(point_to_segments(np.concatenate([p, q]), a, b).min()),
        float(point_to_segments(ends, p, q).min()),
    )
    side = _left(a, b, p[0]) * _left(a, b, q[0])
    other = _left(p, q, a) * _left(p, q, b)
    return 0.0 if bool(np.any((side < 0) & (other < 0))) else near


def _left(a: Floats, b: Floats, c: Floats) -> Floats:
    return (b[:, 0] - a[:, 0]) * (c[..., 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[..., 0] - a[:, 0])


def sides_of(lawn: Lawn) -> list[tuple[str, XY, XY | None, XY]]:
    """Kind, start, point that an arc passes, and end of each side."""
    ring = lawn.outline
    return [
        (v.side, v.at, v.through, w.at) for v, w in zip(ring, (*ring[1:], ring[0]), strict=True)
    ]


def side_off(side: tuple[str, XY, XY | None, XY], a: Floats, b: Floats) -> float:
    """Least distance of segments a-b from a side as it was measured."""
    _, start, through, end = side
    if through is None:
        return line_off(a, b, start, end)
    return Arc(start, through, end).off(a, b)


def obstacle_off(obstacle: Obstacle, a: Floats, b: Floats) -> float:
    """Least distance of segments a-b from an obstacle as it was measured; 0 where they enter it."""
    if obstacle.circle is not None:
        centre = np.array([obstacle.circle.at])
        return max(0.0, float(point_to_segments(centre, a, b).min()) - obstacle.circle.radius)
    assert obstacle.polygon is not None
    ring = np.array([*obstacle.polygon, obstacle.polygon[0]])
    if bool(np.any(winding(ring, a[:1]) != 0)):
        return 0.0
    corners = [(float(x), float(y)) for x, y in ring]
    return min(line_off(a, b, p, q) for p, q in itertools.pairwise(corners))


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
