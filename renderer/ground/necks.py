"""Necks: grass too narrow for the machine that joins wider parts (rule 2 of the wire).

Think of the machine as a disc as wide as the least passage. Its centre can be anywhere in the
eroded ground. At each convex corner of the eroded ground the disc is stopped by two places of the
border at once; the chord between them lies inside the disc, so chords of different stops never
cross, and together they part the ground into rooms, where the disc has been, and pockets, where it
has not. A pocket behind one chord is a corner or a dead end. A pocket between several chords, or
round an island, is a neck.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.frozen import dataclass
from renderer.ground import limits, route
from renderer.ground.chords import (
    LEAST_CHORD_M,
    chord_sides,
    count_rooms,
    faces_between,
    find_chords,
)
from renderer.ground.lay import Cut
from renderer.ground.offset import dilate, less, multipolygon, points_of, polygons_of

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from renderer.ground.chords import Chords
    from renderer.ground.lay import CutKind, Points

ROUNDS = 8


@dataclass(frozen=True, slots=True, eq=False)
class Pocket:
    """Ground that the disc does not reach, and the chords it lies behind."""

    shape: shapely.Polygon
    chords: tuple[int, ...]


def _depth(pocket: Pocket, chords: Chords, enough_m: float) -> float:
    """How far the pocket reaches behind its chord, metres, by the shortest way over its ground.

    The straight distance is taken where it is ``enough_m`` already or where the border is too
    short to lead further round a bend.
    """
    mouth = chords.ends[pocket.chords[0]]
    chord = shapely.linestrings(mouth)
    corners = points_of(pocket.shape.exterior)
    straight = float(shapely.distance(shapely.points(corners), chord).max())
    half = (pocket.shape.exterior.length - chord.length) / 2
    if straight > enough_m or half <= enough_m:
        return straight
    edge = pocket.shape.exterior
    from_mouth = shapely.line_locate_point(edge, shapely.points(mouth)).min()
    run = shapely.line_locate_point(edge, shapely.points(corners)) - from_mouth
    far = corners[np.argmin(np.abs(run % edge.length - chord.length - half))]
    way = route.shortest(pocket.shape.buffer(route.END_M), chord, shapely.Point(far))
    return straight if way is None else max(straight, route.length(way))


def _banks(pocket: Pocket, chords: Chords) -> list[BaseGeometry]:
    """The stretches of border along a pocket, between its chords."""
    lines = shapely.union_all(shapely.linestrings(chords.ends[list(pocket.chords)]))
    rest = pocket.shape.boundary.difference(lines.buffer(1e-7))
    merged = shapely.line_merge(rest) if rest.geom_type == "MultiLineString" else rest
    banks = [part for part in shapely.get_parts(merged) if part.length > 1e-6]
    return banks or [shapely.Point(chords.ends[pocket.chords[0], k]) for k in (0, 1)]


def narrowest(banks: list[BaseGeometry]) -> tuple[float, tuple[float, float]]:
    """Least distance between two banks, and the middle of it."""
    best = (math.inf, (0.0, 0.0))
    for i, one in enumerate(banks):
        for two in banks[i + 1 :]:
            line = shapely.shortest_line(one, two)
            if line.length < best[0]:
                x, y = shapely.get_coordinates(line).mean(axis=0)
                best = (line.length, (float(x), float(y)))
    return best


def _middle(bank: BaseGeometry) -> BaseGeometry:
    return bank if bank.geom_type == "Point" else bank.interpolate(0.5, normalized=True)


def _kind(banks: list[BaseGeometry], ground: BaseGeometry) -> CutKind:
    """What a neck joins, worked out from the rings that its banks belong to."""
    owners = set()
    for part, polygon in enumerate(shapely.get_parts(ground)):
        for k, ring in enumerate((polygon.exterior, *polygon.interiors)):
            for bank in banks:
                if shapely.distance(_middle(bank), ring) < 1e-4:
                    owners.add((part, k))
    outer = {owner for owner in owners if owner[1] == 0}
    if len(owners) == 1:
        return "pinch"
    return "bay" if outer else "merge"


def _unresolved(face: shapely.Polygon) -> list[shapely.Polygon]:
    """Threads of a face thinner than any chord that is looked for."""
    core = polygons_of(face.difference(face.boundary.buffer(LEAST_CHORD_M)))
    opened = dilate(multipolygon(core), LEAST_CHORD_M + limits.SEPARATE_M)
    return [p for p in shapely.get_parts(face.difference(opened)) if p.area > 0]


def _cuts_of_round(
    lawn: str, ground: BaseGeometry, eroded: BaseGeometry, passage_m: float
) -> list[Cut]:
    chords = find_chords(ground, eroded, (passage_m - limits.WIDTH_M) / 2)
    faces = faces_between(ground, chords)
    near, beyond = chord_sides(chords, faces)
    rooms = count_rooms(faces, eroded)
    behind: dict[int, list[int]] = {}
    cuts: list[Cut] = []
    slits: set[tuple[object, ...]] = set()
    for chord, face in enumerate(beyond):
        if face >= 0 and rooms[face]:
            between = (
                *sorted((near[chord], face)),
                *sorted(map(tuple, chords.ends[chord].tolist())),
            )
            if near[chord] != face and between not in slits:
                slits.add(between)  # stopped discs on both sides give the same chord twice
                cuts.append(_slit(lawn, chords.ends[chord], ground))
        else:
            behind.setdefault(face, []).append(chord)
    for index, face in enumerate(faces):
        if rooms[index] > 1:
            cuts.extend(_cut("pinch", lawn, [], thread) for thread in _unresolved(face))
        elif not rooms[index]:
            pocket = Pocket(face, tuple(behind.get(index, ())))
            cut = _pocket_cut(lawn, pocket, chords, ground, passage_m)
            if cut is not None:
                cuts.append(cut)
    return cuts


def _pocket_cut(
    lawn: str, pocket: Pocket, chords: Chords, ground: BaseGeometry, passage_m: float
) -> Cut | None:
    if not pocket.chords:
        return _cut("left_out", lawn, [], pocket.shape)
    if len(pocket.chords) > 1 or pocket.shape.interiors:
        banks = _banks(pocket, chords)
        if pocket.shape.interiors:
            banks = [pocket.shape.exterior, *pocket.shape.interiors]
        return _cut(_kind(banks, ground), lawn, banks, pocket.shape)
    return _dead_end(lawn, pocket, chords, limits.DEAD_END_PASSAGES * passage_m)


def _dead_end(lawn: str, pocket: Pocket, chords: Chords, deep_m: float) -> Cut | None:
    """The cut of a pocket behind one chord; ``None`` where it is not as deep."""
    depth = _depth(pocket, chords, deep_m)
    if depth <= deep_m:
        return None
    mouth = chords.ends[pocket.chords[0]]
    return _cut(
        "dead_end", lawn, [shapely.Point(mouth[0]), shapely.Point(mouth[1])], pocket.shape, depth
    )


def dead_ends(
    lawn: str, allowed: BaseGeometry, eroded: BaseGeometry, wide_m: float, deep_m: float
) -> list[Cut]:
    """The dead ends of some ground that are narrower and deeper than given, metres.

    ``eroded`` is the ground eroded by half of ``wide_m`` less the width tolerance.
    """
    chords = find_chords(allowed, eroded, (wide_m - limits.WIDTH_M) / 2)
    faces = faces_between(allowed, chords)
    rooms = count_rooms(faces, eroded)
    behind: dict[int, list[int]] = {}
    for chord, face in enumerate(chord_sides(chords, faces)[1]):
        behind.setdefault(face, []).append(chord)
    found = [
        _dead_end(lawn, Pocket(face, tuple(behind[index])), chords, deep_m)
        for index, face in enumerate(faces)
        if not rooms[index] and len(behind.get(index, ())) == 1 and not face.interiors
    ]
    return [cut for cut in found if cut is not None]


def _slit(lawn: str, ends: Points, ground: BaseGeometry) -> Cut:
    """A neck that is a line: both sides of one chord are rooms."""
    points = [shapely.Point(end) for end in ends]
    line = shapely.linestrings(ends)
    return _cut(
        _kind(points, ground), lawn, points, line.buffer(limits.SEPARATE_M, cap_style="square")
    )


def _cut(
    kind: CutKind,
    lawn: str,
    banks: list[BaseGeometry],
    shape: shapely.Polygon,
    depth_m: float | None = None,
) -> Cut:
    point = shape.representative_point()
    width, at = narrowest(banks) if len(banks) > 1 else (None, (point.x, point.y))
    return Cut(kind, lawn, at, (), width, shape.area, depth_m, shape)


def cut_necks(
    lawn: str, allowed: BaseGeometry, eroded: BaseGeometry, passage_m: float
) -> tuple[shapely.MultiPolygon, list[Cut]]:
    """The ground without its necks and deep dead ends, and what was cut.

    ``eroded`` is the allowed ground eroded by half of ``passage_m`` less the width tolerance.
    What remains falls into parts between which the machine cannot pass.
    """
    ground: BaseGeometry = allowed
    half = (passage_m - limits.WIDTH_M) / 2
    done: list[Cut] = []
    for _ in range(ROUNDS):
        cuts = [] if ground.is_empty else _cuts_of_round(lawn, ground, eroded, passage_m)
        if not cuts:
            break
        done.extend(cuts)
        removed = shapely.union_all([cut.shape for cut in cuts])
        grown = removed.buffer(limits.SEPARATE_M, join_style="mitre")
        ground = less(ground, grown)
        eroded = less(eroded, dilate_any(removed, half))
    return multipolygon(polygons_of(ground)), done


def dilate_any(shape: BaseGeometry, radius_m: float) -> BaseGeometry:
    """All within a distance of cut pieces; they are few and plain, so a general buffer serves."""
    return shape.buffer(radius_m, quad_segs=32)
