"""Shapes that recur in a document, and so are kept in its file only once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from renderer.primitives import Area, Circle, Page, Pen
from renderer.units import POINTS_PER_MM

# From how many corners, and from how many circles on, a form object is the shorter way.
SHARED_CORNERS = 50
SHARED_CIRCLES = 12

Look = tuple[float, Pen | None, str | None]
"""Radius in mm, pen and fill of a circle, wherever it stands."""


def look(circle: Circle) -> Look:
    return circle.radius_mm, circle.pen, circle.fill


def large_areas(page: Page) -> tuple[Area, ...]:
    """The areas of a page that are large enough to be kept once if they come again."""
    return tuple(item for item in page.items if isinstance(item, Area) and _is_large(item))


def frequent_circles(page: Page) -> Sequence[Look]:
    """The circles that stand on a page so often that they are worth keeping once."""
    counts = Counter(look(item) for item in page.items if isinstance(item, Circle))
    return [look for look, count in counts.items() if count >= SHARED_CIRCLES]


def _is_large(area: Area) -> bool:
    return sum(map(len, area.rings)) >= SHARED_CORNERS


def bounds(shape: Area | Look) -> tuple[float, float, float, float]:
    """Left, bottom, right and top in points, y upwards from the page's top, with a little room."""
    if isinstance(shape, Area):
        xs, ys = zip(*(point for ring in shape.rings for point in ring), strict=True)
        room = 5 * shape.pen.width_mm if shape.pen else 0.0  # the longest tip of a mitred corner
    else:
        xs = ys = (-shape[0], shape[0])
        room = shape[1].width_mm if shape[1] else 0.0
    room += 0.1
    edges = (min(xs) - room, -max(ys) - room, max(xs) + room, -min(ys) + room)
    left, low, right, top = (round(edge * POINTS_PER_MM, 3) for edge in edges)
    return left, low, right, top
