"""A backend that draws nothing: it records what would be printed where, for tests to read."""

from __future__ import annotations

from collections.abc import Iterable
from typing import assert_never

from renderer.frozen import dataclass
from renderer.output.shapes import check_glyphs, field_lines, text_corners
from renderer.primitives import (
    Area,
    Circle,
    Document,
    Field,
    Line,
    Link,
    Pen,
    Picture,
    Point,
    Primitive,
    Ruler,
    Text,
)

Extent = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Drawn:
    """One thing on a page.

    ``page`` counts from 1, ``order`` is its place in the page's list, ``corners`` bound
    its ink in mm, the pen's width included, turned with a turned text; ``text`` is the
    text of a text and empty for all else.
    """

    page: int
    order: int
    kind: str
    role: str
    corners: tuple[Point, Point, Point, Point]
    item: Primitive
    text: str = ""

    @property
    def box(self) -> Extent:
        """The upright bounds (x0, y0, x1, y1) in mm, y down."""
        return _upright(self.corners)


def record(document: Document) -> tuple[Drawn, ...]:
    """Everything that a document would print, page by page, in the order of painting.

    Raises ``renderer.text.MissingGlyph`` as the other backends do.
    """
    return tuple(
        _drawn(item, number, order)
        for number, page in enumerate(document.pages, start=1)
        for order, item in enumerate(page.items)
        if _has_extent(item)
    )


def touch(one: Drawn, other: Drawn, gap_mm: float = 0.0) -> bool:
    """Whether two things of one page come nearer to each other than ``gap_mm``.

    Turned texts count with their turned box: two boxes are apart where a line along a
    side of one of them parts them.
    """
    if one.page != other.page:
        return False
    return not any(
        _parted(one.corners, other.corners, axis, gap_mm)
        for axis in (*_axes(one.corners), *_axes(other.corners))
    )


def _has_extent(item: Primitive) -> bool:
    if isinstance(item, Line):
        return bool(item.points)
    return not isinstance(item, Ruler) and (not isinstance(item, Area) or any(item.rings))


def _drawn(item: Primitive, page: int, order: int) -> Drawn:
    if isinstance(item, Text):
        check_glyphs(item, page)
        return Drawn(page, order, "text", item.role, text_corners(item), item, item.text)
    kind = type(item).__name__.lower()
    role = "" if isinstance(item, Link) else item.role
    return Drawn(page, order, kind, role, _box_corners(_bounds(item)), item)


def _bounds(item: Primitive) -> Extent:
    match item:
        case Line():
            return _round_points(item.points, item.pen)
        case Area():
            return _round_points([point for ring in item.rings for point in ring], item.pen)
        case Circle():
            (x, y), r = item.at, item.radius_mm
            return _round_points([(x - r, y - r), (x + r, y + r)], item.pen)
        case Text():
            return _upright(text_corners(item))
        case Field():
            return _union([_bounds(line) for line in field_lines(item)])
        case Picture() | Link() | Ruler():
            x, y = item.at
            return x, y, x + item.width_mm, y + item.height_mm
        case _:
            assert_never(item)


def _upright(corners: Iterable[Point]) -> Extent:
    xs, ys = zip(*corners, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _round_points(points: Iterable[Point], pen: Pen | None) -> Extent:
    xs, ys = zip(*points, strict=True)
    half = pen.width_mm / 2 if pen else 0.0
    return min(xs) - half, min(ys) - half, max(xs) + half, max(ys) + half


def _union(boxes: Iterable[Extent]) -> Extent:
    lefts, tops, rights, lows = zip(*boxes, strict=True)
    return min(lefts), min(tops), max(rights), max(lows)


def _box_corners(box: Extent) -> tuple[Point, Point, Point, Point]:
    x0, y0, x1, y1 = box
    return (x0, y0), (x1, y0), (x1, y1), (x0, y1)


def _axes(corners: tuple[Point, ...]) -> tuple[Point, Point]:
    """Unit vectors along the two sides of a box, upright where the box has no extent."""
    (ax, ay), (bx, by) = corners[0], corners[1]
    length = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5
    if not length:
        return (1.0, 0.0), (0.0, 1.0)
    along = (bx - ax) / length, (by - ay) / length
    return along, (-along[1], along[0])


def _parted(one: tuple[Point, ...], other: tuple[Point, ...], axis: Point, gap_mm: float) -> bool:
    first = [x * axis[0] + y * axis[1] for x, y in one]
    second = [x * axis[0] + y * axis[1] for x, y in other]
    return min(second) - max(first) >= gap_mm or min(first) - max(second) >= gap_mm
