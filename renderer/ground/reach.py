"""The longest chords along a bent wire that keep within a length and a sag."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from renderer.ground.stations import SAME_M

if TYPE_CHECKING:
    from renderer.ground.lay import Point, Points
    from renderer.ground.stations import Floats


class Reach:
    """Chord after chord along a wire, each as long as spacing and sag allow.

    A chord keeps within the sag of a vertex when its direction lies between the two tangents from
    its start to the circle of that radius about the vertex; the meeting of these sectors is carried
    along, so each vertex is looked at about once.
    """

    def __init__(self, points: Points, at: Floats, most_m: float, sag_m: float) -> None:
        self.xy: list[Point] = [(float(x), float(y)) for x, y in points]
        self.at: list[float] = at.tolist()
        self.most = most_m
        self.sag = sag_m * (1.0 - 1e-6)

    def cuts(self) -> Floats:
        """All chord ends, the first and the last point of the wire included."""
        found, start, vertex = [self.at[0]], self.xy[0], 1
        while found[-1] < self.at[-1] - SAME_M:
            at, start, vertex = self._chord(start, found[-1], vertex)
            found.append(at)
        found[-1] = self.at[-1]
        return np.asarray(found)

    def _chord(self, start: Point, start_at: float, vertex: int) -> tuple[float, Point, int]:
        """Where a chord from a place before a vertex ends: distance, point, next vertex."""
        left = right = None
        before, before_at = start, start_at
        while vertex < len(self.at):
            point, at = self.xy[vertex], self.at[vertex]
            share = min(1.0, (start_at + self.most - before_at) / max(at - before_at, 1e-12))
            end = _between(before, point, share)
            held = _share_inside(start, before, end, left, right)
            if held < 1.0 or share < 1.0:
                share *= held
                return before_at + share * (at - before_at), _between(before, point, share), vertex
            left, right = self._narrowed(start, point, left, right)
            before, before_at = point, at
            vertex += 1
        return before_at, before, vertex

    def _narrowed(
        self,
        start: Point,
        point: Point,
        left: Point | None,
        right: Point | None,
    ) -> tuple[Point | None, Point | None]:
        """The sector of directions after one more vertex."""
        x, y = point[0] - start[0], point[1] - start[1]
        square = x * x + y * y
        if square <= self.sag * self.sag:
            return left, right
        far = math.sqrt(square - self.sag * self.sag)
        a, b = x * far - y * self.sag, x * self.sag + y * far
        c, d = x * far + y * self.sag, -x * self.sag + y * far
        if left is None or left[0] * b - left[1] * a < 0.0:
            left = (a, b)
        if right is None or right[0] * d - right[1] * c > 0.0:
            right = (c, d)
        return left, right


def _between(one: Point, two: Point, share: float) -> Point:
    return one[0] + (two[0] - one[0]) * share, one[1] + (two[1] - one[1]) * share


def _share_inside(
    start: Point,
    one: Point,
    two: Point,
    left: Point | None,
    right: Point | None,
) -> float:
    """How much of the segment from ``one`` on lies in the sector seen from ``start``, 0 to 1."""
    share = 1.0
    for bound, sign in ((left, -1.0), (right, 1.0)):
        if bound is None:
            continue
        near = sign * (bound[0] * (one[1] - start[1]) - bound[1] * (one[0] - start[0]))
        away = sign * (bound[0] * (two[1] - start[1]) - bound[1] * (two[0] - start[0]))
        if away < 0.0:
            share = min(share, max(near, 0.0) / (max(near, 0.0) - away))
    return share
