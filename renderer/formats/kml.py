"""KML: polygons and closed lines are lawns, holes islands, points are fixed points; a sketch."""

from __future__ import annotations

from collections.abc import Iterator

from renderer.formats.found import Found, Options, Point
from renderer.formats.globe import Ring, on_plane
from renderer.formats.xml import Element, number, parse_as
from renderer.plan.errors import PlanError, shown

SKETCH = "Sketched from an aerial picture or a phone: tape every side before laying"


def read(path: str, data: bytes, options: Options) -> Found:
    """The outlines and points of all placemarks. Raises PlanError."""
    root = parse_as(path, data, "kml")
    rings: list[Ring] = []
    fixed: list[tuple[str, Point]] = []
    for mark in root.all("Placemark"):
        name = mark.said("name")
        for polygon in mark.all("Polygon"):
            rings += _polygon(path, name or f"Shape {len(rings) + 1}", polygon)
        for line in mark.all("LineString"):
            rings.append(Ring(name or f"Shape {len(rings) + 1}", _places(path, line), line.line))
        for point in mark.all("Point"):
            fixed += [(name or f"P{len(fixed) + 1}", at) for at in _places(path, point)[:1]]
    return on_plane(path, rings, fixed, (SKETCH,))


def _polygon(path: str, name: str, polygon: Element) -> Iterator[Ring]:
    for outer in polygon.all("outerBoundaryIs"):
        yield Ring(name, _places(path, outer), polygon.line)
    for index, inner in enumerate(polygon.all("innerBoundaryIs"), 1):
        yield Ring(f"{name} island {index}", _places(path, inner), inner.line, (), True)


def _places(path: str, holder: Element) -> tuple[Point, ...]:
    """The places of the first ``coordinates`` in an element: longitude, latitude, maybe height."""
    held = next(holder.all("coordinates"), None)
    if held is None:
        raise PlanError(path, holder.line, holder.name, "has no coordinates", "export it again")
    places = []
    for each in held.text.split():
        parts = each.split(",")
        if len(parts) not in (2, 3):
            cure = "write longitude,latitude"
            raise PlanError(
                path, held.line, "coordinates", f"{shown(each)} is not a position", cure
            )
        lon, lat = (number(path, held, part, "coordinates") for part in parts[:2])
        places.append((lon, lat))
    return tuple(places)
