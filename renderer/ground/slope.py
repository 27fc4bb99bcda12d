"""Wire that a slope takes beyond its length on the plan."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shapely import Polygon
    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import Points
    from renderer.plan.model import Feature

QUADRANT_SEGMENTS = 64


def slope_factor(percent: float) -> float:
    """Length along the fall line of a slope over its length on the plan."""
    return math.hypot(1.0, percent / 100.0)


def feature_area(feature: Feature) -> Polygon | None:
    """The ground a feature covers, where it is a polygon or a circle."""
    if feature.polygon is not None:
        return shapely.Polygon(feature.polygon)
    if feature.circle is not None:
        centre = shapely.Point(feature.circle.at)
        return centre.buffer(feature.circle.radius, quad_segs=QUADRANT_SEGMENTS)
    return None


def feature_shape(feature: Feature) -> BaseGeometry:
    """What a feature covers on the ground: its area, its line or its point."""
    area = feature_area(feature)
    if area is not None:
        return area
    if feature.line is not None:
        return shapely.linestrings(np.array(feature.line))
    assert feature.at is not None
    return shapely.Point(feature.at)


def slope_extra(points: Points, features: Iterable[Feature]) -> float:
    """Metres of wire to add because the line ``points`` (n, 2) lies on slopes.

    Each stretch counts as running straight up or down, the most it can take; where slopes overlap
    the steepest counts.
    """
    slopes = [
        (feature.percent, area)
        for feature in features
        if feature.kind == "slope" and feature.percent
        if (area := feature_area(feature)) is not None
    ]
    slopes.sort(key=lambda slope: -abs(slope[0]))
    wire = shapely.linestrings(np.stack((points[:-1], points[1:]), axis=1))
    extra = 0.0
    covered = shapely.Polygon()
    for percent, area in slopes:
        fresh = area if covered.is_empty else area.difference(covered)
        covered = covered.union(area)
        shapely.prepare(fresh)
        near = wire[shapely.intersects(fresh, wire)]
        on_slope = float(shapely.length(shapely.intersection(near, fresh)).sum())
        extra += on_slope * (slope_factor(percent) - 1.0)
    return extra
