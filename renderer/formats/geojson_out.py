"""GeoJSON (RFC 7946): each thing a feature, in degrees where the plan has a position."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from renderer.formats.things import Thing, rounded, things
from renderer.formats.whereabouts import degrees_of

if TYPE_CHECKING:
    from renderer.geometry.point import Point
    from renderer.job import Job

CURVE_M = 0.0005  # a circle is drawn by corners no further than this inside it
CORNERS_LEAST = 16

Place = tuple[float, float]


def write(job: Job, path: str) -> bytes:
    """A feature each, with its layer, its name and its facts as properties.

    Without a position the coordinates are the plan's own metres, and the file says so; programs
    that expect degrees then have to be told.
    """
    head = job.plan.job
    held: dict[str, Any] = {
        "type": "FeatureCollection",
        "plan": {"number": head.number, "revision": head.revision, "digest": job.digest},
    }
    if job.plan.position is None:
        held["units"] = "m"
        to_place: Callable[[Point], Place] = _metres
    else:
        to_place = degrees_of(job.plan, path)
    held["features"] = [_feature(thing, to_place) for thing in things(job)]
    return (json.dumps(held, ensure_ascii=False, indent=1, allow_nan=False) + "\n").encode()


def _metres(at: Point) -> Place:
    return rounded(at[0]), rounded(at[1])


def _feature(thing: Thing, to_place: Callable[[Point], Place]) -> dict[str, Any]:
    properties: dict[str, Any] = {"layer": thing.layer, "name": thing.name, **thing.facts}
    if thing.radius_m is not None:
        properties["radius_m"] = rounded(thing.radius_m)
    return {"type": "Feature", "properties": properties, "geometry": _geometry(thing, to_place)}


def _geometry(thing: Thing, to_place: Callable[[Point], Place]) -> dict[str, Any]:
    if thing.is_point:
        return {"type": "Point", "coordinates": to_place(thing.points[0])}
    if thing.closed or thing.radius_m is not None:
        ring = [to_place(at) for at in _ring(thing)]
        return {"type": "Polygon", "coordinates": [[*ring, ring[0]]]}
    return {"type": "LineString", "coordinates": [to_place(at) for at in thing.points]}


def _ring(thing: Thing) -> Sequence[Point]:
    """The corners of a closed line, anticlockwise, as RFC 7946, 3.1.6 has it."""
    if thing.radius_m is None:
        return thing.points if _area(thing.points) > 0 else thing.points[::-1]
    (x, y), radius = thing.points[0], thing.radius_m
    sharpest = math.pi / math.acos(max(0.0, 1.0 - CURVE_M / radius))
    corners = max(CORNERS_LEAST, math.ceil(sharpest))
    turns = (math.tau * corner / corners for corner in range(corners))
    return [(x + radius * math.cos(turn), y + radius * math.sin(turn)) for turn in turns]


def _area(ring: Sequence[Point]) -> float:
    """Twice the area of a ring, plus where it runs anticlockwise; about its first corner."""
    (ox, oy), pairs = ring[0], zip(ring, (*ring[1:], ring[0]), strict=True)
    return sum((ax - ox) * (by - oy) - (bx - ox) * (ay - oy) for (ax, ay), (bx, by) in pairs)
