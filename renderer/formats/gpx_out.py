"""GPX 1.1: the wire of each loop as a track, pegs and fixed points as waypoints, in degrees."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from renderer.formats.csv_out import point_name
from renderer.formats.found import each_once
from renderer.formats.things import Thing, things
from renderer.formats.whereabouts import DECIMALS, degrees_of

if TYPE_CHECKING:
    from renderer.geometry.point import Point
    from renderer.job import Job

HEAD = '<gpx version="1.1" creator="pegline" xmlns="http://www.topografix.com/GPX/1/1">'
Place = Callable[["Point"], tuple[float, float]]


def write(job: Job, path: str) -> bytes:
    """Waypoints, then tracks, as the schema orders them. Raises PlanError without a position."""
    to_place = degrees_of(job.plan, path)
    held = list(things(job))
    lines = ['<?xml version="1.0" encoding="UTF-8"?>', HEAD]
    lines += _waypoints([thing for thing in held if thing.is_point], to_place)
    for thing in held:
        if thing.layer == "WIRE":
            lines += _track(thing, to_place)
    return ("\n".join([*lines, "</gpx>"]) + "\n").encode()


def _waypoints(points: list[Thing], to_place: Place) -> Iterator[str]:
    names = each_once(point_name(thing) for thing in points)
    for name, thing in zip(names, points, strict=True):
        where = _degrees(to_place(thing.points[0]))
        yield f"<wpt {where}><name>{escape(name)}</name><type>{thing.layer}</type></wpt>"


def _track(wire: Thing, to_place: Place) -> Iterator[str]:
    yield f"<trk><name>{escape(wire.name)}</name><trkseg>"
    yield from (f"<trkpt {_degrees(to_place(at))}/>" for at in wire.points)
    yield "</trkseg></trk>"


def _degrees(place: tuple[float, float]) -> str:
    longitude, latitude = place
    return f'lat="{latitude:.{DECIMALS}f}" lon="{longitude:.{DECIMALS}f}"'
