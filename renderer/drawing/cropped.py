"""A drawing without the blank paper round what is drawn."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from renderer.primitives import Area, Circle, Drawing, Line, Point, Primitive, Text, shifted
from renderer.text import ink_corners

MARGIN_MM = 1.0  # left on each side of the ink


def cropped(drawing: Drawing, *, sides: bool = False) -> Drawing:
    """The drawing as high as its ink needs, no higher than it was; with ``sides``, as wide too."""
    corners = [corner for item in drawing.items for corner in _corners(item)]
    if not corners:
        return drawing
    across, down = zip(*corners, strict=True)
    left, right = _span(across, drawing.width_mm) if sides else (0.0, drawing.width_mm)
    top, low = _span(down, drawing.height_mm)
    items = tuple(shifted(item, -left, -top) for item in drawing.items)
    size = round(right - left, 3), round(low - top, 3)
    return replace(drawing, width_mm=size[0], height_mm=size[1], items=items)


def _span(places: Iterable[float], size_mm: float) -> tuple[float, float]:
    found = tuple(places)
    return max(0.0, min(found) - MARGIN_MM), min(size_mm, max(found) + MARGIN_MM)


def _corners(item: Primitive) -> Iterator[Point]:
    """Places in mm that the ink of an item does not exceed, pens left out."""
    match item:
        case Line():
            yield from item.points
        case Area():
            yield from (point for ring in item.rings for point in ring)
        case Circle():
            (x, y), radius = item.at, item.radius_mm
            yield from ((x - radius, y - radius), (x + radius, y + radius))
        case Text():
            yield from ink_corners(
                item.text, item.face, item.size_pt, item.at, item.anchor, item.angle_deg
            )
        case _:
            yield item.at
