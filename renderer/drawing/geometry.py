"""Plain plane geometry on paper: chains of points cut, walked along, moved aside and hatched.

Everything is in millimetres of paper and in numpy arrays of shape (n, 2). Nothing
here knows of plans or symbols.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from renderer.ground.stations import distances

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Chain = NDArray[np.float64]

Point = tuple[float, float]
Segment = tuple[Point, Point]


class Rect(NamedTuple):
    """An upright rectangle by its least and greatest x and y."""

    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def width(self) -> float:
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        return self.y1 - self.y0

    @property
    def centre(self) -> Point:
        return ((self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2)

    def grown(self, by: float) -> Rect:
        return Rect(self.x0 - by, self.y0 - by, self.x1 + by, self.y1 + by)

    def holds(self, point: Point) -> bool:
        return self.x0 <= point[0] <= self.x1 and self.y0 <= point[1] <= self.y1

    def corners(self) -> tuple[Point, Point, Point, Point]:
        return ((self.x0, self.y0), (self.x1, self.y0), (self.x1, self.y1), (self.x0, self.y1))


def chain(points: Iterable[Point]) -> Chain:
    """The points as an array of shape (n, 2)."""
    return np.asarray(list(points), dtype=np.float64).reshape(-1, 2)


def as_points(points: Chain) -> tuple[Point, ...]:
    """The array as plain tuples, rounded to a micrometre so that equal input prints equal."""
    return tuple((x, y) for x, y in np.round(points, 3).tolist())


def bounds(chains: Iterable[Chain]) -> Rect:
    """The least upright rectangle that holds all the chains; there must be a point."""
    points = np.concatenate([c for c in chains if len(c)])
    low, high = points.min(axis=0), points.max(axis=0)
    return Rect(float(low[0]), float(low[1]), float(high[0]), float(high[1]))


def without_repeats(points: Chain, least: float = 1e-9) -> Chain:
    """The chain without points that lie on the point before them."""
    if len(points) < 2:
        return points
    step = np.hypot(*np.diff(points, axis=0).T)
    kept: Chain = points[np.concatenate(([True], step > least))]
    return kept


def length(points: Chain) -> float:
    """Length of the chain."""
    return float(distances(points)[-1]) if len(points) else 0.0


def at_distances(points: Chain, wanted: NDArray[np.float64]) -> tuple[Chain, Chain]:
    """Places at the running distances and the unit directions of the chain there."""
    points = without_repeats(points)
    run = distances(points)
    place = np.column_stack(
        (np.interp(wanted, run, points[:, 0]), np.interp(wanted, run, points[:, 1]))
    )
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


def stretch(points: Chain, start: float, end: float) -> Chain:
    """The part of the chain between two running distances."""
    points = without_repeats(points)
    run = distances(points)
    inner = points[(run > start + 1e-9) & (run < end - 1e-9)]
    ends = np.array([start, end])
    tips = np.column_stack((np.interp(ends, run, points[:, 0]), np.interp(ends, run, points[:, 1])))
    return np.concatenate((tips[:1], inner, tips[1:]))


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


def clip_segment(a: Point, b: Point, rect: Rect) -> Segment | None:
    """The part of a straight line inside the rectangle (Liang-Barsky), or ``None``."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    low, high = 0.0, 1.0
    for step, room in (
        (-dx, a[0] - rect.x0),
        (dx, rect.x1 - a[0]),
        (-dy, a[1] - rect.y0),
        (dy, rect.y1 - a[1]),
    ):
        if step == 0:
            if room < 0:
                return None
        elif step < 0:
            low = max(low, room / step)
        else:
            high = min(high, room / step)
    if low >= high:
        return None
    return (a[0] + low * dx, a[1] + low * dy), (a[0] + high * dx, a[1] + high * dy)


def clip_chain(points: Chain, rect: Rect) -> list[Chain]:
    """The pieces of the chain inside the rectangle, in order; the chain itself if all of it is."""
    if len(points) < 2:
        return []
    low, high = points.min(axis=0), points.max(axis=0)
    if low[0] >= rect.x0 and low[1] >= rect.y0 and high[0] <= rect.x1 and high[1] <= rect.y1:
        return [points]
    if high[0] < rect.x0 or high[1] < rect.y0 or low[0] > rect.x1 or low[1] > rect.y1:
        return []
    pieces: list[list[Point]] = []
    for a, b in _segments_near(points, rect):
        part = clip_segment(a, b, rect)
        if part is None:
            continue
        if pieces and pieces[-1][-1] == part[0]:
            pieces[-1].append(part[1])
        else:
            pieces.append(list(part))
    return [chain(piece) for piece in pieces]


def _segments_near(points: Chain, rect: Rect) -> Iterable[Segment]:
    """The steps of a chain whose bounds meet the rectangle, in order."""
    a, b = points[:-1], points[1:]
    low, high = np.minimum(a, b), np.maximum(a, b)
    near = (low <= (rect.x1, rect.y1)).all(axis=1) & (high >= (rect.x0, rect.y0)).all(axis=1)
    for p, q in zip(a[near].tolist(), b[near].tolist(), strict=True):
        yield (p[0], p[1]), (q[0], q[1])


def clip_ring(points: Chain, rect: Rect) -> Chain:
    """The ring cut by the rectangle (Sutherland-Hodgman); may be empty, is not closed again."""
    ring: list[Point] = [(x, y) for x, y in points.tolist()]
    if len(ring) > 1 and ring[0] == ring[-1]:
        ring = ring[:-1]
    for axis, edge, keep_low in (
        (0, rect.x0, False),
        (0, rect.x1, True),
        (1, rect.y0, False),
        (1, rect.y1, True),
    ):
        ring = _clip_half(ring, axis, edge, keep_low)
    return chain(ring)


def _clip_half(ring: Sequence[Point], axis: int, edge: float, keep_low: bool) -> list[Point]:
    out: list[Point] = []
    for a, b in zip(ring, [*ring[1:], *ring[:1]], strict=True):
        inside_a = a[axis] <= edge if keep_low else a[axis] >= edge
        inside_b = b[axis] <= edge if keep_low else b[axis] >= edge
        if inside_a:
            out.append(a)
        if inside_a != inside_b:
            t = (edge - a[axis]) / (b[axis] - a[axis])
            out.append((a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))
    return out


def hatch(
    rings: Sequence[Chain], pitch: float, angle_deg: float, shift: float = 0.0
) -> list[Segment]:
    """Parallel lines that fill the rings by the even-odd rule, ``angle_deg`` anticlockwise.

    Lines lie on a grid fixed to the paper, so that neighbouring areas match.
    """
    angle = np.radians(-angle_deg)
    c, s = float(np.cos(angle)), float(np.sin(angle))
    turned = [np.column_stack((r @ (c, s), r @ (-s, c))) for r in rings if len(r) > 2]
    if not turned:
        return []
    starts = np.concatenate(turned)
    ends = np.concatenate([np.roll(r, -1, axis=0) for r in turned])
    low, high = starts[:, 1].min(), starts[:, 1].max()
    lines: list[Segment] = []
    for row in np.arange(np.ceil((low - shift) / pitch), np.floor((high - shift) / pitch) + 1):
        y = float(row * pitch + shift) + 1e-7
        crossing = (starts[:, 1] <= y) != (ends[:, 1] <= y)
        a, b = starts[crossing], ends[crossing]
        xs = np.sort(a[:, 0] + (y - a[:, 1]) / (b[:, 1] - a[:, 1]) * (b[:, 0] - a[:, 0])).tolist()
        for x0, x1 in zip(xs[::2], xs[1::2], strict=False):
            lines.append(((x0 * c - y * s, x0 * s + y * c), (x1 * c - y * s, x1 * s + y * c)))
    return lines


def area(points: Chain) -> float:
    """Signed area of a ring; positive where it runs anticlockwise with y up."""
    x, y = points[:, 0], points[:, 1]
    return float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum() / 2)


def inside(point: Point, ring: Chain) -> bool:
    """Whether the point lies inside the ring, by the even-odd rule."""
    return bool(are_inside(chain([point]), ring)[0])


def are_inside(points: Chain, ring: Chain) -> NDArray[np.bool_]:
    """For each point whether it lies inside the ring, by the even-odd rule."""
    a, b = ring, np.roll(ring, -1, axis=0)
    x, y = points[:, :1], points[:, 1:]
    crossing = (a[:, 1] <= y) != (b[:, 1] <= y)
    rise = np.where(a[:, 1] == b[:, 1], 1.0, b[:, 1] - a[:, 1])
    meets = a[:, 0] + (y - a[:, 1]) / rise * (b[:, 0] - a[:, 0])
    odd: NDArray[np.bool_] = np.count_nonzero(crossing & (meets > x), axis=1) % 2 == 1
    return odd
