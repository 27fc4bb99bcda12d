"""The strip on both sides of a marked service that no peg is driven into."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.ground.slope import feature_shape
from renderer.ground.stations import SAME_M, TOGETHER_M
from renderer.trade import SERVICE_STRIP_M

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import Points
    from renderer.ground.stations import Floats
    from renderer.plan.model import Feature

SERVICES = ("buried cable", "buried pipe")
ROUNDED_M = 2e-3  # so much wider that rounding puts no peg inside

Stretch = tuple[float, float]


def service_strips(features: Sequence[Feature]) -> BaseGeometry | None:
    """The ground that no peg may stand on, or ``None`` where no service is marked."""
    shapes = [feature_shape(feature) for feature in features if feature.kind in SERVICES]
    if not shapes:
        return None
    strips = shapely.union_all(shapely.buffer(shapes, SERVICE_STRIP_M + ROUNDED_M, quad_segs=16))
    shapely.prepare(strips)
    return strips


def shut_stretches(points: Points, at: Floats, strips: BaseGeometry | None) -> list[Stretch]:
    """Where a piece of wire runs within the strips, as running distances, in order.

    ``points`` (n, 2) are the wire in metres and ``at`` (n,) its running distances.
    """
    if strips is None or not shapely.intersects(shapely.linestrings(points), strips):
        return []
    found: list[Stretch] = []
    steps = shapely.linestrings(np.stack((points[:-1], points[1:]), axis=1))
    for i in np.flatnonzero(shapely.intersects(strips, steps)).tolist():
        one = points[i]
        parts = shapely.get_parts(shapely.intersection(steps[i], strips))
        for part in parts[~shapely.is_empty(parts)]:
            ends = shapely.get_coordinates(part)[[0, -1]]
            first, last = sorted((at[i] + np.hypot(*(ends - one).T)).tolist())
            if found and first <= found[-1][1] + TOGETHER_M:
                found[-1] = (found[-1][0], max(found[-1][1], last))
            else:
                found.append((first, last))
    return [each for each in found if each[1] - each[0] > SAME_M]


def between_stops(shut: Sequence[Stretch], stops: Sequence[float]) -> list[Stretch]:
    """The stretches parted at each of ``stops`` that lies inside one."""
    parts: list[Stretch] = []
    for first, last in shut:
        inner = [stop for stop in stops if first + TOGETHER_M < stop < last - TOGETHER_M]
        parts += pairwise([first, *inner, last])
    return parts
