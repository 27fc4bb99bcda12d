"""Arcs through three points, by plain arithmetic."""

from __future__ import annotations

import math
from typing import NamedTuple

XY = tuple[float, float]

# The laid path is rounded to 0.1 mm; an arc flatter than a few of those is a straight side.
RISE_MIN_M = 0.0005
# Most that a flattened arc departs from the true one; the checks of the outline and the laid wire
# see the same chords.
ARC_SAG_M = 1.5e-4


class Arc(NamedTuple):
    """A part of a circle: centre, radius in metres, first angle and turn in radians.

    ``turn`` is positive anticlockwise.
    """

    centre: XY
    radius: float
    begin: float
    turn: float

    def point(self, share: float) -> XY:
        """The point at ``share`` (0 to 1) of the arc."""
        angle = self.begin + share * self.turn
        return (
            self.centre[0] + self.radius * math.cos(angle),
            self.centre[1] + self.radius * math.sin(angle),
        )


def arc_through(start: XY, through: XY, end: XY) -> Arc | None:
    """The arc from ``start`` through ``through`` to ``end``; ``None`` where there is no arc.

    That is where two of the points are one, or where ``through`` is within half a millimetre of
    the straight line between the ends.
    """
    # around the start point, so that large grid coordinates cost no digits
    ax, ay = through[0] - start[0], through[1] - start[1]
    bx, by = end[0] - start[0], end[1] - start[1]
    cross = ax * by - ay * bx
    chord = math.hypot(bx, by)
    if chord <= RISE_MIN_M or abs(cross) / chord <= RISE_MIN_M:
        return None
    a2, b2 = ax * ax + ay * ay, bx * bx + by * by
    cx, cy = (by * a2 - ay * b2) / (2.0 * cross), (ax * b2 - bx * a2) / (2.0 * cross)
    begin = math.atan2(-cy, -cx)
    turn = (math.atan2(by - cy, bx - cx) - begin) % math.tau
    if cross > 0.0:  # the through point lies right of the chord: the arc runs anticlockwise
        return Arc((start[0] + cx, start[1] + cy), math.hypot(cx, cy), begin, turn)
    return Arc((start[0] + cx, start[1] + cy), math.hypot(cx, cy), begin, turn - math.tau)


def circle_through(one: XY, two: XY, three: XY) -> tuple[XY, float] | None:
    """Centre and radius of the circle through three points, to a nanometre; ``None`` in a line."""
    arc = arc_through(one, two, three)
    if arc is None:
        return None
    x, y = arc.centre
    return (round(x, 9) + 0.0, round(y, 9) + 0.0), round(arc.radius, 9)


def flattened(start: XY, through: XY, end: XY, sag: float = ARC_SAG_M) -> list[XY]:
    """Points along an arc from ``start`` to just before ``end``, chords within ``sag`` metres."""
    arc = arc_through(start, through, end)
    if arc is None:
        return [start]
    step = 2.0 * math.acos(max(0.0, 1.0 - sag / arc.radius))
    count = max(2, math.ceil(abs(arc.turn) / step))
    return [start, *(arc.point(index / count) for index in range(1, count))]
