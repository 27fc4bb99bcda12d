"""What files in degrees have in common: outlines and positions projected onto one plane."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from renderer.formats.earth import Plane
from renderer.formats.found import Found, Point, Shape, each_once, require_few

SAME_M = 1e-3


@dataclass(frozen=True, slots=True)
class Ring:
    """A closed line in degrees, longitude first; ``island`` as in ``Shape``."""

    name: str
    places: tuple[Point, ...]
    line: int = 0
    kinds: tuple[str, ...] = ()
    island: bool | None = None


def on_plane(
    path: str,
    rings: Sequence[Ring],
    fixed: Sequence[tuple[str, Point]],
    notes: tuple[str, ...] = (),
) -> Found:
    """The rings and fixed places in metres. Raises PlanError."""
    places = [place for ring in rings for place in ring.places] + [place for _, place in fixed]
    require_few(path, len(places), len(rings))
    plane = Plane(path, places)
    names = each_once(name for name, _ in fixed)
    points = tuple((name, plane.at(place)) for name, (_, place) in zip(names, fixed, strict=True))
    shapes = tuple(
        Shape(
            ring.name,
            ring.name,
            _unlike([plane.at(place) for place in ring.places]),
            ring.kinds,
            ring.line,
            ring.island,
        )
        for ring in rings
    )
    named = {f"{ring.name}.{k}": at for ring in shapes for k, at in enumerate(ring.points, 1)}
    return Found(
        "m",
        shapes,
        fixed=points,
        named={**named, **dict(points)},
        told=(plane.told(path),),
        position=(plane.longitude, plane.latitude),
        notes=notes,
    )


def _unlike(points: Sequence[Point]) -> tuple[Point, ...]:
    """The points without those that repeat the one before, and without the first at the end."""
    kept = list(points[:1])
    kept += [two for one, two in pairwise(points) if _apart(one, two)]
    if len(kept) > 1 and not _apart(kept[0], kept[-1]):
        kept.pop()
    return tuple(kept)


def _apart(one: Point, two: Point) -> bool:
    return max(abs(one[0] - two[0]), abs(one[1] - two[1])) > SAME_M
