"""GeoJSON (RFC 7946): polygons are lawns, their holes islands, points are fixed points."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from renderer.formats.found import Found, Options, Point
from renderer.formats.globe import Ring, on_plane
from renderer.plan.errors import PlanError, shown

DEPTH_MOST = 12


def read(path: str, data: bytes, options: Options) -> Found:
    """The polygons and points; ``name``, ``kind`` and ``island_kind`` are read of a feature.

    Raises PlanError.
    """
    try:
        held = json.loads(data.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise PlanError(path, 0, "", "is not UTF-8 text", "export it again") from None
    except json.JSONDecodeError as error:
        raise PlanError(
            path, error.lineno, "", f"is not valid JSON: {error.msg}", "export it"
        ) from None
    except RecursionError:
        raise PlanError(
            path, 0, "", "is nested too deeply", "export the garden by itself"
        ) from None
    except ValueError as error:
        raise PlanError(path, 0, "", f"is not valid JSON: {error}", "export it again") from None
    _require_degrees(path, held)
    rings: list[Ring] = []
    fixed: list[tuple[str, Point]] = []
    for key, properties, geometry in _geometries(path, held, "", {}, 0):
        name = str(properties.get("name") or f"Shape {len(rings) + 1}")
        kind = geometry.get("type")
        held_places = geometry.get("coordinates")
        if kind in ("Point", "MultiPoint"):
            several = [held_places] if kind == "Point" else _list(path, key, held_places)
            for each in several:
                label = str(properties.get("name") or f"P{len(fixed) + 1}")
                fixed.append((label, _place(path, key, each)))
        elif kind == "Polygon":
            rings += _polygon(path, key, name, properties, held_places)
        elif kind == "MultiPolygon":
            for index, each in enumerate(_list(path, key, held_places)):
                rings += _polygon(path, f"{key}[{index}]", name, properties, each)
        elif kind == "LineString":
            rings += _line(path, key, name, properties, held_places)
        elif kind == "MultiLineString":
            for index, each in enumerate(_list(path, key, held_places)):
                rings += _line(path, f"{key}[{index}]", name, properties, each)
        else:
            cure = "a lawn is a Polygon, a fixed point a Point"
            raise PlanError(path, 0, key, f"{shown(kind)} is not an outline", cure)
    return on_plane(path, rings, fixed)


def _geometries(
    path: str, held: Any, key: str, properties: dict[str, Any], depth: int
) -> Iterator[tuple[str, dict[str, Any], dict[str, Any]]]:
    """Each geometry with its key in the file and the properties of its feature."""
    if not isinstance(held, dict) or depth > DEPTH_MOST:
        raise PlanError(path, 0, key, "is not a GeoJSON object", "see RFC 7946")
    inner = {"FeatureCollection": "features", "GeometryCollection": "geometries"}
    what = held.get("type")
    if isinstance(what, str) and what in inner:
        for index, each in enumerate(_list(path, key, held.get(inner[what]))):
            at = f"{key}.{inner[what]}[{index}]".removeprefix(".")
            yield from _geometries(path, each, at, properties, depth + 1)
    elif what == "Feature":
        own = held.get("properties")
        if held.get("geometry") is not None:
            yield from _geometries(path, held["geometry"], f"{key}.geometry", own or {}, depth + 1)
    else:
        yield key, properties if isinstance(properties, dict) else {}, held


def _polygon(
    path: str, key: str, name: str, properties: dict[str, Any], held: Any
) -> Iterator[Ring]:
    for index, ring in enumerate(_list(path, key, held)):
        at = f"{key}.coordinates[{index}]"
        places = tuple(_place(path, at, each) for each in _list(path, at, ring))
        if len(places) < 4 or places[0] != places[-1]:
            cure = (
                "it needs four positions or more, the last the same as the first (RFC 7946, 3.1.6)"
            )
            raise PlanError(path, 0, at, "is not a closed ring", cure)
        kind = properties.get("island_kind" if index else "kind")
        label = f"{name} island {index}" if index else name
        yield Ring(label, places, 0, (str(kind),) if kind else (), bool(index) or None)


def _line(path: str, key: str, name: str, properties: dict[str, Any], held: Any) -> Iterator[Ring]:
    """A line that ends where it begins is an outline; any other bounds nothing."""
    if not isinstance(held, list) or len(held) < 4 or held[0] != held[-1]:
        problem = f"the line {shown(name)} does not end where it begins"
        cure = "close it, export it as a Polygon, or leave it out"
        raise PlanError(path, 0, key, problem, cure)
    yield from _polygon(path, key, name, properties, [held])


def _require_degrees(path: str, held: Any) -> None:
    """Raises PlanError where an older file states coordinates other than those of WGS 84."""
    if isinstance(held, dict) and held.get("units") == "m":
        cure = "export it from a plan that has a position"
        raise PlanError(path, 0, "units", "is in metres, not in degrees", cure)
    stated = held.get("crs") if isinstance(held, dict) else None
    if stated is None:
        return
    properties = stated.get("properties") if isinstance(stated, dict) else None
    name = properties.get("name") if isinstance(properties, dict) else None
    if str(name).upper().replace("::", ":").rsplit(":", 1)[-1] not in ("CRS84", "4326"):
        cure = "export it in degrees of WGS 84, as RFC 7946 asks"
        raise PlanError(path, 0, "crs", f"{shown(name)} is not WGS 84", cure)


def _list(path: str, key: str, held: Any) -> list[Any]:
    if not isinstance(held, list):
        raise PlanError(path, 0, key, f"{shown(held)} is not a list", "see RFC 7946")
    return held


def _place(path: str, key: str, held: Any) -> Point:
    numbers = held[:2] if isinstance(held, list) else []
    if len(numbers) < 2 or not all(type(n) in (int, float) and abs(n) <= 360 for n in numbers):
        raise PlanError(
            path, 0, key, f"{shown(held)} is not a position", "write [longitude, latitude]"
        )
    return float(numbers[0]), float(numbers[1])
