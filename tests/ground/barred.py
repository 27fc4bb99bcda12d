"""What no tape runs through, as segments from the plan's own points, and whether one is crossed.

The crossing of two segments is worked out from the signs of four triangles.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import numpy as np

from renderer.plan.model import Plan

Point = tuple[float, float]
Segment = tuple[Point, Point]
SLACK_M = 0.03  # a tape that lies along a face, or starts at it, is not through it
STOPPING = {"wall", "fence", "hedge", "water", "drop", "road"}


def area(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def crosses(tape: Segment, wall: Segment) -> bool:
    """Whether two segments cross, both by more than the slack on either side of the wall."""
    long = math.dist(*wall)
    off = [area(*wall, end) / long for end in tape]
    if off[0] * off[1] >= 0 or min(map(abs, off)) <= SLACK_M:
        return False
    return area(*tape, wall[0]) * area(*tape, wall[1]) < 0


def ring(points: Any) -> Iterator[Segment]:
    return pairwise([*points, points[0]])


def faces(plan: Plan) -> Iterator[Segment]:
    """All that stops a tape, as segments of straight sides and sixteen-sided circles."""
    for lawn in plan.lawns:
        corners = lawn.outline
        for one, two in pairwise([*corners, corners[0]]):
            if one.side in STOPPING and one.through is None:
                yield one.at, two.at
    bodies = [o for o in plan.obstacles if o.kind in STOPPING | {"firm", "tree"}]
    for body in [*bodies, *(f for f in plan.features if f.kind == "building")]:
        if body.polygon:
            yield from ring(body.polygon)
        elif body.circle:
            (x, y), r = body.circle.at, body.circle.radius - SLACK_M
            angles = np.linspace(0, math.tau, 16, endpoint=False)
            yield from ring([(x + r * math.cos(a), y + r * math.sin(a)) for a in angles])
