"""Slips of a crew in a lay that is right elsewhere: one part moved, everything beside it kept.

Like ``faults``, each function takes frozen values and gives new ones. Lengths in metres.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import shapely

from renderer.frozen import dataclass
from renderer.geometry.lines import distances, points_at, stretch
from renderer.ground.pieces import ring_pieces
from renderer.ground.rewalk import frozen, redrawn
from renderer.ground.stations import SAME_M
from renderer.ground.strips import SERVICES

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from renderer.ground.lay import Lay, Leg, LoopLay, Peg, Point, Points, Ring
    from renderer.ground.pieces import Piece
    from renderer.plan.model import Plan

ON_LINE_M = 1.5e-3  # a point this near to a piece of wire lies on it
SQUARE_LEAST = 0.35  # sine of the least angle of a side's neighbour at which it can be moved


class Slipped(NamedTuple):
    """A loop with one part of it laid otherwise, and the middle of that part."""

    loop: LoopLay
    at: Point


def side_moved(
    loop: LoopLay, ring: Ring, side: Points, setback_m: float, by_m: float, sag_m: float
) -> Slipped | None:
    """The loop with the wire along one straight side nearer to it; its neighbours only lengthen.

    ``side`` (2, 2) has the lawn on its left or right, the wire lies ``setback_m`` from it.
    ``None`` where no straight of the ring runs along the side, a neighbour is curved or too
    slanted or too short, or a lead pair or the loop's start stands on what would move.
    """
    pieces = ring_pieces(ring.points, sag_m)
    index = next((i for i, each in enumerate(pieces) if _along(each, side, setback_m)), None)
    if index is None:
        return None
    way = side[1] - side[0]
    out = np.array([way[1], -way[0]]) / np.hypot(*way)
    if float((pieces[index].points[0] - side[0]) @ out) > 0:
        out = -out
    ends = [_neighbour(pieces, index, step) for step in (-1, 1)]
    shifts = [_shift(end[0], out, by_m) if end else None for end in ends]
    if shifts[0] is None or shifts[1] is None or ends[0] is None or ends[1] is None:
        return None
    zones = [
        (shapely.linestrings(pieces[index].points[[0, -1]]), out * by_m),
        *((_chain(end[1], piece), shift) for end, shift, piece in (
            (ends[0], shifts[0], pieces[index].points[:1]),
            (ends[1], shifts[1], pieces[index].points[-1:]),
        )),
    ]  # fmt: skip
    fixed = [loop.start, *(tuple(lead.points[k]) for lead in loop.leads for k in (0, -1))]
    if any(
        shapely.distance(zone, shapely.Point(at)) < ON_LINE_M for zone, _ in zones for at in fixed
    ):
        return None

    def place(points: Points) -> Points:
        placed = points.copy()
        for zone, shift in zones:
            near = shapely.distance(zone, shapely.points(points)) <= ON_LINE_M
            placed[near] = points[near] + shift
        return placed

    if not shapely.Polygon(place(ring.points)).is_valid:  # a neighbour shorter than the move
        return None
    x, y = (pieces[index].points[[0, -1]].mean(axis=0) + out * by_m).tolist()
    return Slipped(redrawn(loop, ring, place), (x, y))


def _along(piece: Piece, side: Points, setback_m: float) -> bool:
    """Whether a straight runs along a side at its setback."""
    way = side[1] - side[0]
    length = float(np.hypot(*way))
    off = piece.points[[0, -1]] - side[0]
    across = (way[0] * off[:, 1] - way[1] * off[:, 0]) / length
    along = off @ way / length
    beside = along.max() > 0 and along.min() < length
    return bool(piece.straight and beside and np.all(abs(abs(across) - setback_m) <= ON_LINE_M))


def _neighbour(pieces: Sequence[Piece], index: int, step: int) -> tuple[Points, Points] | None:
    """The direction of the next straight and the points of the bend before it, if any."""
    count = len(pieces)
    bend = np.empty((0, 2))
    other = pieces[(index + step) % count]
    if not other.straight:
        bend, other = other.points, pieces[(index + 2 * step) % count]
    if not other.straight or count < 4:
        return None
    way = other.points[-1] - other.points[0]
    return way / np.hypot(*way), bend


def _shift(way: Points, out: Points, by_m: float) -> Points | None:
    """How far a corner goes along the wire next to it until it is so much further out."""
    sine = float(way @ out)
    return way * (by_m / sine) if abs(sine) >= SQUARE_LEAST else None


def _chain(bend: Points, corner: Points) -> shapely.Geometry:
    """The bend at an end of a straight, or the corner alone."""
    return shapely.linestrings(bend) if len(bend) > 1 else shapely.Point(corner[0])


def restarted(loop: LoopLay, at_m: float) -> LoopLay:
    """The same wire with its terminals at another place of the ring that it starts on."""
    start, end = float(loop.at_m[0]), float(loop.at_m[-1])
    gone, length = at_m - start, end - start
    ahead, _ = stretch(loop.path, loop.at_m, at_m, end)
    behind, _ = stretch(loop.path, loop.at_m, start, at_m)
    path = frozen(np.concatenate((ahead, behind[1:])))
    along = loop.tail_m + distances(path)
    along.setflags(write=False)

    def new(at: float) -> float:
        return at - gone if at >= at_m - SAME_M else at - gone + length

    pegs = tuple(sorted((_repegged(peg, new) for peg in loop.pegs), key=lambda peg: peg.at_m))
    splices = (replace(each, at_m=new(each.at_m)) for each in loop.splices)
    return replace(
        loop,
        path=path,
        at_m=along,
        legs=tuple(_relegged(loop, at_m)),
        pegs=pegs,
        splices=tuple(sorted(splices, key=lambda each: each.at_m)),
    )


def _repegged(peg: Peg, new: Callable[[float], float]) -> Peg:
    places = sorted({round(new(at), 6) for at in (peg.at_m, peg.also_at_m) if at is not None})
    return replace(peg, at_m=places[0], also_at_m=places[1] if len(places) > 1 else None)


def _relegged(loop: LoopLay, at_m: float) -> Iterator[Leg]:
    """The legs from a place on, then those before it; the two at the old start are one."""
    first, *walked, last = loop.legs
    gone, length = at_m - first.to_m, last.from_m - first.to_m
    found: list[Leg] = []
    for from_m, to_m, by in ((at_m, last.from_m, -gone), (first.to_m, at_m, length - gone)):
        for leg in walked:
            a, b = max(leg.from_m, from_m), min(leg.to_m, to_m)
            if b - a <= SAME_M:
                continue
            if found and found[-1].part == leg.part and leg.kind == "outer":
                found[-1] = replace(found[-1], to_m=b + by)
            else:
                found.append(replace(leg, from_m=a + by, to_m=b + by))
    yield first
    yield from found
    yield last


def pegs_left_out(loop: LoopLay, gap_m: float) -> Slipped | None:
    """The loop without some pegs of its longest straight, and the middle of that stretch.

    Pegs go from the middle of the straight until two stand ``gap_m`` or more apart.
    """
    runs = list(_straight_runs(loop))
    if not runs:
        return None
    run = max(runs, key=lambda each: (round(each[-1].at_m - each[0].at_m, 3), -each[0].at_m))
    middle = len(run) // 2
    low, high = middle - 1, middle + 1
    while run[high].at_m - run[low].at_m < gap_m:
        low, high = low - 1, high + 1
        if low < 0 or high >= len(run):
            return None
    gone = set(run[low + 1 : high])
    kept = tuple(peg for peg in loop.pegs if peg not in gone)
    x, y = points_at(loop.path, loop.at_m, [(run[low].at_m + run[high].at_m) / 2])[0].tolist()
    return Slipped(replace(loop, pegs=kept), (x, y))


def _straight_runs(loop: LoopLay) -> Iterator[list[Peg]]:
    """Pegs in a row on one straight of an outer leg, three at the least."""
    for leg in loop.legs:
        if leg.kind != "outer":
            continue
        row = [peg for peg in loop.pegs if leg.from_m <= peg.at_m <= leg.to_m]
        run: list[Peg] = row[:1]
        for one, two in pairwise(row):
            span = np.hypot(two.x - run[0].x, two.y - run[0].y)
            if two.reason != "spacing" and len(run) < 2:
                run = [two]
            elif span < two.at_m - run[0].at_m - 1e-3:
                if len(run) > 2:
                    yield run
                run = [one, two] if two.reason == "spacing" else [two]
            else:
                run.append(two)
        if len(run) > 2:
            yield run


def peg_moved(loop: LoopLay, peg: Peg, at_m: float) -> LoopLay:
    """The loop with one peg at another place of the wire."""
    x, y = points_at(loop.path, loop.at_m, [at_m])[0].tolist()
    moved = replace(peg, at_m=at_m, x=x, y=y)
    pegs = (moved if each is peg else each for each in loop.pegs)
    return replace(loop, pegs=tuple(sorted(pegs, key=lambda each: each.at_m)))


def moved_by(lay: Lay, laid: Lay) -> float:
    """How far from any wire of the one lay a wire of the other runs, at the most."""
    paths = [np.concatenate([loop.path for loop in each.loops]) for each in (lay, laid)]
    wires = [shapely.union_all([shapely.linestrings(loop.path) for loop in each.loops])
             for each in (lay, laid)]  # fmt: skip
    places = [path[:, 0] + 1j * path[:, 1] for path in paths]
    off = 0.0
    for one, other in ((0, 1), (1, 0)):
        moved = paths[one][~np.isin(places[one], places[other])]
        off = max(off, float(shapely.distance(shapely.points(moved), wires[other]).max(initial=0)))
    return off


@dataclass(frozen=True, slots=True, eq=False)
class PegOnService:
    """A loop with a peg moved onto a service that its wire crosses, where, and how far.

    ``alone_m`` is how near to it the next peg stands.
    """

    loop: LoopLay
    service: str
    at: Point
    moved_m: float
    alone_m: float


def pegs_onto_services(plan: Plan, lay: Lay) -> Iterator[PegOnService]:
    """For each crossing of an outer wire and a marked line, the nearest free peg driven onto it."""
    for feature in plan.features:
        if feature.kind not in SERVICES or feature.line is None or not feature.located:
            continue
        line = shapely.linestrings(np.array(feature.line))
        for loop in lay.loops:
            for leg in loop.legs:
                if leg.kind == "outer":
                    yield from _onto(loop, leg, line, feature.name)


def _onto(loop: LoopLay, leg: Leg, line: shapely.Geometry, name: str) -> Iterator[PegOnService]:
    points, at = stretch(loop.path, loop.at_m, leg.from_m, leg.to_m)
    wire = shapely.linestrings(points)
    free = [p for p in loop.pegs if leg.from_m < p.at_m < leg.to_m and p.reason == "spacing"]
    for met in shapely.get_parts(shapely.intersection(wire, line)):
        if met.geom_type != "Point" or not free:
            continue
        at_m = float(at[0] + shapely.line_locate_point(wire, met))
        peg = min(free, key=lambda each: abs(each.at_m - at_m))
        others = (each.at_m for each in loop.pegs if each is not peg)
        alone_m = min((abs(each - at_m) for each in others), default=leg.length_m)
        moved_m = abs(peg.at_m - at_m)
        yield PegOnService(peg_moved(loop, peg, at_m), name, (met.x, met.y), moved_m, alone_m)
