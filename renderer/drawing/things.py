"""Obstacles and features on paper: what is mown round, and what is only shown."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np

from renderer.drawing.areas import (
    MOST_WITHIN,
    area_label,
    closed,
    filled,
    line_parts,
    ring_of,
    round_ring,
)
from renderer.drawing.boxes import SYMBOL, Occupied
from renderer.drawing.fills import FILLS
from renderer.drawing.kinds import LabelKind
from renderer.drawing.labels import Label, Places, Spot, text_size
from renderer.drawing.measures import length_text
from renderer.drawing.pens import CABLE, DASHED, DOUBLE_CHAIN, GATE, MIDDLE, NAME_TEXT, PIPE, THIN
from renderer.drawing.scene import PATTERN, Part, Scene
from renderer.drawing.scene import SYMBOL as SYMBOL_LAYER
from renderer.drawing.spots import BEYOND_MM, about, beside, beyond, centroid, outside, within
from renderer.drawing.symbols import SYMBOLS
from renderer.geometry.lines import at_distances, chain, length
from renderer.geometry.rects import clip_chain, clip_ring
from renderer.geometry.rings import area
from renderer.ground.whereabouts import meeting
from renderer.plan.kinds import FEATURES

if TYPE_CHECKING:
    from renderer.drawing.symbols import Symbol
    from renderer.geometry.lines import Chain, Point
    from renderer.plan.model import Feature
    from renderer.primitives import Pen, Primitive

EDGE_WEIGHT = 6.0
NEAR_MM = 1.0  # things this near to the frame are looked at
FEATURE_WEIGHT = 1.0
AROUND = tuple((i * 45.0, 0.2 * (i % 4)) for i in range(8))
FAR = (2.0, 5.0, 9.0, 14.0)
FARTHER = (20.0, 28.0, 38.0)
FEW_SHARES = (0.5, 0.25, 0.75, 0.1, 0.9)
MANY_SHARES = tuple(i / 16 for i in range(1, 16))
FARTHER_LINE = (17.0, 24.0, 32.0)
# The lines that a kind of feature may name.
PENS = {
    "": THIN,
    "chain": CABLE,
    "dashed": PIPE,
    "gate": GATE,
    "middle": MIDDLE,
    "double chain": DOUBLE_CHAIN,
}


def line_pen(kind: str) -> Pen:
    """The line of a kind of feature."""
    return PENS[FEATURES[kind].line]


def point_symbol(kind: str) -> Symbol:
    """What a kind of feature is drawn as at a point."""
    return SYMBOLS[FEATURES[kind].symbol]


def obstacles(scene: Scene) -> Iterator[Part]:
    """Obstacles true to scale, filled by kind, with their names."""
    window = scene.view.window(NEAR_MM)
    for number in meeting(scene.places.obstacles, window):
        thing = scene.plan.obstacles[number]
        ring = ring_of(scene, thing.circle, thing.polygon)
        parts = list(
            filled(scene, ring, thing.kind, MIDDLE, EDGE_WEIGHT, title=thing.name, role="obstacle")
        )
        yield from parts
        if not parts:
            continue
        trunk: tuple[Primitive, ...] = ()
        if thing.kind == "tree" and thing.circle and scene.view.sees(thing.circle.at):
            trunk = SYMBOLS["trunk"].at(at_of(scene, thing.circle.at))
        key = f"obstacle {number}"
        labels = tuple(area_label(scene, key, thing.name, ring, LabelKind.THING))
        items = tuple((SYMBOL_LAYER, item) for item in trunk)
        yield Part(items, (), labels, frozenset({f"obstacle.{thing.kind}"}), ((key, ring),))


def features(scene: Scene) -> Iterator[Part]:
    """What is shown and never mown round: areas, lines and points, each with its name."""
    for number, thing in enumerate(scene.plan.features):
        parts = list(_feature(scene, f"feature {number}", thing))
        yield from parts
        if any(part.items for part in parts):
            yield Part(used=frozenset({legend_key(thing)}))


def legend_key(thing: Feature) -> str:
    """What a legend says of a feature: its kind, and whether it is a point, a line or an area."""
    form = "at" if thing.at is not None else "line" if thing.line is not None else "area"
    return f"feature.{thing.kind}.{form}"


def _feature(scene: Scene, key: str, thing: Feature) -> Iterator[Part]:
    text = _text(scene, thing)
    if thing.at is not None:
        if scene.view.sees(thing.at):
            yield from _point(scene, key, text, thing, at_of(scene, thing.at))
    elif thing.line is not None:
        points = scene.view.chain(chain(thing.line))
        pen = line_pen(thing.kind)
        yield from line_parts(
            scene, points, pen, FEATURE_WEIGHT, layer=PATTERN, title=thing.name, role="feature"
        )
        yield Part(labels=tuple(_line_label(scene, key, text, thing.line)))
    else:
        ring = ring_of(scene, thing.circle, thing.polygon)
        kind = f"feature.{thing.kind}"
        yield from filled(
            scene, ring, kind, DASHED, FEATURE_WEIGHT, title=thing.name, role="feature"
        )
        fall = tuple(_fall(scene, key, thing, ring))
        own = ((key, ring),)
        yield Part(
            labels=fall,
            used=frozenset({"fall"} if fall else ()),
            areas=own if thing.kind == "building" else (),
            grounds=own if kind in FILLS else (),
        )
        yield Part(labels=tuple(area_label(scene, key, text, ring, LabelKind.THING)))


def _fall(scene: Scene, key: str, thing: Feature, ring: Chain) -> Iterator[Label]:
    """The arrow down a slope, in its area or led to from beside it."""
    seen = clip_ring(ring, scene.view.frame) if len(ring) else ring
    if thing.downhill is None or len(seen) < 3:
        return
    whole = abs(area(seen)) > 0.5 * abs(area(ring))
    symbol = SYMBOLS["fall"]
    at, to = centroid(ring), scene.view.point(thing.downhill)
    turn = math.degrees(math.atan2(at[1] - to[1], to[0] - at[0]))
    size = (2 * symbol.radius_mm, 2 * symbol.radius_mm)

    def with_arrow(spots: Iterable[Spot]) -> tuple[Spot, ...]:
        return tuple(
            spot._replace(marks=(*spot.marks, *symbol.at((spot.box.x, spot.box.y), turn)))
            for spot in spots
        )

    yield Label(
        f"{key} fall",
        (),
        NAME_TEXT,
        LabelKind.FALL,
        with_arrow(within(seen, size, most=MOST_WITHIN)),
        listed=False,
        badge=True,
        led=tuple(each.then(with_arrow) for each in outside(seen, size)) if whole else (),
    )


def _text(scene: Scene, thing: Feature) -> str:
    words = scene.words
    if thing.kind == "slope" and thing.percent is not None:
        return words["label.slope"].format(
            name=thing.name, percent=words.numbers.plain(thing.percent)
        )
    if FEATURES[thing.kind].line and thing.depth is not None:
        depth = length_text(thing.depth, scene.units, scene.words)
        return words["label.buried"].format(name=thing.name, depth=depth)
    return thing.name


def _point(scene: Scene, key: str, text: str, thing: Feature, at: Point) -> Iterator[Part]:
    symbol = point_symbol(thing.kind)
    room = symbol.room(at)
    if thing.kind == "sprinkler" and thing.radius:
        ring = closed(round_ring(at, scene.view.mm(thing.radius)))
        yield from line_parts(
            scene, ring, DASHED, 0.5, layer=PATTERN, title=thing.name, role="throw"
        )
    labels: tuple[Label, ...] = ()
    if "names" in scene.show:
        size, short = text_size((text,), NAME_TEXT), text_size(("N88",), NAME_TEXT)
        spots, led = about(room, size, (1.0, 0.0), swing=AROUND, far=FAR)
        labels = (
            Label(
                key,
                (text,),
                NAME_TEXT,
                LabelKind.PLACE,
                spots,
                lambda: about(room, short, (1.0, 0.0), swing=AROUND, far=(*FAR, *FARTHER)).all(),
                more=lambda: about(room, size, (1.0, 0.0), swing=AROUND, far=FARTHER).all(),
                led=led,
            ),
        )
    items = () if _under_supply(scene, at) else symbol.at(at)
    yield Part(tuple((SYMBOL_LAYER, item) for item in items), (Occupied(room, SYMBOL),), labels)


def _under_supply(scene: Scene, at: Point) -> bool:
    """Whether the mark of a supply covers the place, as it does that of its own socket."""
    if "supply" not in scene.show:
        return False
    reach = SYMBOLS["supply"].radius_mm + SYMBOLS["socket"].radius_mm
    marks = [scene.view.point(loop.supply.at) for loop in scene.plan.loops if loop.supply]
    return any(abs(x - at[0]) < reach and abs(y - at[1]) < reach for x, y in marks)


def _line_label(scene: Scene, key: str, text: str, line: tuple[Point, ...]) -> Iterable[Label]:
    if "names" not in scene.show:
        return
    places = _places(scene, line, FEW_SHARES)
    if not places:
        return
    size, short = text_size((text,), NAME_TEXT), text_size(("N88",), NAME_TEXT)
    yield Label(
        key,
        (text,),
        NAME_TEXT,
        LabelKind.THING,
        beside(places, size, 0.5),
        lambda: _anywhere(scene, line, short),
        more=lambda: _anywhere(scene, line, size),
        led=beyond(places, size),
    )


def _anywhere(scene: Scene, line: tuple[Point, ...], size: tuple[float, float]) -> tuple[Spot, ...]:
    """All places along a line that are worth trying."""
    places = _places(scene, line, MANY_SHARES)
    led = beyond(places, size, (*BEYOND_MM, *FARTHER_LINE))
    return Places(beside(places, size, 0.5), led).all()


def _places(
    scene: Scene, line: tuple[Point, ...], shares: Sequence[float]
) -> list[tuple[Point, Point, float]]:
    """Places on the pieces of a line in the frame, to either side, the middle first."""
    places = []
    for part in clip_chain(scene.view.chain(chain(line)), scene.view.frame):
        where, way = at_distances(part, np.array(shares) * length(part))
        for (x, y), (dx, dy), share in zip(where.tolist(), way.tolist(), shares, strict=True):
            places += [((x, y), (-dy, dx), abs(share - 0.5)), ((x, y), (dy, -dx), abs(share - 0.5))]
    return places


def at_of(scene: Scene, at: tuple[float, float]) -> Point:
    """A ground point on paper, rounded to a micrometre."""
    x, y = scene.view.point(at)
    return round(x, 3), round(y, 3)
