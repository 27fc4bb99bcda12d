"""Upright rectangles, and what of lines and rings lies in one."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from renderer.geometry.lines import chain

if TYPE_CHECKING:
    from renderer.geometry.lines import Chain, Point, Segment


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

    def moved(self, dx: float, dy: float) -> Rect:
        return Rect(self.x0 + dx, self.y0 + dy, self.x1 + dx, self.y1 + dy)

    def holds(self, point: Point) -> bool:
        return self.x0 <= point[0] <= self.x1 and self.y0 <= point[1] <= self.y1

    def corners(self) -> tuple[Point, Point, Point, Point]:
        return ((self.x0, self.y0), (self.x1, self.y0), (self.x1, self.y1), (self.x0, self.y1))


def bounds(chains: Iterable[Chain]) -> Rect:
    """The least upright rectangle that holds all the chains; there must be a point."""
    points = np.concatenate([c for c in chains if len(c)])
    low, high = points.min(axis=0), points.max(axis=0)
    return Rect(float(low[0]), float(low[1]), float(high[0]), float(high[1]))


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


def is_met(points: Chain, rect: Rect) -> bool:
    """Whether any piece of the chain lies in the rectangle, found without cutting it."""
    if len(points) < 2:
        return False
    x, y = points[:, 0], points[:, 1]
    if ((x > rect.x0) & (x < rect.x1) & (y > rect.y0) & (y < rect.y1)).any():
        return True
    return any(clip_segment(a, b, rect) for a, b in _segments_near(points, rect))


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
