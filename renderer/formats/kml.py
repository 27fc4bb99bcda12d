"""KML: polygons, lines and walks are lawns, holes islands, points fixed points; all a sketch."""

from __future__ import annotations

import re
from collections.abc import Iterator

from renderer.formats.found import Found, Options, Point
from renderer.formats.globe import Ring, on_plane
from renderer.formats.xml import Element, number, parse_as
from renderer.plan.errors import PlanError, shown

SKETCH = "Sketched from an aerial picture or a phone: tape every side before laying"

TRACK = "gx:Track"  # a recorded walk, by the prefix that its maker always writes
GATHERED = frozenset({"MultiGeometry", "gx:MultiTrack"})
SHAPES = frozenset({"Polygon", "LineString", "LinearRing", "Point", TRACK})


def read(path: str, data: bytes, options: Options) -> Found:
    """The outlines and points of all placemarks. Raises PlanError."""
    root = parse_as(path, data, "kml")
    rings: list[Ring] = []
    fixed: list[tuple[str, Point]] = []
    for mark in root.all("Placemark"):
        name = mark.said("name")
        for shape in _geometries(mark):
            if shape.name == "Point":
                fixed += [(name or f"P{len(fixed) + 1}", at) for at in _places(path, shape)[:1]]
            else:
                rings += _rings(path, name or f"Shape {len(rings) + 1}", shape)
    if not rings and any(root.all("NetworkLink")):
        problem = "links to another file, and no network is used while reading"
        raise PlanError(path, root.line, "NetworkLink", problem, "save the places as a KML file")
    return on_plane(path, rings, fixed, (SKETCH,))


def _geometries(holder: Element) -> Iterator[Element]:
    """The shapes of a placemark, one by one."""
    for each in holder.inner:
        if each.name in GATHERED:
            yield from _geometries(each)
        elif each.name in SHAPES:
            yield each


def _rings(path: str, name: str, shape: Element) -> Iterator[Ring]:
    if shape.name == "Polygon":
        yield from _polygon(path, name, shape)
    elif shape.name == TRACK:
        yield Ring(name, _walked(path, shape), shape.line)
    else:
        yield Ring(name, _places(path, shape), shape.line)


def _walked(path: str, track: Element) -> tuple[Point, ...]:
    """The places of a recorded walk: longitude, latitude and height, parted by blanks."""
    places = []
    for each in track.inner:
        if each.name == "gx:coord":
            lon, lat = (number(path, each, part, each.name) for part in _parts(each.text))
            places.append((lon, lat))
    return tuple(places)


def _parts(text: str) -> tuple[str, str]:
    parts = (*text.split()[:2], "", "")
    return parts[0], parts[1]


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
    for each in re.sub(r"\s*,\s*", ",", held.text).split():
        parts = each.split(",")
        if len(parts) not in (2, 3):
            cure = "write longitude,latitude"
            raise PlanError(
                path, held.line, "coordinates", f"{shown(each)} is not a position", cure
            )
        lon, lat = (number(path, held, part, "coordinates") for part in parts[:2])
        places.append((lon, lat))
    return tuple(places)
