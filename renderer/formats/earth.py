"""Degrees of latitude and longitude as metres on a plane about the middle of a garden."""

from __future__ import annotations

import math
from collections.abc import Sequence

from renderer.formats.found import Point
from renderer.plan.errors import PlanError

# WGS 84, EPSG:7030: https://epsg.org/ellipsoid_7030/WGS-84.html
AXIS_M = 6378137.0
FLATTENING = 1 / 298.257223563
ACROSS_MOST_M = 500.0
LATITUDE_MOST = 80.0


class Plane:
    """Metres east and north of the middle of some places, each longitude and latitude in degrees.

    Along the meridian and the parallel of the middle lengths are those of the ellipsoid; away from
    it they are off by no more than ``error_m``. Raises PlanError for places too far apart.
    """

    def __init__(self, path: str, places: Sequence[Point]) -> None:
        if not places:
            raise PlanError(path, 0, "", "it contains no positions", "export the garden's outline")
        for lon, lat in places:
            if not (math.isfinite(lon) and math.isfinite(lat)) or not -180 <= lon <= 180:
                raise PlanError(
                    path, 0, "", f"{lon}, {lat} is not a position", "write longitude first"
                )
            if abs(lat) > LATITUDE_MOST:
                cure = "longitude comes first in each pair; latitudes go up to 80 degrees"
                raise PlanError(path, 0, "", f"{lat} is not a usable latitude", cure)
        self._from = places[0][0]
        east = [self._turned(lon) for lon, _ in places]
        north = [lat for _, lat in places]
        self._lon = (min(east) + max(east)) / 2.0
        self.latitude = (min(north) + max(north)) / 2.0
        squared = FLATTENING * (2 - FLATTENING)
        curved = 1 - squared * math.sin(math.radians(self.latitude)) ** 2
        self._across = AXIS_M / math.sqrt(curved) * math.cos(math.radians(self.latitude))
        self._along = AXIS_M * (1 - squared) / curved**1.5
        far = [math.hypot(*self.at(place)) for place in places]
        self.radius_m = max(far)
        if 2 * self.radius_m > ACROSS_MOST_M:
            raise PlanError(
                path,
                0,
                "",
                f"its positions spread over {2 * self.radius_m:,.0f} m",
                f"export one garden by itself, at most {ACROSS_MOST_M:.0f} m across",
            )

    @property
    def longitude(self) -> float:
        """That of the middle, degrees."""
        return (self._from + self._lon + 180.0) % 360.0 - 180.0

    @property
    def error_m(self) -> float:
        """By how much a length from the middle may be off, metres: r² (1.1 tan φ + 0.3) / 2R."""
        steep = 1.1 * math.tan(math.radians(abs(self.latitude))) + 0.3
        return self.radius_m**2 * steep / (2 * AXIS_M)

    def at(self, place: Point) -> Point:
        """Metres east and north of the middle."""
        lon, lat = place
        return (
            math.radians(self._turned(lon) - self._lon) * self._across,
            math.radians(lat - self.latitude) * self._along,
        )

    def back(self, at: Point) -> Point:
        """Longitude and latitude of a place in metres east and north of the middle, degrees."""
        east, north = at
        longitude = self.longitude + math.degrees(east / self._across)
        return (longitude + 180.0) % 360.0 - 180.0, self.latitude + math.degrees(
            north / self._along
        )

    def _turned(self, lon: float) -> float:
        """Degrees east of the first place, so that the 180th meridian may run through a garden."""
        return (lon - self._from + 180.0) % 360.0 - 180.0

    def told(self, path: str) -> str:
        """Where the plan's zero is, and how true its lengths are."""
        middle = f"{self.latitude:.6f}, {self.longitude:.6f}"
        error = max(1, math.ceil(self.error_m * 1000))
        return (
            f"From {path}: metres east and north of latitude and longitude {middle} (WGS 84); "
            f"the plane adds no more than {error} mm."
        )
