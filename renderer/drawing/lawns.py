"""Lawns on paper: the outline true to scale, the pattern of each side, its kind and setback."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from renderer.drawing.areas import area_label
from renderer.drawing.boxes import LINE, Occupied, pieces
from renderer.drawing.kinds import LabelKind
from renderer.drawing.labels import Label, text_size
from renderer.drawing.measures import length_text
from renderer.drawing.pens import OUTLINE, SIDE_TEXT
from renderer.drawing.scene import OUTLINE as OUTLINE_LAYER
from renderer.drawing.scene import PATTERN, Part, Scene, slug
from renderer.drawing.sides import BAND_MM, PATTERNS
from renderer.drawing.spots import beside
from renderer.geometry.lines import as_points, aside, at_distances, chain, length
from renderer.geometry.rects import clip_chain
from renderer.ground.parts import mown_parts
from renderer.plan.kinds import drawn_as
from renderer.primitives import Line

if TYPE_CHECKING:
    from renderer.geometry.lines import Chain
    from renderer.ground.lay import LawnGround, Side

OUTLINE_WEIGHT = 8.0
SIDE_LABEL_LEAST_MM = 7.0


def lawns(scene: Scene) -> Iterator[Part]:
    """Each lawn that the frame shows any of."""
    for lawn in scene.lay.lawns:
        points = scene.view.chain(np.asarray(lawn.outline.exterior.coords))
        for line in _outline(scene, lawn, points):
            yield Part(((OUTLINE_LAYER, line),))
        for number, side in enumerate(lawn.sides):
            for part in clip_chain(scene.view.chain(side.points), scene.view.frame):
                yield _side(scene, f"side {lawn.name} {number}", side, part)
        if "lawn-names" in scene.show:
            yield from _names(scene, lawn, points)


def _names(scene: Scene, lawn: LawnGround, points: Chain) -> Iterator[Part]:
    """The lawn's name, or the name of each of its parts that are mown separately.

    A plan without wire has no parts: where a passage is too narrow is for the reader to find.
    """
    parts = [
        (part, ring)
        for loop in scene.lay.loops
        if loop.name == lawn.loop
        for part in mown_parts(loop)
        for ring in loop.rings
        if part.lawn == lawn.name and ring.id == part.ring
    ]
    if len(parts) > 1 and "wire" in scene.show:
        for part, ring in parts:
            inside = scene.view.chain(ring.points)
            yield Part(
                labels=tuple(
                    area_label(scene, f"lawn {part.name}", part.name, inside, LabelKind.LAWN)
                )
            )
    elif len(scene.lay.lawns) > 1:
        yield Part(
            labels=tuple(area_label(scene, f"lawn {lawn.name}", lawn.name, points, LabelKind.LAWN))
        )


def _outline(scene: Scene, lawn: LawnGround, points: Chain) -> Iterator[Line]:
    """The outline as one closed line with the lawn's id, or the pieces of it in the frame."""
    parts = clip_chain(points, scene.view.frame)
    title = scene.words["title.lawn"].format(name=lawn.name)
    if len(parts) == 1 and len(parts[0]) == len(points):
        ring, id = as_points(points[:-1]), f"lawn-{slug(lawn.name)}"
        yield Line(ring, OUTLINE, closed=True, id=id, title=title, role="outline")
        return
    for part in parts:
        yield Line(as_points(part), OUTLINE, title=title, role="outline")


def _side(scene: Scene, key: str, side: Side, part: Chain) -> Part:
    """The pattern of a side's piece in the frame, and its label."""
    drawn = PATTERNS[drawn_as(side.kind)](part) if "sides" in scene.show else []
    drawn = [kept for line in drawn for kept in _inside(scene, line)]
    band = pieces(aside(part, BAND_MM / 2), BAND_MM + 0.4)
    return Part(
        tuple((PATTERN, line) for line in drawn),
        tuple(Occupied(box, LINE, OUTLINE_WEIGHT) for box in band),
        tuple(_side_label(scene, key, side.kind, part)),
        frozenset({f"side.{side.kind}"} if "sides" in scene.show else ()),
    )


def _inside(scene: Scene, line: Line) -> Iterator[Line]:
    """What the frame shows of a pattern's line; a solid mark is shown whole or not at all."""
    if all(scene.view.frame.holds(point) for point in line.points):
        yield line
    elif not line.closed:
        for part in clip_chain(chain(line.points), scene.view.frame):
            yield replace(line, points=as_points(part))


def _side_label(scene: Scene, key: str, kind: str, part: Chain) -> Iterable[Label]:
    total = length(part)
    if total < SIDE_LABEL_LEAST_MM or "side-labels" not in scene.show:
        return
    setback = length_text(scene.plan.machine.setback[kind], scene.units, scene.words)
    text = f"{scene.words[f'short.{kind}']} {setback}"
    places = []
    for share in (0.5, 0.3, 0.7, 0.15, 0.85):
        at, way = at_distances(part, np.array([share * total]))
        normal = (-float(way[0, 1]), float(way[0, 0]))
        places.append(((float(at[0, 0]), float(at[0, 1])), normal, abs(share - 0.5)))
    spots = beside(places, text_size((text,), SIDE_TEXT), BAND_MM + 0.4, along=True)
    yield Label(key, (text,), SIDE_TEXT, LabelKind.SIDE, spots, listed=False)
