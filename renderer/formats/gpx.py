"""GPX 1.1: tracks and routes are outlines, waypoints are fixed points; all of it is a sketch."""

from __future__ import annotations

from renderer.formats.found import Found, Options, Point
from renderer.formats.globe import Ring, on_plane
from renderer.formats.xml import Element, number, parse_as

SKETCH = "Sketched from a satellite track, metres off in places: tape every side before laying"


def read(path: str, data: bytes, options: Options) -> Found:
    """Each segment of a track and each route as an outline. Raises PlanError."""
    root = parse_as(path, data, "gpx", "1.1")
    rings: list[Ring] = []
    for track in root.all("trk"):
        for segment in track.all("trkseg"):
            name = track.said("name") or f"Track {len(rings) + 1}"
            rings.append(_ring(path, name, segment, "trkpt"))
    for route in root.all("rte"):
        name = route.said("name") or f"Route {len(rings) + 1}"
        rings.append(_ring(path, name, route, "rtept"))
    fixed = [
        (each.said("name") or f"P{index}", _place(path, each))
        for index, each in enumerate(root.all("wpt"), 1)
    ]
    return on_plane(path, rings, fixed, (SKETCH,))


def _ring(path: str, name: str, holder: Element, of: str) -> Ring:
    return Ring(name, tuple(_place(path, each) for each in holder.all(of)), holder.line)


def _place(path: str, element: Element) -> Point:
    lon, lat = (number(path, element, element.attributes.get(k), k) for k in ("lon", "lat"))
    return lon, lat
