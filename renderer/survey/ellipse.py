"""How sure a point is: deviations and the error ellipse, from its covariance."""

from __future__ import annotations

import math
from dataclasses import dataclass

from renderer.survey.model import Floats
from renderer.survey.network import XY


@dataclass(frozen=True, slots=True)
class Ellipse:
    """Half axes of one standard deviation in metres; ``azimuth_deg`` of the longer, from y."""

    major: float
    minor: float
    azimuth_deg: float

    def towards(self, at: XY) -> float:
        """The deviation in the direction of a vector, metres."""
        turn = math.atan2(at[0], at[1]) - math.radians(self.azimuth_deg)
        return math.hypot(self.major * math.cos(turn), self.minor * math.sin(turn))


def ellipse_of(covariance: Floats) -> Ellipse:
    """The ellipse of a covariance (2, 2) in square metres."""
    xx, xy, yy = float(covariance[0, 0]), float(covariance[0, 1]), float(covariance[1, 1])
    middle, half = (xx + yy) / 2.0, math.hypot((xx - yy) / 2.0, xy)
    major = math.sqrt(max(0.0, middle + half))
    minor = math.sqrt(max(0.0, middle - half))
    azimuth = math.degrees(0.5 * math.atan2(2.0 * xy, yy - xx)) % 180.0
    return Ellipse(major, minor, azimuth if half > 1e-12 * (middle or 1.0) else 0.0)
