"""DXF through ezdxf, which comes with the extra ``dxf``: closed polylines, circles and points."""

from __future__ import annotations

import io
import math
from collections import Counter
from collections.abc import Iterator
from typing import Any

from renderer.formats.found import Found, Options, Point, Shape, require_few
from renderer.plan.errors import PlanError
from renderer.units import M_PER_FOOT, MM_PER_INCH, MM_PER_M

CHECKS = 2
# $INSUNITS by number, in the DXF reference of its header variables
UNITS = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m"}
METRES = {
    "in": MM_PER_INCH / MM_PER_M,
    "ft": M_PER_FOOT,
    "mm": 1 / MM_PER_M,
    "cm": 10 / MM_PER_M,
    "m": 1.0,
}
Z_MOST = 1e-6


def read(path: str, data: bytes, options: Options) -> Found:
    """Lawns and islands drawn as closed polylines or circles, fixed points drawn as points.

    Points are named by layer and number, ``LAWN.1``. Raises PlanError.
    """
    drawing = _drawing(path, data)
    held = options.units or UNITS.get(int(drawing.header.get("$INSUNITS", 0)))
    if held is None:
        cure = "add --units with mm, cm, m, in or ft"
        raise PlanError(path, 0, "$INSUNITS", "the drawing does not state its unit", cure)
    units = "ft" if held in ("in", "ft") else "m"
    factor = METRES[held] / METRES[units]
    shapes: list[Shape] = []
    fixed: list[tuple[str, Point]] = []
    named: dict[str, Point] = {}
    counts: Counter[str] = Counter()
    for entity in drawing.modelspace():
        layer, kind = entity.dxf.layer, entity.dxftype()
        if kind in ("LWPOLYLINE", "POLYLINE"):
            shapes += _outline(path, entity, kind, layer, factor)
        elif kind == "CIRCLE":
            middle = (entity.dxf.center.x * factor, entity.dxf.center.y * factor)
            shapes.append(Shape(layer, layer, (middle,), radius=entity.dxf.radius * factor))
        elif kind == "POINT":
            at = (entity.dxf.location.x * factor, entity.dxf.location.y * factor)
            fixed.append((_label(named, counts, layer, at), at))
        require_few(path, len(named), len(shapes))
    for shape in shapes:
        for at in shape.points:
            _label(named, counts, shape.layer, at)
    told = f"From {path}, drawn in {held}; layers: {', '.join(sorted({s.layer for s in shapes}))}. "
    told += "Lines that are not closed are left out."
    return Found(
        units,
        tuple(shapes),
        fixed=tuple(fixed),
        named=named,
        told=(told,),
        checks_least=CHECKS,
    )


def _drawing(path: str, data: bytes) -> Any:
    try:
        from ezdxf import recover
        from ezdxf.lldxf.const import DXFError
    except ImportError:
        cure = "install it with: python3 -m pip install 'pegline[dxf]'"
        raise PlanError(
            path, 0, "", "reading DXF needs ezdxf, which is not installed", cure
        ) from None
    try:
        drawing, audit = recover.read(io.BytesIO(data))
    except (DXFError, OSError, ValueError, KeyError, IndexError, AttributeError, TypeError):
        cure = "export it again as DXF, R2000 or later"
        raise PlanError(path, 0, "", "is not a readable DXF drawing", cure) from None
    if audit.has_errors:
        problem = f"is damaged: {audit.errors[0].message}"
        raise PlanError(path, 0, "", problem, "export it again as DXF")
    return drawing


def _outline(path: str, entity: Any, kind: str, layer: str, factor: float) -> Iterator[Shape]:
    """A closed polyline with its arcs; open ones are lines of the drawing that bound nothing."""
    if kind == "POLYLINE" and not entity.is_2d_polyline:
        return
    if kind == "LWPOLYLINE":
        corners = [(x, y, bulge) for x, y, bulge in entity.get_points("xyb")]
    else:
        corners = [
            (each.dxf.location.x, each.dxf.location.y, each.dxf.get("bulge", 0.0))
            for each in entity.vertices
        ]
    closed = bool(entity.closed if kind == "LWPOLYLINE" else entity.is_closed)
    if len(corners) > 1 and math.dist(corners[0][:2], corners[-1][:2]) <= Z_MOST:
        closed, corners = True, corners[:-1]
    if not closed or not corners:
        return
    points = tuple((x * factor, y * factor) for x, y, _ in corners)
    arcs = {
        index: _bulged(points[index], points[(index + 1) % len(points)], bulge)
        for index, (_, _, bulge) in enumerate(corners)
        if abs(bulge) > Z_MOST
    }
    yield Shape(layer, layer, points, arcs=arcs)


def _bulged(one: Point, two: Point, bulge: float) -> Point:
    """The top of an arc between two points; the bulge is the tangent of a quarter of its angle."""
    (ax, ay), (bx, by) = one, two
    return (ax + bx) / 2 + bulge * (by - ay) / 2, (ay + by) / 2 - bulge * (bx - ax) / 2


def _label(named: dict[str, Point], counts: Counter[str], layer: str, at: Point) -> str:
    """A new name for a point: its layer and a number."""
    counts[layer] += 1
    named[f"{layer}.{counts[layer]}"] = at
    return f"{layer}.{counts[layer]}"
