"""From the coordinates of a plan to degrees, where the plan says where on earth it lies."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

from renderer.formats.earth import Plane
from renderer.plan.errors import PlanError

if TYPE_CHECKING:
    from renderer.geometry.point import Point
    from renderer.plan.model import Plan

DECIMALS = 7  # of a degree: 11 mm on the ground


def degrees_of(plan: Plan, path: str) -> Callable[[Point], tuple[float, float]]:
    """Longitude and latitude of a place of the plan, metres to degrees of WGS 84.

    Raises PlanError where the plan has no position.
    """
    position, north = plan.position, plan.north
    if position is None or north is None:
        problem = "the plan does not say where on earth it lies, and this format is in degrees"
        cure = "add position: {at: [0, 0], latitude: 52.0571, longitude: 1.1523}, and north: 0"
        raise PlanError(path, 0, "position", problem, cure)
    plane = Plane(path, [(position.longitude, position.latitude)])
    sine, cosine = math.sin(math.radians(north)), math.cos(math.radians(north))

    def place(at: Point) -> tuple[float, float]:
        x, y = at[0] - position.at[0], at[1] - position.at[1]
        longitude, latitude = plane.back((x * cosine - y * sine, x * sine + y * cosine))
        return round(longitude, DECIMALS), round(latitude, DECIMALS)

    return place
