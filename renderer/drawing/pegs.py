"""Pegs on paper: a mark for every peg, a number wherever there is room for it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from renderer.drawing.boxes import CLEAR_MM, Occupied, disc, segment
from renderer.drawing.boxes import PEG as PEG_KIND
from renderer.drawing.kinds import LabelKind
from renderer.drawing.labels import Label, Spot, text_size
from renderer.drawing.pens import NARROW_MM, PEG_TEXT
from renderer.drawing.scale import CLOSE
from renderer.drawing.scene import PEG, Part, Scene
from renderer.drawing.spots import about, led_about
from renderer.drawing.symbols import SYMBOLS, named
from renderer.geometry.lines import at_distances
from renderer.ground.whereabouts import LoopPlaces

if TYPE_CHECKING:
    from renderer.drawing.boxes import Box
    from renderer.geometry.lines import Chain, Point
    from renderer.ground.lay import LoopLay, Peg
    from renderer.primitives import Primitive

# A peg nearer to the edge of a sheet is on the next one too.
EDGE_MM = 1.0
# Pegs nearer than this on paper are drawn as small marks.
CROWDED_MM = 2.4
# What a leader pays to pass over a peg.
OVER_PEG = 8.0
STEPS = (1, 2, 5, 10)
SWING = ((0, 0.0), (35, 0.4), (-35, 0.4), (55, 0.8), (-55, 0.8))
# A control peg's number may also stand on the other side, rather than nowhere.
SWING_CONTROL = (*SWING, (110, 2.0), (-110, 2.0), (180, 3.5), (145, 3.5), (-145, 3.5))
FAR = (2.0, 5.0, 9.0)
# Nor may it stand nowhere: a crew finds its way by these.
ALL_ROUND = tuple((turn, abs(turn) / 60) for turn in range(-160, 181, 20))
FARTHER = (1.0, 3.0, 5.0, 7.0, 10.0, 13.0, 17.0, 22.0, 29.0, 37.0, 45.0)


def pegs(scene: Scene) -> Part:
    """Marks of all pegs in the frame, and the labels of those that are numbered."""
    items: list[tuple[int, Primitive]] = []
    obstacles: list[Occupied] = []
    labels: list[Label] = []
    used: set[str] = set()
    step = number_step(scene)
    covers = _covers(scene)
    for places in scene.places.loops:
        for peg, at, normal, crowded in _seen(scene, places):
            if not peg.control and "control-only" in scene.show:
                continue
            name = "control" if peg.control else f"peg{peg.round}"
            symbol = SYMBOLS[f"{name}.small" if crowded else name]
            title = scene.words["title.peg"].format(number=peg.id, round=peg.round)
            marks = named(symbol.at(at), f"peg-{peg.id}", title)
            items.extend((PEG, mark) for mark in marks)
            obstacles.append(Occupied(symbol.room(at), PEG_KIND, OVER_PEG))
            used.add(name)
            kind = _kind(peg, step)
            if kind is not None and scene.view.scale > CLOSE[True]:
                kind = kind.from_afar
            if "peg-numbers" in scene.show and kind is not None:
                room = symbol.room(at)
                if peg.also_at_m is not None and room.hw < scene.apart_mm / 2 + NARROW_MM:
                    room = disc(at, scene.apart_mm / 2 + NARROW_MM)
                labels.append(_label(peg, room, normal, kind, covers))
    return Part(tuple(items), tuple(obstacles), tuple(labels), frozenset(used))


def peg_key(number: str) -> str:
    """The key of the label that numbers a peg."""
    return f"peg {number}"


def number_step(scene: Scene) -> int:
    """At which interval pegs are numbered at this scale, control and round-1 pegs always."""
    width = text_size(("888",), PEG_TEXT)[0] + 1.0
    pitch = scene.view.mm(scene.plan.machine.peg_spacing.final)
    return next((step for step in STEPS if pitch * step >= width), STEPS[-1])


def _kind(peg: Peg, step: int) -> LabelKind | None:
    if peg.control:
        is_fixed = peg.reason in ("dock", "corner", "splice")
        return LabelKind.PEG_FIXED if is_fixed else LabelKind.PEG_CONTROL
    number = int(peg.id) if peg.id.isdigit() else 0
    if number % step:
        return None
    if number % 5:
        return LabelKind.PEG
    return LabelKind.PEG_FIFTH if number % 10 else LabelKind.PEG_TENTH


def _label(
    peg: Peg, room: Box, normal: tuple[float, float], kind: LabelKind, covers: Sequence[Box]
) -> Label:
    size, key = text_size((peg.id,), PEG_TEXT), peg_key(peg.id)
    if not peg.control:
        near = about(room, size, normal, swing=SWING).spots
        return Label(key, (peg.id,), PEG_TEXT, kind, near, listed=False)
    spots, led = about(room, size, normal, swing=SWING_CONTROL, far=FAR)
    led += led_about(room, size, normal, swing=ALL_ROUND, far=FARTHER)
    under = _under((room.x, room.y), covers)
    if under:
        led = tuple(each.then(partial(_coming_out, (room.x, room.y), under)) for each in led)
    return Label(key, (peg.id,), PEG_TEXT, kind, spots, led=led)


def _under(at: Point, covers: Sequence[Box]) -> float:
    """How far from a peg the symbols reach that stand over it, in mm; 0 where none does."""
    gaps = [(math.dist(at, (box.x, box.y)), math.hypot(box.hw, box.hh)) for box in covers]
    return max((gap + reach for gap, reach in gaps if gap < reach), default=0.0)


def _coming_out(at: Point, under: float, spots: Sequence[Spot]) -> tuple[Spot, ...]:
    """Places whose leaders take room only from where they come out ``under`` a symbol."""
    return tuple(spot._replace(strokes=_strokes_out(at, under, spot)) for spot in spots)


def _strokes_out(at: Point, under: float, spot: Spot) -> tuple[Box, ...]:
    if spot.leader is None:
        return spot.strokes
    start = spot.leader.start
    share = min(1.0, (under + CLEAR_MM) / math.dist(start, at))
    out = (at[0] + share * (start[0] - at[0]), at[1] + share * (start[1] - at[1]))
    return (segment(start, out, NARROW_MM + 2 * CLEAR_MM),)


def _covers(scene: Scene) -> list[Box]:
    """The room of the symbols that may stand over a peg: docks, splices and fixed points."""
    places = [("dock", loop.start) for loop in scene.lay.loops]
    places += [("splice", (each.x, each.y)) for loop in scene.lay.loops for each in loop.splices]
    places += [("reference", (float(x), float(y))) for _, (x, y) in _fixed(scene)]
    return [SYMBOLS[name].room(scene.view.point(at)) for name, at in places]


def _fixed(scene: Scene) -> Iterator[tuple[str, Sequence[float]]]:
    for each in scene.setting.references:
        yield each.name, each.at


def _seen(
    scene: Scene, places: LoopPlaces
) -> Iterator[tuple[Peg, tuple[float, float], tuple[float, float], bool]]:
    """Pegs in the frame: where, the unit normal to the mown side, whether the next one is near."""
    loop = places.loop
    if not loop.pegs:
        return
    frame = scene.view.frame.grown(-EDGE_MM)
    where = scene.view.chain(places.pegs)
    within = (where >= (frame.x0, frame.y0)).all(axis=1) & (where <= (frame.x1, frame.y1)).all(
        axis=1
    )
    seen = np.flatnonzero(within)
    if not len(seen):
        return
    normals = mown_side(scene, loop, places.pegs_at_m[seen])
    crowded = _crowded(where)[seen].tolist()
    at, ways = np.round(where[seen], 3).tolist(), normals.tolist()
    for i, (x, y), (nx, ny), near in zip(seen.tolist(), at, ways, crowded, strict=True):
        yield loop.pegs[i], (x, y), (nx, ny), near


def _crowded(where: Chain) -> Chain:
    gap = np.hypot(*np.diff(where, axis=0).T)
    inf = np.array([math.inf])
    near = np.minimum(np.concatenate((inf, gap)), np.concatenate((gap, inf)))
    result: Chain = near < CROWDED_MM
    return result


def mown_side(scene: Scene, loop: LoopLay, at_m: Chain) -> Chain:
    """Unit normals, on paper, to the mown side of the wire at running distances."""
    first, last = LoopPlaces(loop).stretch(at_m, 1.0 / scene.view.mm_per_m)
    path = scene.view.chain(loop.path[first : last + 1])
    d = np.asarray(scene.view.mm(1.0) * (at_m - loop.at_m[first]))
    _, before = at_distances(path, np.maximum(d - 0.5, 0.0))
    _, after = at_distances(path, d + 0.5)
    way = before + after
    flat = np.hypot(*way.T) < 1e-6
    way[flat] = after[flat]
    way /= np.hypot(*way.T)[:, None]
    hand = 1.0 if scene.plan.machine.lay_direction == "anticlockwise" else -1.0
    normal: Chain = hand * np.column_stack((way[:, 1], -way[:, 0]))
    return normal
