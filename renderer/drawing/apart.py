"""A lead pair and the ring at its end as they are walked, the two wires drawn apart.

On the ground the two wires touch; on a plate they are drawn a few millimetres from
each other, and the rings are opened by as much, so that the one wire can be followed
with a pencil. Each leg has its number of the wire list.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np

from renderer.drawing.areas import line_parts
from renderer.drawing.boxes import LINE, Occupied, disc, pieces
from renderer.drawing.kinds import LabelKind
from renderer.drawing.labels import Label, Led, Opens, Spot
from renderer.drawing.pens import (
    PAIR_CORE,
    PAIR_PEN,
    SIDE_TEXT,
    THIN,
    THIN_WIRE,
    WHITE,
    WIDE_MM,
    WIRE,
)
from renderer.drawing.scene import MARK, PAIR, Part, Scene, joined
from renderer.drawing.scene import WIRE as WIRE_LAYER
from renderer.drawing.spots import turned
from renderer.drawing.symbols import SYMBOLS
from renderer.drawing.walked import Branch, Numbered, branch_to, walked
from renderer.geometry.lines import as_points, aside, at_distances, between, length
from renderer.geometry.rects import clip_chain
from renderer.ground.whereabouts import LoopPlaces, meeting
from renderer.primitives import Circle, Line, Pen, Primitive

if TYPE_CHECKING:
    from renderer.geometry.lines import Chain, Point
    from renderer.ground.lay import Lead, LoopLay, Ring

BADGE_MM = 2.3  # room of a badge's ring, its radius
DIGIT_MM = 0.35  # and more of it for each digit after the first
# Where along its leg a badge may stand, the best first; and how far off, at what cost: clear of the
# wire, or clear of its pegs too.
BADGE_SHARES = (0.4, 0.3, 0.5, 0.75, 0.2, 0.9, 0.1, 0.6, 0.05, 0.97, 0.25, 0.35, 0.45, 0.67, 0.83)
BADGE_CLEAR_MM = ((0.5, 0.0), (1.3, 0.2), (2.6, 1.0), (4.5, 3.0))
OTHER_COST = 0.3  # on the other hand of an edge
EITHER = ((90.0, 0.0), (-90.0, OTHER_COST))
INSIDE_COST = 2.0  # inside a ring, where what it goes round is


class _Leg(NamedTuple):
    """A leg's number in the wire list, the line that is drawn of it, and which piece is marked.

    Its number stands on one of ``sides``: degrees from the way of the wire, and what that costs.
    """

    number: int
    line: Chain
    part: Literal["first", "last", "longest"]
    sides: tuple[tuple[float, float], ...]


def apart(scene: Scene, loop: LoopLay, lead: Lead) -> Part:
    """The walk along one ring, out, round the far ring, back, and on, with its order.

    Other rings and pairs that the frame shows are drawn thin.
    """
    legs = _legs(scene, loop, lead)
    seen = tuple(_seen(scene, _numbered(scene, loop, lead, legs)))
    walk = Part(
        (*_lines(scene, np.concatenate(legs)), *_arrows(seen)),
        tuple(_obstacles(scene, legs)),
        tuple(_numbers(seen)),
        frozenset({"wire", "arrow"}),
    )
    return joined((*_others(scene, loop, lead), walk))


def _legs(scene: Scene, loop: LoopLay, lead: Lead) -> list[Chain]:
    """The five stretches of the walk on paper, each beginning where the one before ends."""
    rings = {ring.id: ring for ring in loop.rings}
    hand = -1.0 if scene.plan.machine.lay_direction == "anticlockwise" else 1.0
    pair = scene.view.chain(lead.points)
    arriving, leaving = _beside(scene, rings[lead.from_ring], pair[0])
    round_far = _round(scene, rings[lead.to_ring], pair[-1])
    out = aside(pair, hand * scene.apart_mm / 2)[1:-1]
    back = aside(pair, -hand * scene.apart_mm / 2)[::-1][1:-1]
    return [
        arriving,
        np.concatenate((arriving[-1:], out, round_far[:1])),
        round_far,
        np.concatenate((round_far[-1:], back, leaving[:1])),
        leaving,
    ]


def _numbered(scene: Scene, loop: LoopLay, lead: Lead, legs: list[Chain]) -> Iterator[_Leg]:
    """The legs of the wire list among the stretches of the walk: of a ring as many as it has."""
    arriving, out, round_far, back, leaving = legs
    found = branch_to(walked(loop), lead.id)
    assert found is not None  # the lead is one of the loop's own
    near, place = found
    branch = near.items[place]
    assert isinstance(branch, Branch)
    before = [each for each in near.items[:place] if isinstance(each, Numbered)]
    after = [each for each in near.items[place + 1 :] if isinstance(each, Numbered)]
    if before and before[-1].leg.kind != "tail":
        total = length(arriving)
        own = min(total, scene.view.mm(before[-1].leg.length_m))
        yield _Leg(before[-1].number, between(arriving, total - own, total), "last", EITHER)
    # Each wire of a pair has its number on its own hand, and a ring its own outside of it.
    beside, round_it = _hands(scene)
    yield _Leg(branch.out.number, out, "last", beside)
    whole, run = sum(each.leg.length_m for each in branch.ring.legs), 0.0
    for each in branch.ring.legs:
        start, run = run, run + each.leg.length_m / whole * length(round_far)
        yield _Leg(each.number, between(round_far, start, run), "longest", round_it)
    yield _Leg(branch.back.number, back, "first", beside)
    if after and after[0].leg.kind != "tail":
        own = min(length(leaving), scene.view.mm(after[0].leg.length_m))
        yield _Leg(after[0].number, between(leaving, 0.0, own), "first", EITHER)


def _hands(scene: Scene) -> tuple[tuple[tuple[float, float], ...], ...]:
    """On which side of a wire of a pair, and of a ring at its end, the lawn is: where numbers go.

    On paper y runs down, so that the left of an anticlockwise lay is a turn of -90 degrees.
    """
    lawn = -90.0 if scene.plan.machine.lay_direction == "anticlockwise" else 90.0
    return ((lawn, 0.0),), ((lawn, 0.0), (-lawn, INSIDE_COST))


def _seen(scene: Scene, legs: Iterator[_Leg]) -> Iterator[_Leg]:
    """Of each leg the piece in the frame that joins the others, or the longest of a ring."""
    frame = scene.view.frame.grown(-1.0)
    for leg in legs:
        parts = clip_chain(leg.line, frame)
        if parts:
            longest = leg.part == "longest"
            part = max(parts, key=length) if longest else parts[-1 if leg.part == "last" else 0]
            yield leg._replace(line=part)


def _others(scene: Scene, loop: LoopLay, lead: Lead) -> Iterator[Part]:
    """Rings and pairs that are not of this walk."""
    window = scene.view.window()
    known = (each for each in scene.places.loops if each.loop is loop)
    places = next(known, None) or LoopPlaces(loop)
    for ring in (loop.rings[number] for number in meeting(places.rings, window)):
        if ring.id not in (lead.from_ring, lead.to_ring):
            yield from _thin(scene, ring.points, THIN_WIRE)
    for other in (loop.leads[number] for number in meeting(places.leads, window)):
        if other.id != lead.id:
            yield from _thin(scene, other.points, PAIR_PEN)
            yield from _thin(scene, other.points, PAIR_CORE)


def _thin(scene: Scene, points: Chain, pen: Pen) -> Iterator[Part]:
    layer = PAIR if pen is PAIR_CORE or pen is PAIR_PEN else WIRE_LAYER
    chain = scene.view.chain(points)
    return line_parts(scene, chain, pen, 3.0, layer=layer, title="", role="wire")


def _opened(scene: Scene, ring: Ring, at: Chain) -> tuple[Chain, float, float]:
    """The ring twice round on paper, its length, and where on the second round ``at`` lies."""
    points = scene.view.chain(ring.points)
    once = points[:-1] if np.allclose(points[0], points[-1]) else points
    twice = np.concatenate((once, once, once, once[:1]))
    total = length(np.concatenate((once, once[:1])))
    steps = np.diff(twice, axis=0)
    run = np.concatenate(([0.0], np.cumsum(np.hypot(*steps.T))))
    square = np.maximum((steps**2).sum(axis=1), 1e-12)
    share = np.clip(((at - twice[:-1]) * steps).sum(axis=1) / square, 0.0, 1.0)
    off = np.hypot(*(twice[:-1] + share[:, None] * steps - at).T)
    middle = (run[:-1] >= total - 1e-6) & (run[:-1] < 2 * total - 1e-6)
    best = int(np.flatnonzero(middle)[np.argmin(off[middle])])
    return twice, total, float(run[best] + share[best] * math.sqrt(square[best]))


def _beside(scene: Scene, ring: Ring, at: Chain) -> tuple[Chain, Chain]:
    """The ring's wire before and after the place where the pair leaves it, half of it each."""
    twice, total, place = _opened(scene, ring, at)
    half, gap = total / 2, min(scene.apart_mm / 2, total / 4)
    return between(twice, place - half, place - gap), between(twice, place + gap, place + half)


def _round(scene: Scene, ring: Ring, at: Chain) -> Chain:
    """The ring's wire all round, open where the pair reaches it."""
    twice, total, place = _opened(scene, ring, at)
    gap = min(scene.apart_mm / 2, total / 4)
    return between(twice, place + gap, place + total - gap)


def _lines(scene: Scene, walk: Chain) -> Iterator[tuple[int, Line]]:
    for part in clip_chain(walk, scene.view.frame):
        yield WIRE_LAYER, Line(as_points(part), WIRE, role="wire-apart")


def _arrows(seen: Sequence[_Leg]) -> Iterator[tuple[int, Primitive]]:
    for _, line, part, _ in seen:
        total = length(line)
        if total < 6.0:
            continue
        # Away from the badges, which stand nearer to the beginning.
        shares = (0.62,) if total < 60.0 or part != "longest" else (0.2, 0.62)
        where, way = at_distances(line, np.array(shares) * total)
        for (x, y), (dx, dy) in zip(where.tolist(), way.tolist(), strict=True):
            turn = math.degrees(math.atan2(-dy, dx))
            yield from ((MARK, item) for item in SYMBOLS["arrow"].at((x, y), turn))


def _obstacles(scene: Scene, legs: list[Chain]) -> Iterator[Occupied]:
    for leg in legs:
        for part in clip_chain(leg, scene.view.frame):
            yield from (Occupied(box, LINE, 6.0) for box in pieces(part, WIDE_MM))


def _numbers(seen: Sequence[_Leg]) -> Iterator[Label]:
    """Numbers in rings, beside their leg."""
    for number, line, _, sides in seen:
        where, way = at_distances(line, np.array(BADGE_SHARES) * length(line))
        places = enumerate(zip(where.tolist(), way.tolist(), strict=True))
        room_mm = BADGE_MM + DIGIT_MM * (len(str(number)) - 1)
        led = tuple(
            Led(0.3 * rank, partial(_badges, room_mm, sides, (x, y), (dx, dy), 0.3 * rank))
            for rank, ((x, y), (dx, dy)) in places
        )
        kind = LabelKind.WALK
        text, key = str(number), f"walk {number}"
        yield Label(key, (text,), SIDE_TEXT, kind, (), listed=False, badge=True, led=led)


def _badges(
    room_mm: float,
    sides: Sequence[tuple[float, float]],
    at: Point,
    way: Point,
    dear: float,
    opens: Opens,
) -> tuple[Spot, ...]:
    """The places of a number beside one place of its leg, of those that could be free."""
    spots = []
    for side, cost in sides:
        nx, ny = turned(way, side)
        for clear, more in BADGE_CLEAR_MM:
            off = WIDE_MM / 2 + room_mm + clear
            centre = (round(at[0] + nx * off, 3), round(at[1] + ny * off, 3))
            room = disc(centre, room_mm)
            if opens(room):
                ring = Circle(centre, room_mm - 0.2, THIN, WHITE, role="order")
                spots.append(Spot(dear + cost + more, room, (), (ring,)))
    return tuple(spots)
