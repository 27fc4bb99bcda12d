"""Necks: grass too narrow for the machine that joins wider parts, found and cut (rule 2 of the wire).

Think of the machine as a disc as wide as the least passage. Its centre can be anywhere in the
eroded ground. At each convex corner of the eroded ground the disc is stopped by two places of the
border at once; the chord between them lies inside the disc, so chords of different stops never
cross, and together they part the ground into rooms, where the disc has been, and pockets, where it
has not. A pocket behind one chord is a corner or a dead end. A pocket between several chords, or
round an island, is a neck.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.ground import limits
from renderer.ground.lay import Cut
from renderer.ground.offset import dilate, multipolygon, polygons_of, rings_of, turn_angles

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import CutKind, Points

LEAST_CHORD_M = 5e-3  # a shorter chord only skims a flattened arc
STOP_M = 1e-3  # how exactly a stopped disc must touch the border
LEAST_TURN = math.radians(0.4)
ROUNDS = 8


@dataclass(frozen=True, slots=True, eq=False)
class Chords:
    """Chords between two places of the border: ends (n, 2, 2), and the way to the disc's side (n, 2)."""

    ends: NDArray[np.float64]
    inward: NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Pocket:
    """Ground that the disc does not reach, and the chords it lies behind."""

    shape: shapely.Polygon
    chords: tuple[int, ...]


def _stops(eroded: BaseGeometry) -> tuple[Points, Points, Points]:
    """Convex corners of the eroded ground: place, and the outward normals of both edges there."""
    places, normals_in, normals_out = [], [], []
    for ring in rings_of(shapely.simplify(eroded, 2e-4)):
        turns = turn_angles(ring)  # exteriors anticlockwise and holes clockwise: ground on the left
        ahead = np.roll(ring, -1, axis=0) - ring
        ahead /= np.hypot(*ahead.T)[:, None]
        right = np.column_stack((ahead[:, 1], -ahead[:, 0]))
        convex = turns > LEAST_TURN
        places.append(ring[convex])
        normals_in.append(np.roll(right, 1, axis=0)[convex])
        normals_out.append(right[convex])
    if not places:
        empty = np.empty((0, 2))
        return empty, empty, empty
    return np.concatenate(places), np.concatenate(normals_in), np.concatenate(normals_out)


def _snap(points: Points, border: shapely.STRtree) -> Points:
    """The nearest place of the border to each point."""
    geoms = shapely.points(points)
    nearest = border.nearest(geoms)
    lines = border.geometries.take(nearest)
    return shapely.get_coordinates(
        shapely.line_interpolate_point(lines, shapely.line_locate_point(lines, geoms))
    )


def border_segments(ground: BaseGeometry) -> NDArray[np.object_]:
    """Every straight piece of the border of some ground as a line of its own."""
    pairs = [np.stack((ring, np.roll(ring, -1, axis=0)), axis=1) for ring in rings_of(ground)]
    return shapely.linestrings(np.concatenate(pairs))


def _settle(
    ends: NDArray[np.float64], places: Points, border: shapely.STRtree, reach_m: float
) -> None:
    """Move ends that a tiny edge sent astray to the place of the border that stops the disc there."""
    off = np.hypot(*(ends - places[:, None, :]).transpose(2, 0, 1)) - reach_m
    for i, k in np.argwhere(np.abs(off) > STOP_M).tolist():
        here = shapely.Point(places[i])
        hits = border.query(here, predicate="dwithin", distance=reach_m + STOP_M)
        if not len(hits):
            continue
        lines = border.geometries.take(hits)
        feet = shapely.get_coordinates(
            shapely.line_interpolate_point(lines, shapely.line_locate_point(lines, here))
        )
        first = feet[np.argmin(np.hypot(*(feet - ends[i, k]).T))]
        close = feet[np.hypot(*(feet - first).T) <= 0.1 * reach_m]
        ends[i, k] = close[np.argmin(np.hypot(*(close - places[i]).T))]


def _merged_ends(ends: NDArray[np.float64]) -> NDArray[np.float64]:
    """Ends that lie within twice the touch tolerance of an earlier one become that one.

    Two discs that a narrow place stops from both sides may touch it at one point; apart by noise,
    their chords would cross.
    """
    flat = ends.reshape(-1, 2).copy()
    points = shapely.points(flat)
    one, two = shapely.STRtree(points).query(points, predicate="dwithin", distance=2 * STOP_M)
    leader = np.arange(len(flat))
    for i, j in sorted(zip(one.tolist(), two.tolist(), strict=True)):
        if j < i:
            leader[i] = min(leader[i], leader[j])
    return flat[leader].reshape(-1, 2, 2)


def find_chords(allowed: BaseGeometry, eroded: BaseGeometry, reach_m: float) -> Chords:
    """A chord at each place where a disc of radius ``reach_m`` is stopped by two borders at once."""
    places, before, after = _stops(eroded)
    if len(places) == 0:
        return Chords(np.empty((0, 2, 2)), np.empty((0, 2)))
    border = shapely.STRtree(border_segments(allowed))
    ends = np.stack(
        (_snap(places + reach_m * before, border), _snap(places + reach_m * after, border)), axis=1
    )
    _settle(ends, places, border, reach_m)
    ends = _merged_ends(np.round(ends, 9))
    length = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
    off = np.hypot(*(ends - places[:, None, :]).transpose(2, 0, 1))
    true = (length >= LEAST_CHORD_M) & np.all(np.abs(off - reach_m) < 2 * STOP_M, axis=1)
    order = np.argsort(-length[true], kind="stable")
    ends, inward = ends[true][order], -(before + after)[true][order]
    middle = ends.mean(axis=1)
    straight = np.hypot(*inward.T) < 1e-6  # both normals opposite: the disc itself tells the side
    inward[straight] = (places[true][order] - middle)[straight]
    chosen = _not_crossing(ends)
    return Chords(ends[chosen], inward[chosen])


def _not_crossing(ends: NDArray[np.float64]) -> NDArray[np.int64]:
    """Indices of chords to keep: equal ones once, and of two that cross by noise the longer."""
    _, first = np.unique(np.round(ends.reshape(len(ends), 4), 5), axis=0, return_index=True)
    first = np.sort(first)
    lines = shapely.linestrings(ends[first])
    one, two = shapely.STRtree(lines).query(lines, predicate="crosses")
    dropped: set[int] = set()
    for i, j in sorted(zip(one.tolist(), two.tolist(), strict=True)):
        if i < j and i not in dropped:
            dropped.add(j)
    return np.array([k for i, k in enumerate(first.tolist()) if i not in dropped], dtype=np.int64)


def _noded(allowed: BaseGeometry, chords: Chords) -> list[BaseGeometry]:
    """The border cut at the chords' ends, and the chords, sharing their end points exactly."""
    lines: list[BaseGeometry] = list(shapely.linestrings(chords.ends))
    rings = rings_of(allowed)
    edges = [shapely.linearrings(ring) for ring in rings]
    flat = chords.ends.reshape(-1, 2)
    owner = shapely.STRtree(edges).nearest(shapely.points(flat)) if len(flat) else np.empty(0, int)
    for k, ring in enumerate(rings):
        mine = np.unique(flat[owner == k], axis=0)
        lines.extend(_cut_ring(ring, edges[k], mine))
    return lines


def _cut_ring(ring: Points, edge: BaseGeometry, ends: Points) -> list[BaseGeometry]:
    closed = np.concatenate([ring, ring[:1]])
    if len(ends) == 0:
        return [shapely.linestrings(closed)]
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    at = shapely.line_locate_point(edge, shapely.points(ends))
    order = np.argsort(at, kind="stable")
    at, ends = at[order], ends[order]
    pieces = []
    for i in range(len(at)):
        start, stop = at[i], at[(i + 1) % len(at)]
        if stop > start:
            between = closed[1:-1][(run[1:-1] > start + 1e-9) & (run[1:-1] < stop - 1e-9)]
        else:
            tail = closed[:-1][run[:-1] > start + 1e-9]
            head = closed[:-1][run[:-1] < stop - 1e-9]
            between = np.concatenate([tail, head])
        pieces.append(
            shapely.linestrings(
                np.concatenate([ends[i : i + 1], between, ends[[(i + 1) % len(at)]]])
            )
        )
    return pieces


def _faces(allowed: BaseGeometry, chords: Chords) -> list[shapely.Polygon]:
    faces = shapely.get_parts(shapely.polygonize(_noded(allowed, chords)))
    inside = shapely.STRtree(shapely.point_on_surface(faces)).query(allowed, predicate="contains")
    if inside.ndim == 2:
        inside = inside[1]
    return [faces[i] for i in np.sort(inside)]


def _chord_sides(chords: Chords, faces: list[shapely.Polygon]) -> tuple[list[int], list[int]]:
    """For each chord the face on the disc's side and the face beyond; -1 where there is none."""
    middle = chords.ends.mean(axis=1)
    unit = chords.inward / np.hypot(*chords.inward.T)[:, None]
    tree = shapely.STRtree(faces)
    found = []
    for sign in (1.0, -1.0):
        side = np.full(len(middle), -1)
        point, face = tree.query(shapely.points(middle + sign * 1e-6 * unit), predicate="within")
        side[point] = face
        found.append(side.tolist())
    return found[0], found[1]


def _rooms(faces: list[shapely.Polygon], eroded: BaseGeometry) -> list[int]:
    """How many parts of the eroded ground each face holds."""
    counts = [0] * len(faces)
    inner = [part.representative_point() for part in polygons_of(eroded)]
    if inner:
        for face in shapely.STRtree(faces).query(inner, predicate="within")[1]:
            counts[face] += 1
    return counts


def _depth(pocket: Pocket, chords: Chords) -> float:
    """How far the pocket reaches behind its chord, metres."""
    chord = shapely.linestrings(chords.ends[pocket.chords[0]])
    corners = shapely.points(shapely.get_coordinates(pocket.shape.exterior))
    return float(shapely.distance(corners, chord).max())


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
    """What a neck joins, told from the rings that its banks belong to."""
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
    faces = _faces(ground, chords)
    near, beyond = _chord_sides(chords, faces)
    rooms = _rooms(faces, eroded)
    behind: dict[int, list[int]] = {}
    cuts: list[Cut] = []
    for chord, face in enumerate(beyond):
        if face >= 0 and rooms[face]:
            if near[chord] != face:
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
    depth = _depth(pocket, chords)
    if depth <= 2 * passage_m:
        return None
    mouth = chords.ends[pocket.chords[0]]
    return _cut(
        "dead_end", lawn, [shapely.Point(mouth[0]), shapely.Point(mouth[1])], pocket.shape, depth
    )


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
        cuts = _cuts_of_round(lawn, ground, eroded, passage_m)
        if not cuts:
            break
        done.extend(cuts)
        removed = shapely.union_all([cut.shape for cut in cuts])
        grown = removed.buffer(limits.SEPARATE_M, join_style="mitre")
        ground = multipolygon(polygons_of(ground.difference(grown)))
        eroded = multipolygon(polygons_of(eroded.difference(dilate_any(removed, half))))
    return multipolygon(polygons_of(ground)), done


def dilate_any(shape: BaseGeometry, radius_m: float) -> BaseGeometry:
    """All within a distance of cut pieces; they are few and plain, so a general buffer serves."""
    return shape.buffer(radius_m, quad_segs=32)
