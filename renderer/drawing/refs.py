"""Points by which a sheet is found: reference points, corners, control pegs, grid crosses."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np

from renderer.drawing.stations import reference_points
from renderer.units import M_PER_FOOT

if TYPE_CHECKING:
    from renderer.drawing.scene import Scene
    from renderer.geometry.rects import Rect

LEAST = 2
# Edges meet at a corner that can be found again where both sides are hard.
HARD = frozenset({"wall", "fence", "kerb", "flush", "road"})
INSET_MM = 4.0
# Nearer than this, two points count as one.
SAME_M = 0.5


class SheetPoint(NamedTuple):
    """A point to find a sheet by: name, place in metres, and what it is."""

    name: str
    at: tuple[float, float]
    kind: Literal["reference", "corner", "peg", "grid"]


def tile_references(scene: Scene, taken: Rect | None = None) -> tuple[SheetPoint, ...]:
    """At least two points in the frame and not in what else is taken of it, surest kind first."""
    inner = scene.view.frame.grown(-INSET_MM)
    outer = taken.grown(INSET_MM) if taken else None
    found: list[SheetPoint] = []
    for source in (_fixed, _corners, _control_pegs, _grid_on_lawns, _grid):
        if len(found) >= LEAST:
            break
        near = [
            ref
            for ref in source(scene)
            if inner.holds(at := scene.view.point(ref.at))
            and not (outer and outer.holds(at))
            and all(math.dist(ref.at, other.at) > SAME_M for other in found)
        ]
        found += near if source is _fixed else _far_apart(scene, near, found)
    return tuple(found)


def _far_apart(scene: Scene, near: list[SheetPoint], found: list[SheetPoint]) -> list[SheetPoint]:
    """As many more as are missing, each as far from the others as can be."""
    taken: list[SheetPoint] = []
    while near and len(found) + len(taken) < LEAST:
        others = [*found, *taken]
        centre = scene.view.back(scene.view.frame.centre)
        anchors = [ref.at for ref in others] or [centre]
        best = max(near, key=lambda r: (round(min(math.dist(r.at, a) for a in anchors), 3), r.name))
        taken.append(best)
        near = [ref for ref in near if ref is not best and math.dist(ref.at, best.at) > SAME_M]
    return taken


def _fixed(scene: Scene) -> Iterator[SheetPoint]:
    for name, at in reference_points(scene):
        yield SheetPoint(name, at, "reference")


def _corners(scene: Scene) -> Iterator[SheetPoint]:
    """Corners of the outlines, numbered through the plan; those between hard sides first."""
    number = 0
    soft = []
    for lawn in scene.lay.lawns:
        for before, side in zip((lawn.sides[-1], *lawn.sides[:-1]), lawn.sides, strict=True):
            number += 1
            x, y = side.points[0].tolist()
            corner = SheetPoint(scene.words["label.corner"].format(number=number), (x, y), "corner")
            if before.kind in HARD and side.kind in HARD:
                yield corner
            else:
                soft.append(corner)
    yield from soft


def _control_pegs(scene: Scene) -> Iterator[SheetPoint]:
    for loop in scene.lay.loops:
        for peg in loop.pegs:
            if peg.control:
                name = scene.words["label.peg"].format(number=peg.id)
                yield SheetPoint(name, (peg.x, peg.y), "peg")


def _grid_on_lawns(scene: Scene) -> Iterator[SheetPoint]:
    """Those crosses that lie within the bounds of the lawns."""
    lawns = np.concatenate([np.asarray(lawn.outline.exterior.coords) for lawn in scene.lay.lawns])
    (x0, y0), (x1, y1) = lawns.min(axis=0), lawns.max(axis=0)
    for cross in _grid(scene):
        if x0 <= cross.at[0] <= x1 and y0 <= cross.at[1] <= y1:
            yield cross


def _grid(scene: Scene) -> Iterator[SheetPoint]:
    """Crosses at round coordinates, at least 40 mm apart on paper."""
    unit = M_PER_FOOT if scene.units == "ft" else 1.0
    corners = np.array([scene.view.back(p) for p in scene.view.frame.corners()])
    step = next(
        s * unit
        for power in range(5)
        for s in (10.0**power, 2 * 10.0**power, 5 * 10.0**power)
        if scene.view.mm(s * unit) >= 40.0
    )
    low, high = np.ceil(corners.min(axis=0) / step), np.floor(corners.max(axis=0) / step)
    for i in np.arange(low[0], high[0] + 1).tolist():
        for j in np.arange(low[1], high[1] + 1).tolist():
            there = (i * step + scene.plan.origin[0], j * step + scene.plan.origin[1])
            x, y = (scene.words.numbers.plain(value / unit) for value in there)
            text = scene.words["label.grid"].format(x=x, y=y)
            yield SheetPoint(text, (i * step, j * step), "grid")
