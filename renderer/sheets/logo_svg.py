"""A logo's SVG drawing as lines and areas.

svgelements reads it, and this is the one place that knows it. A firm's logo is data that comes
in; no plan goes this way.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from io import BytesIO
from itertools import pairwise
from typing import Any, Literal

from renderer.primitives import Area, Line, Pen, Point
from renderer.sheets.errors import SheetError
from renderer.sheets.logo_plain import CURE, WHAT, plain

SAG = 1 / 1000  # of the height: a curve's chord keeps within it, 0.01 mm on the page
OUTSIDE = 0.01  # of the page's size: a shape may stand out so far
POINTS_MOST = 50_000  # of all curves together
TOO_MANY = f"has lines of more than {POINTS_MOST:,} points, too many to be drawn"
MITRE_LEAST = 2 * math.asin(1 / 4)  # SVG cuts the tip off a corner that is sharper

Ring = tuple[Point, ...]
Bounds = tuple[float, float, float, float]  # left, top, right, low


def drawn(data: bytes) -> tuple[tuple[Line | Area, ...], Bounds]:
    """Shapes in the file's own units, and the box of their ink.

    Raises SheetError, which names what cannot be drawn.
    """
    from svgelements import SVG as Reader

    own = plain(data)
    try:
        picture = Reader.parse(BytesIO(own), reify=True, on_error="raise")
        elements = [each for each in picture.elements() if hasattr(each, "segments")]
        sag = SAG * _height(elements)
        shapes = _few(shape for each in elements for shape in _shapes(each, sag))
    except (
        ValueError,
        TypeError,
        AttributeError,
        LookupError,
        ArithmeticError,
        SyntaxError,
    ) as error:
        raise SheetError(WHAT, "is an SVG file that cannot be read", CURE) from error
    ink = _ink(shapes)
    _require_inside(ink, float(picture.width), float(picture.height))
    return tuple(shapes), ink


def _few(shapes: Iterator[Line | Area]) -> list[Line | Area]:
    """The shapes, as long as their points are few enough for a page."""
    kept: list[Line | Area] = []
    points = 0
    for shape in shapes:
        rings = (shape.points,) if isinstance(shape, Line) else shape.rings
        points += sum(map(len, rings))
        if points > POINTS_MOST:
            raise SheetError(WHAT, TOO_MANY, CURE)
        kept.append(shape)
    return kept


def _shapes(element: Any, sag: float) -> Iterator[Line | Area]:
    """The fill of an element, then its stroke."""
    values = element.values
    if values.get("visibility") in ("hidden", "collapse"):
        return
    fill, stroke = _colour(element.fill, values), _colour(element.stroke, values)
    chains = list(_chains(element, sag))
    if fill:
        rings = tuple(points for points, _ in chains if len(points) > 2)
        rule: Literal["evenodd", "nonzero"] = (
            "evenodd" if values.get("fill-rule") == "evenodd" else "nonzero"
        )
        if rings:
            yield Area(rings, None, fill, rule=rule)
    width = float(element.stroke_width or 0.0)
    if stroke and width > 0:
        for points, closed in chains:
            yield _stroke(points, closed, width, stroke, values)


def _colour(colour: Any, values: Any) -> str | None:
    """A colour as ``#rrggbb``; nothing for none; an error for one that shows through."""
    if colour is None or colour.value is None or colour.alpha == 0:
        return None
    if colour.alpha != 255 or float(values.get("opacity", 1)) != 1:
        raise SheetError(WHAT, "has a translucent colour, which cannot be drawn", CURE)
    return f"#{colour.red:02x}{colour.green:02x}{colour.blue:02x}"


def _stroke(points: Ring, closed: bool, width: float, colour: str, values: Any) -> Line:
    cap = values.get("stroke-linecap", "butt")
    join = values.get("stroke-linejoin", "miter")
    if join not in ("miter", "round"):
        raise SheetError(WHAT, f"has a line with '{join}' corners, which cannot be drawn", CURE)
    if join == "miter" and _sharpest(points, closed) < MITRE_LEAST:
        join = "round"  # nearer to SVG's cut tip than a long one
    if cap == "square" and not closed:
        points, cap = _lengthened(points, width / 2), "butt"
    if values.get("stroke-dasharray", "none") != "none":
        raise SheetError(WHAT, "has a dashed line, which cannot be drawn", CURE)
    pen = Pen(width, (), colour, "round" if cap == "round" else "butt", join)
    return Line(points, pen, closed)


def _height(elements: Sequence[Any]) -> float:
    boxes = [box for each in elements if (box := each.bbox()) is not None]
    if not boxes:
        raise SheetError(WHAT, "is an SVG file that draws nothing", CURE)
    return float(max(box[3] for box in boxes) - min(box[1] for box in boxes))


def _chains(element: Any, sag: float) -> Iterator[tuple[Ring, bool]]:
    """The subpaths of an element as chains of points, and whether each is closed."""
    from svgelements import Close, Move, Path

    points: list[Point] = []
    for segment in Path(element).segments():
        if isinstance(segment, Move):
            if len(points) > 1:
                yield tuple(points), False
            points = [_point(segment.end)]
        elif isinstance(segment, Close):
            if len(points) > 1:
                yield tuple(points), True
            points = [_point(segment.end)] if segment.end is not None else points[:1]
        else:
            points.extend(_curve(segment, sag))
    if len(points) > 1:
        yield tuple(points), False


def _curve(segment: Any, sag: float) -> Iterator[Point]:
    """Points along a segment whose chords keep within ``sag`` of it, its start left out."""
    from svgelements import Arc

    if isinstance(segment, Arc):
        for part in segment.as_cubic_curves():
            yield from _curve(part, sag)
        return
    ends = [_point(p) for p in segment]  # a line's two, a curve's three or four
    degree = len(ends) - 1
    bend = max(
        (math.hypot(a[0] - 2 * b[0] + c[0], a[1] - 2 * b[1] + c[1])
         for a, b, c in zip(ends, ends[1:], ends[2:], strict=False)),
        default=0.0,
    )  # fmt: skip
    # the second derivative is at most degree (degree - 1) bend, and a chord's sag an eighth of it
    count = max(1, math.ceil(math.sqrt(degree * (degree - 1) * bend / (8 * sag)))) if bend else 1
    if count > POINTS_MOST:
        raise SheetError(WHAT, TOO_MANY, CURE)
    yield from (_point(segment.point(n / count)) for n in range(1, count + 1))


def _point(at: Any) -> Point:
    return float(at.x), float(at.y)


def _sharpest(points: Ring, closed: bool) -> float:
    """The least angle between two neighbouring lines of a chain."""
    return min((_angle(*corner) for corner in _corners(points, closed)), default=math.pi)


def _corners(points: Ring, closed: bool) -> Iterator[tuple[Point, Point, Point]]:
    """Each corner of a chain with the points before and after it."""
    ring = _distinct((*points, *points[:2]) if closed else points)
    return zip(ring, ring[1:], ring[2:], strict=False)


def _distinct(points: Sequence[Point]) -> list[Point]:
    kept = list(points[:1])
    kept += [b for a, b in pairwise(points) if math.dist(a, b) > 1e-9]
    return kept


def _angle(a: Point, b: Point, c: Point) -> float:
    one, other = (a[0] - b[0], a[1] - b[1]), (c[0] - b[0], c[1] - b[1])
    cross, dot = one[0] * other[1] - one[1] * other[0], one[0] * other[0] + one[1] * other[1]
    return abs(math.atan2(cross, dot))


def _lengthened(points: Ring, by: float) -> Ring:
    """An open chain, longer by so much at both ends."""

    def beyond(end: Point, before: Point) -> Point:
        share = by / (math.dist(end, before) or math.inf)
        return end[0] + (end[0] - before[0]) * share, end[1] + (end[1] - before[1]) * share

    return (beyond(points[0], points[1]), *points[1:-1], beyond(points[-1], points[-2]))


def _ink(shapes: Sequence[Line | Area]) -> Bounds:
    """The box round all shapes, their lines' width in it."""
    edges = []
    for shape in shapes:
        half = shape.pen.width_mm / 2 if shape.pen else 0.0
        points = shape.points if isinstance(shape, Line) else [p for r in shape.rings for p in r]
        xs, ys = zip(*points, strict=True)
        edges.append((min(xs) - half, min(ys) - half, max(xs) + half, max(ys) + half))
        edges += [(*tip, *tip) for tip in _tips(shape, half)]
    if not edges:
        raise SheetError(WHAT, "is an SVG file that draws nothing", CURE)
    lefts, tops, rights, lows = zip(*edges, strict=True)
    left, top, right, low = min(lefts), min(tops), max(rights), max(lows)
    if not (math.isfinite(right - left + low - top) and right > left and low > top):
        raise SheetError(WHAT, "is an SVG file whose drawing has no width or no height", CURE)
    return left, top, right, low


def _tips(shape: Line | Area, half: float) -> Iterator[Point]:
    """Where the corners of a line end that are not rounded."""
    if not isinstance(shape, Line) or shape.pen is None or shape.pen.join != "miter":
        return
    for a, b, c in _corners(shape.points, shape.closed):
        ahead, behind = math.dist(a, b), math.dist(c, b)
        across = tuple((p - q) / ahead + (r - q) / behind for p, q, r in zip(a, b, c, strict=True))
        size = math.hypot(*across)
        if size > 1e-6:  # a straight line has no tip
            reach = half / math.sin(_angle(a, b, c) / 2) / size
            yield b[0] - across[0] * reach, b[1] - across[1] * reach


def _require_inside(ink: Bounds, width: float, height: float) -> None:
    """Refuses what a viewer would cut off, since it would stand out of its box here."""
    room = OUTSIDE * max(width, height)
    left, top, right, low = ink
    if left < -room or top < -room or right > width + room or low > height + room:
        raise SheetError(WHAT, "draws beyond its own page", "fit the page to the drawing")
