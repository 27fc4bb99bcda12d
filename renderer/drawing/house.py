"""Walls of a house between its measured corners, hatched behind: how far it goes is not known."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from renderer.drawing.areas import line_parts
from renderer.drawing.fills import fill
from renderer.drawing.kinds import LabelKind
from renderer.drawing.labels import Label, text_size
from renderer.drawing.pens import MIDDLE, NAME_TEXT
from renderer.drawing.scene import OUTLINE, PATTERN, Part, Scene
from renderer.drawing.spots import beside
from renderer.geometry.lines import aside, at_distances, chain, length
from renderer.geometry.rects import clip_ring
from renderer.ground.faces import faces

if TYPE_CHECKING:
    from renderer.geometry.lines import Chain

DEEP_MM = 4.5  # of the hatching behind a wall
WALL_WEIGHT = 40.0  # a name on it would hide it
SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9)
GAPS_MM = (0.8, 3.0, 6.0)  # from the wall to its name, over the hatching or behind it


def house(scene: Scene) -> Iterator[Part]:
    """Each wall between corners of the survey, and the name of the house along its own.

    A building among the features has a name of its own.
    """
    named = any(each.kind == "building" for each in scene.plan.features)
    for face in faces(scene.plan, scene.lay.lawns):
        line = scene.view.chain(chain((face.a, face.b)))
        strip = clip_ring(np.concatenate((line, aside(line, DEEP_MM)[::-1])), scene.view.frame)
        if len(strip) < 3:
            continue
        lines, under = fill("feature.building", [strip])
        label = () if face.of or named else (_name(scene, line),)
        named = named or bool(label)
        used = frozenset({"house"})
        yield Part(tuple((PATTERN, row) for row in lines), under, label, used)
        yield from line_parts(
            scene, line, MIDDLE, WALL_WEIGHT, layer=OUTLINE, title="", role="house"
        )


def _name(scene: Scene, line: Chain) -> Label:
    text = scene.words["label.house"]
    where, way = at_distances(line, np.array(SHARES) * length(line))
    places = [
        ((x, y), (-dy, dx), abs(share - 0.5))
        for (x, y), (dx, dy), share in zip(where.tolist(), way.tolist(), SHARES, strict=True)
    ]
    size = text_size((text,), NAME_TEXT)
    spots = tuple(
        spot._replace(cost=spot.cost + 0.1 * gap)
        for gap in GAPS_MM
        for spot in beside(places, size, gap)
    )
    return Label("house", (text,), NAME_TEXT, LabelKind.THING, spots, listed=False)
