"""From the ground in metres to the paper in millimetres, and back."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from renderer.drawing.scale import Fit, turned
from renderer.frozen import dataclass
from renderer.geometry.lines import chain
from renderer.geometry.rects import Rect, bounds
from renderer.units import MM_PER_M

if TYPE_CHECKING:
    from renderer.geometry.lines import Chain, Point


@dataclass(frozen=True, slots=True)
class View:
    """A turn, a scale 1:N and a shift. ``ground`` lies at ``paper``; ``frame`` is what is drawn."""

    scale: float
    rotation_deg: float
    ground: tuple[float, float]
    paper: tuple[float, float]
    frame: Rect

    @property
    def mm_per_m(self) -> float:
        return MM_PER_M / self.scale

    def _axes(self) -> tuple[float, float]:
        angle = math.radians(self.rotation_deg)
        return math.cos(angle) * self.mm_per_m, math.sin(angle) * self.mm_per_m

    def chain(self, points: Chain) -> Chain:
        """Ground points of shape (n, 2) in metres as paper points in mm, y down."""
        c, s = self._axes()
        x, y = points[:, 0] - self.ground[0], points[:, 1] - self.ground[1]
        return np.column_stack((self.paper[0] + c * x - s * y, self.paper[1] - s * x - c * y))

    def point(self, at: tuple[float, float]) -> Point:
        """One ground point on paper."""
        c, s = self._axes()
        x, y = at[0] - self.ground[0], at[1] - self.ground[1]
        return self.paper[0] + c * x - s * y, self.paper[1] - s * x - c * y

    def back(self, at: Point) -> tuple[float, float]:
        """The ground point, in metres, of a point on paper."""
        c, s = self._axes()
        u, v = at[0] - self.paper[0], self.paper[1] - at[1]
        square = c * c + s * s
        return self.ground[0] + (c * u + s * v) / square, self.ground[1] + (c * v - s * u) / square

    def window(self, more_mm: float = 0.0) -> Rect:
        """The upright rectangle on the ground about the frame and ``more_mm`` of paper, metres."""
        return bounds([chain(self.back(corner) for corner in self.frame.grown(more_mm).corners())])

    def mm(self, metres: float) -> float:
        """A length on the ground as it is on paper."""
        return metres * self.mm_per_m

    def sees(self, at: tuple[float, float]) -> bool:
        """Whether a ground point falls inside the frame."""
        return self.frame.holds(self.point(at))


def centred(points: Chain, fit: Fit, frame: Rect) -> View:
    """The view that lays the middle of the ground points in the middle of the frame."""
    flat = turned(points, fit.rotation_deg)
    low, high = flat.min(axis=0), flat.max(axis=0)
    x, y = turned(((low + high) / 2).reshape(1, 2), -fit.rotation_deg)[0]
    return View(fit.scale, fit.rotation_deg, (float(x), float(y)), frame.centre, frame)
