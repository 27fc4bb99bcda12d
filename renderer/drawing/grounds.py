"""Lawns with their sides, obstacles and features on paper."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

import numpy as np

from renderer.drawing.boxes import LINE, SYMBOL, Obstacle, disc, pieces
from renderer.drawing.fills import fill
from renderer.drawing.geometry import (
    as_points,
    aside,
    at_distances,
    chain,
    clip_chain,
    clip_ring,
    length,
)
from renderer.drawing.labels import Label, text_size
from renderer.drawing.measures import length_text
from renderer.drawing.pens import CHAIN, DASHED, MIDDLE, NAME_TEXT, OUTLINE, SIDE_TEXT, THIN
from renderer.drawing.scene import OUTLINE as OUTLINE_LAYER
from renderer.drawing.scene import PATTERN, Part, Scene, slug
from renderer.drawing.scene import SYMBOL as SYMBOL_LAYER
from renderer.drawing.sides import BAND_MM, PATTERNS
from renderer.drawing.spots import about, beside, outside, within
from renderer.drawing.symbols import SYMBOLS
from renderer.primitives import Line, Primitive

if TYPE_CHECKING:
    from renderer.drawing.geometry import Chain, Point
    from renderer.plan.model import Feature

OUTLINE_WEIGHT = 5.0
SIDE_LABEL_LEAST_MM = 7.0
AROUND = tuple((i * 45.0, 0.2 * (i % 4)) for i in range(8))


def lawns(scene: Scene) -> Part:
    """Outlines true to scale, the patterns of their sides, and a letter with setback a side."""
    items: list[tuple[int, Primitive]] = []
    obstacles: list[Obstacle] = []
    labels: list[Label] = []
    used: set[str] = set()
    for lawn in scene.lay.lawns:
        points = scene.view.chain(np.asarray(lawn.outline.exterior.coords))
        items.extend((OUTLINE_LAYER, line) for line in _outline(scene, lawn.name, points))
        for number, side in enumerate(lawn.sides):
            for part in clip_chain(scene.view.chain(side.points), scene.view.frame):
                used.add(f"side.{side.kind}")
                middle = aside(part, BAND_MM / 2)
                obstacles.extend(
                    Obstacle(box, LINE, OUTLINE_WEIGHT) for box in pieces(middle, BAND_MM + 0.4)
                )
                if "sides" in scene.show:
                    items.extend((PATTERN, line) for line in PATTERNS[side.kind](part))
                if "side-labels" in scene.show:
                    labels.extend(_side_label(scene, lawn.name, number, side.kind, part))
        if "names" in scene.show and len(scene.lay.lawns) > 1:
            labels.extend(_area_label(scene, f"lawn {lawn.name}", lawn.name, points, 60))
    return Part(tuple(items), tuple(obstacles), tuple(labels), frozenset(used))


def _outline(scene: Scene, name: str, points: Chain) -> Iterator[Line]:
    parts = clip_chain(points, scene.view.frame)
    title = scene.words["title.lawn"].format(name=name)
    if len(parts) == 1 and len(parts[0]) == len(points):
        ring = as_points(points[:-1])
        yield Line(ring, OUTLINE, closed=True, id=f"lawn-{slug(name)}", title=title, role="outline")
        return
    for part in parts:
        yield Line(as_points(part), OUTLINE, title=title, role="outline")


def _side_label(scene: Scene, lawn: str, number: int, kind: str, part: Chain) -> Iterable[Label]:
    total = length(part)
    if total < SIDE_LABEL_LEAST_MM:
        return
    setback = length_text(scene.plan.machine.setback[kind], scene.units)
    text = f"{scene.words[f'letter.{kind}']} {setback}"
    size = text_size((text,), SIDE_TEXT)
    places = []
    for share in (0.5, 0.3, 0.7, 0.15, 0.85):
        at, way = at_distances(part, np.array([share * total]))
        normal = (-float(way[0, 1]), float(way[0, 0]))
        places.append(((float(at[0, 0]), float(at[0, 1])), normal, abs(share - 0.5)))
    spots = beside(places, size, BAND_MM + 0.4)
    yield Label(f"side {lawn} {number}", (text,), SIDE_TEXT, 30, spots, listed=False)


def _area_label(scene: Scene, key: str, text: str, ring: Chain, priority: int) -> Iterable[Label]:
    seen = clip_ring(ring, scene.view.frame)
    if len(seen) < 3:
        return
    size = text_size((text,), NAME_TEXT)
    inner = within(seen, size)
    brief = (
        *within(seen, text_size(("88",), NAME_TEXT)),
        *outside(seen, text_size(("88",), NAME_TEXT)),
    )
    yield Label(key, (text,), NAME_TEXT, priority, (*inner, *outside(seen, size)), brief)


def obstacles(scene: Scene) -> Part:
    """Obstacles true to scale, filled by kind, with name and kind."""
    items: list[tuple[int, Primitive]] = []
    found: list[Obstacle] = []
    labels: list[Label] = []
    used: set[str] = set()
    for number, thing in enumerate(scene.plan.obstacles):
        ring = _ring(scene, thing.circle, thing.polygon)
        seen = clip_ring(ring, scene.view.frame)
        if len(seen) < 3:
            continue
        used.add(f"obstacle.{thing.kind}")
        lines, under = fill(thing.kind, [seen])
        items.extend((PATTERN, line) for line in lines)
        found.extend(under)
        for part in clip_chain(_closed(ring), scene.view.frame):
            items.append(
                (OUTLINE_LAYER, Line(as_points(part), MIDDLE, title=thing.name, role="obstacle"))
            )
            found.extend(Obstacle(box, LINE, OUTLINE_WEIGHT) for box in pieces(part, 0.5))
        if thing.kind == "tree" and thing.circle:
            items.extend(
                (SYMBOL_LAYER, item) for item in SYMBOLS["trunk"].at(_at(scene, thing.circle.at))
            )
        if "names" in scene.show:
            labels.extend(_area_label(scene, f"obstacle {number}", thing.name, ring, 35))
    return Part(tuple(items), tuple(found), tuple(labels), frozenset(used))


def features(scene: Scene) -> Part:
    """What is drawn but never mown round: areas, lines and points, each with its name."""
    items: list[tuple[int, Primitive]] = []
    found: list[Obstacle] = []
    labels: list[Label] = []
    used: set[str] = set()
    for number, thing in enumerate(scene.plan.features):
        key, text = f"feature {number}", _feature_text(scene, thing)
        before = len(items)
        if thing.at is not None and scene.view.sees(thing.at):
            items.extend(_point_feature(scene, thing, found))
            labels.extend(_point_label(scene, key, text, thing))
        elif thing.line is not None:
            items.extend(_line_feature(scene, thing, found))
            labels.extend(_line_label(scene, key, text, thing.line))
        elif thing.polygon is not None or thing.circle is not None:
            ring = _ring(scene, thing.circle, thing.polygon)
            items.extend(_area_feature(scene, thing.kind, ring, found))
            labels.extend(_area_label(scene, key, text, ring, 55))
        if len(items) > before:
            used.add(f"feature.{thing.kind}")
    return Part(tuple(items), tuple(found), tuple(labels), frozenset(used))


def _feature_text(scene: Scene, thing: Feature) -> str:
    if thing.kind == "slope" and thing.percent is not None:
        return scene.words["label.slope"].format(name=thing.name, percent=f"{thing.percent:g}")
    if thing.kind in ("buried cable", "buried pipe") and thing.depth is not None:
        return scene.words["label.buried"].format(
            name=thing.name, depth=length_text(thing.depth, scene.units)
        )
    return thing.name


POINT_SYMBOLS = {
    "sprinkler": "sprinkler",
    "gate": "gate",
    "socket": "socket",
    "play": "play",
    "slope": "slope",
}


def _point_feature(
    scene: Scene, thing: Feature, found: list[Obstacle]
) -> Iterator[tuple[int, Primitive]]:
    assert thing.at is not None
    at = _at(scene, thing.at)
    symbol = SYMBOLS[POINT_SYMBOLS.get(thing.kind, "grid")]
    found.append(Obstacle(disc(at, symbol.radius_mm), SYMBOL))
    for item in symbol.at(at):
        yield SYMBOL_LAYER, item
    if thing.kind == "sprinkler" and thing.radius:
        radius = scene.view.mm(thing.radius)
        ring = _circle(at, radius)
        for part in clip_chain(_closed(ring), scene.view.frame):
            yield PATTERN, Line(as_points(part), DASHED, role="throw")
            found.extend(Obstacle(box, LINE, 0.5) for box in pieces(part, 0.35))


def _point_label(scene: Scene, key: str, text: str, thing: Feature) -> Iterable[Label]:
    if "names" not in scene.show or thing.at is None:
        return
    at = _at(scene, thing.at)
    radius = SYMBOLS[POINT_SYMBOLS.get(thing.kind, "grid")].radius_mm
    spots = about(
        at, radius, text_size((text,), NAME_TEXT), (1.0, 0.0), swing=AROUND, far=(2.0, 5.0, 9.0)
    )
    brief = about(
        at, radius, text_size(("88",), NAME_TEXT), (1.0, 0.0), swing=AROUND, far=(2.0, 5.0)
    )
    yield Label(key, (text,), NAME_TEXT, 33, spots, brief)


def _line_feature(
    scene: Scene, thing: Feature, found: list[Obstacle]
) -> Iterator[tuple[int, Primitive]]:
    assert thing.line is not None
    pen = CHAIN if thing.kind == "buried cable" else DASHED if thing.kind == "buried pipe" else THIN
    for part in clip_chain(scene.view.chain(chain(thing.line)), scene.view.frame):
        yield PATTERN, Line(as_points(part), pen, title=thing.name, role="feature")
        found.extend(Obstacle(box, LINE, 1.0) for box in pieces(part, 0.35))


def _line_label(scene: Scene, key: str, text: str, line: tuple[Point, ...]) -> Iterable[Label]:
    if "names" not in scene.show:
        return
    size = text_size((text,), NAME_TEXT)
    places = []
    for part in clip_chain(scene.view.chain(chain(line)), scene.view.frame):
        total = length(part)
        for share in (0.5, 0.25, 0.75, 0.1, 0.9):
            at, way = at_distances(part, np.array([share * total]))
            for side in (1, -1):
                normal = (side * -float(way[0, 1]), side * float(way[0, 0]))
                places.append(((float(at[0, 0]), float(at[0, 1])), normal, abs(share - 0.5)))
    if places:
        yield Label(key, (text,), NAME_TEXT, 50, beside(places, size, 0.5))


def _area_feature(
    scene: Scene, kind: str, ring: Chain, found: list[Obstacle]
) -> Iterator[tuple[int, Primitive]]:
    seen = clip_ring(ring, scene.view.frame)
    if len(seen) < 3:
        return
    lines, under = fill(kind if kind in ("paving", "slope", "building", "play") else "play", [seen])
    found.extend(under)
    for line in lines:
        yield PATTERN, line
    for part in clip_chain(_closed(ring), scene.view.frame):
        yield PATTERN, Line(as_points(part), DASHED, role="feature")
        found.extend(Obstacle(box, LINE, 1.0) for box in pieces(part, 0.35))


def _ring(scene: Scene, circle: object, polygon: tuple[Point, ...] | None) -> Chain:
    """A circle or polygon of the plan on paper, not closed again."""
    if polygon is not None:
        return scene.view.chain(chain(polygon))
    at: tuple[float, float] = circle.at  # type: ignore[attr-defined]
    return _circle(scene.view.point(at), scene.view.mm(circle.radius))  # type: ignore[attr-defined]


def _circle(at: Point, radius: float) -> Chain:
    """A circle as a chain that keeps within 0.02 mm of it."""
    count = max(16, math.ceil(math.pi / math.acos(max(0.0, 1 - 0.02 / max(radius, 0.03)))))
    angle = np.linspace(0, 2 * math.pi, count, endpoint=False)
    return np.column_stack((at[0] + radius * np.cos(angle), at[1] + radius * np.sin(angle)))


def _closed(ring: Chain) -> Chain:
    return np.concatenate((ring, ring[:1]))


def _at(scene: Scene, at: tuple[float, float]) -> Point:
    x, y = scene.view.point(at)
    return round(x, 3), round(y, 3)
