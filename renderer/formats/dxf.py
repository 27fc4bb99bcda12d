"""DXF through ezdxf, which comes with the extra ``dxf``: closed polylines, circles and points."""

from __future__ import annotations

import io
import logging
import math
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Any

from renderer.formats.found import Found, Options, Point, Shape, require_few
from renderer.plan.errors import PlanError, one_line
from renderer.units import M_PER_FOOT, MM_PER_INCH, MM_PER_M

CHECKS = 2
BINARY = b"AutoCAD Binary DXF"  # the first bytes of one, in the DXF reference
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
ENTITIES_MOST = 20_000
BLOCKS_DEEP = 8
SAID_MOST = 6  # kinds of what was passed over that are named
NAME_LETTERS = 60  # of a kind or layer that is named
SAID_LETTERS = 200  # of what ezdxf says of a damaged drawing, which quotes from it


def read(path: str, data: bytes, options: Options) -> Found:
    """Lawns and islands drawn as closed polylines or circles, fixed points drawn as points.

    Points are named by layer and number, ``LAWN.1``. Raises PlanError.
    """
    drawing = _drawing(path, data)
    stated = options.units or _unit(path, int(drawing.header.get("$INSUNITS", 0)))
    units = "ft" if stated in ("in", "ft") else "m"
    factor = METRES[stated] / METRES[units]
    held = _Held(path, factor, _hidden(drawing))
    _take_all(held, path, drawing)
    for shape in held.shapes:
        for at in shape.points:
            held.label(shape.layer, at)
    layers = ", ".join(sorted({each.layer for each in held.shapes}))
    return Found(
        units,
        tuple(held.shapes),
        fixed=tuple(held.fixed),
        named=held.named,
        told=(f"From {path}, drawn in {stated}; layers: {layers}.",),
        checks_least=CHECKS,
        passed_over=tuple(held.told()),
    )


def _take_all(held: _Held, path: str, drawing: Any) -> None:
    """What a drawing shows. Raises PlanError, also for an entity that lacks what it is made of."""
    from ezdxf.lldxf.const import DXFError

    try:
        for count, entity in enumerate(_shown(drawing.modelspace()), 1):
            if count > ENTITIES_MOST:
                problem = f"holds more than {ENTITIES_MOST:,} entities"
                raise PlanError(path, 0, "", problem, "export the garden by itself")
            held.take(entity)
    except (DXFError, AttributeError, ArithmeticError, LookupError, TypeError, ValueError):
        problem = "is damaged: part of an entity is missing"
        raise PlanError(path, 0, "", problem, "export it again as DXF") from None


class _Held:
    """What has been found in a drawing so far; ``factor`` makes its unit the plan's.

    What lies on a layer of ``hidden`` is not taken.
    """

    def __init__(self, path: str, factor: float, hidden: frozenset[str]) -> None:
        self._path, self._factor, self._hidden = path, factor, hidden
        self.shapes: list[Shape] = []
        self.fixed: list[tuple[str, Point]] = []
        self.named: dict[str, Point] = {}
        self._counts: Counter[str] = Counter()
        self._over: Counter[tuple[str, str]] = Counter()
        self._unseen: set[str] = set()

    def take(self, entity: Any) -> None:
        """One entity: an outline, a round thing, a fixed point, or something that bounds nothing.

        Raises PlanError for more than a garden has.
        """
        layer, kind = _layer(entity), entity.dxftype()
        if layer.lower() in self._hidden:
            self._unseen.add(layer)
        elif kind == "POINT":
            at = self._scaled(entity.dxf.location)
            self.fixed.append((self.label(layer, at), at))
        elif kind == "CIRCLE" and (side := _side(entity)):
            x, y = self._scaled(entity.dxf.center)
            radius = entity.dxf.radius * self._factor
            self.shapes.append(Shape(layer, layer, ((side * x, y),), radius=radius))
        elif (outline := _outline(entity, kind, layer, self._factor)) is not None:
            self.shapes.append(outline)
        else:
            self._over[one_line(kind[:NAME_LETTERS]), one_line(layer[:NAME_LETTERS])] += 1
        require_few(self._path, len(self.named), len(self.shapes))

    def label(self, layer: str, at: Point) -> str:
        """A new name for a point: its layer and a number."""
        self._counts[layer] += 1
        name = f"{layer}.{self._counts[layer]}"
        self.named[name] = at
        return name

    def told(self) -> Iterator[str]:
        """What was passed over, in words."""
        few = [
            f"{count} {kind} on layer {layer}"
            for (kind, layer), count in self._over.most_common(SAID_MOST)
        ]
        if few:
            more = " and others" if len(self._over) > SAID_MOST else ""
            yield f"Left out, since it bounds nothing by itself: {', '.join(few)}{more}."
        if self._unseen:
            hidden = ", ".join(sorted(self._unseen))
            yield f"Left out, since these layers are off or frozen: {hidden}."

    def _scaled(self, at: Any) -> Point:
        return at.x * self._factor, at.y * self._factor


def _shown(entities: Iterable[Any], depth: int = 0) -> Iterator[Any]:
    """Each entity, those of blocks where they are inserted and on the layer that they then have."""
    for entity in entities:
        if entity.dxftype() != "INSERT" or depth > BLOCKS_DEEP:
            yield entity
            continue
        for insert in entity.multi_insert() if entity.mcount > 1 else (entity,):
            for inner in _shown(insert.virtual_entities(), depth + 1):
                if _layer(inner) == "0":
                    inner.dxf.layer = _layer(entity)
                yield inner


def _layer(entity: Any) -> str:
    """The layer of an entity; one of a kind that is not known has none, and counts as on 0."""
    return str(entity.dxf.layer) if entity.dxf.hasattr("layer") else "0"


def _hidden(drawing: Any) -> frozenset[str]:
    """The layers that are off or frozen, in small letters."""
    found = (each for each in drawing.layers if each.is_off() or each.is_frozen())
    return frozenset(each.dxf.name.lower() for each in found)


def _unit(path: str, number: int) -> str:
    """The unit that a drawing states. Raises PlanError for none, and for one of no garden."""
    if number not in UNITS:
        problem = f"the drawing's unit is number {number}, which no garden is drawn in"
        problem = problem if number else "the drawing does not state its unit"
        cure = "add --units with mm, cm, m, in or ft"
        raise PlanError(path, 0, "$INSUNITS", problem, cure)
    return UNITS[number]


def _drawing(path: str, data: bytes) -> Any:
    try:
        from ezdxf import recover
        from ezdxf.lldxf.const import DXFError
    except ImportError:
        cure = "install it with: python3 -m pip install 'pegline[dxf]'"
        raise PlanError(
            path, 0, "", "reading DXF needs ezdxf, which is not installed", cure
        ) from None
    if data.startswith(BINARY):
        raise PlanError(path, 0, "", "is a binary DXF drawing", "export it as a DXF of text")
    # what it mends is in the audit too; without a handler it would be printed line by line
    logging.getLogger("ezdxf").addHandler(logging.NullHandler())
    try:
        drawing, audit = recover.read(io.BytesIO(data))
    except (DXFError, OSError, ValueError, KeyError, IndexError, AttributeError, TypeError):
        cure = "export it again as DXF, R2000 or later"
        raise PlanError(path, 0, "", "is not a readable DXF drawing", cure) from None
    if audit.has_errors:
        problem = f"is damaged: {one_line(audit.errors[0].message[:SAID_LETTERS])}"
        raise PlanError(path, 0, "", problem, "export it again as DXF")
    return drawing


def _side(entity: Any) -> int:
    """1 where an entity is seen from above, -1 from below, where its x runs to the left; else 0."""
    x, y, z = entity.dxf.get("extrusion", (0.0, 0.0, 1.0))
    return 0 if max(abs(x), abs(y)) > Z_MOST else int(math.copysign(1, z))


def _outline(entity: Any, kind: str, layer: str, factor: float) -> Shape | None:
    """A closed polyline with its arcs; nothing for an open one and for what is no polyline."""
    if kind == "LWPOLYLINE":
        corners = [tuple(map(float, each)) for each in entity.get_points("xyb")]
        closed = bool(entity.closed)
    elif kind == "POLYLINE" and (entity.is_2d_polyline or entity.is_3d_polyline):
        corners = [
            (each.dxf.location.x, each.dxf.location.y, each.dxf.get("bulge", 0.0))
            for each in entity.vertices
        ]
        closed = bool(entity.is_closed)
    else:
        return None
    side = 1 if kind == "POLYLINE" and entity.is_3d_polyline else _side(entity)
    if len(corners) > 1 and math.dist(corners[0][:2], corners[-1][:2]) <= Z_MOST:
        closed, corners = True, corners[:-1]
    if not (closed and corners and side):
        return None
    points = tuple((side * x * factor, y * factor) for x, y, _ in corners)
    arcs = {
        index: _bulged(points[index], points[(index + 1) % len(points)], side * bulge)
        for index, (_, _, bulge) in enumerate(corners)
        if abs(bulge) > Z_MOST
    }
    return Shape(layer, layer, points, arcs=arcs)


def _bulged(one: Point, two: Point, bulge: float) -> Point:
    """The top of an arc between two points; the bulge is the tangent of a quarter of its angle."""
    (ax, ay), (bx, by) = one, two
    return (ax + bx) / 2 + bulge * (by - ay) / 2, (ay + by) / 2 - bulge * (bx - ax) / 2
