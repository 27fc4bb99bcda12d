"""Chords between two places of a border that stop a disc at once, and the faces they make."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.frozen import dataclass
from renderer.geometry.lines import distances
from renderer.ground.offset import points_of, polygons_of, rings_of, turn_angles

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import Points

LEAST_CHORD_M = 5e-3  # a shorter chord only skims a flattened arc
STOP_M = 1e-3  # how exactly a stopped disc must touch the border
ABOUT_M = 1e-2  # how far about a snapped end the nearest place is looked for
LEAST_TURN = math.radians(0.4)
SAME_M = 1e-9  # a chord's end this near to a point of a ring is that point


@dataclass(frozen=True, slots=True, eq=False)
class Chords:
    """Chords between two places of the border.

    ``ends`` is (n, 2, 2), ``inward`` (n, 2) points to the side where the disc was stopped, and
    ``centres`` (n, 2) are the centres of the discs.
    """

    ends: NDArray[np.float64]
    inward: NDArray[np.float64]
    centres: NDArray[np.float64]


def _stops(eroded: BaseGeometry) -> tuple[Points, Points, Points]:
    """Convex corners of the eroded ground: place, and the outward normals of both edges there."""
    places, normals_in, normals_out = [], [], []
    for ring in rings_of(shapely.simplify(shapely.normalize(eroded), 2e-4)):
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
    return points_of(shapely.line_interpolate_point(lines, shapely.line_locate_point(lines, geoms)))


def border_segments(ground: BaseGeometry) -> NDArray[np.object_]:
    """Every straight piece of the border of some ground as a line of its own."""
    pairs = [np.stack((ring, np.roll(ring, -1, axis=0)), axis=1) for ring in rings_of(ground)]
    lines: NDArray[np.object_] = shapely.linestrings(np.concatenate(pairs))
    return lines


def _settle(
    ends: NDArray[np.float64], places: Points, border: shapely.STRtree, reach_m: float
) -> None:
    """Move ends that a tiny edge sent astray to where the border does stop the disc."""
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


def _nearest_feet(
    ends: NDArray[np.float64], places: Points, border: shapely.STRtree
) -> NDArray[np.float64]:
    """Each end moved to the place nearest to its disc's centre on the border close about it.

    Snapped from outside, an end may lie just round a corner, and its chord would cut the corner.
    """
    flat = ends.reshape(-1, 2)
    centres = np.repeat(places, 2, axis=0)
    end, piece = border.query(shapely.points(flat), predicate="dwithin", distance=ABOUT_M)
    lines, points = border.geometries.take(piece), shapely.points(centres[end])
    feet = points_of(
        shapely.line_interpolate_point(lines, shapely.line_locate_point(lines, points))
    )
    gap = np.hypot(*(feet - centres[end]).T)
    order = np.lexsort((gap, end))
    first = np.flatnonzero(np.diff(end[order], prepend=-1) != 0)
    moved = flat.copy()
    moved[end[order][first]] = feet[order][first]
    return moved.reshape(-1, 2, 2)


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
    """A chord at each place where two borders at once stop a disc of radius ``reach_m``."""
    places, before, after = _stops(eroded)
    if len(places) == 0:
        return Chords(np.empty((0, 2, 2)), np.empty((0, 2)), np.empty((0, 2)))
    border = shapely.STRtree(border_segments(allowed))
    ends = np.stack(
        (_snap(places + reach_m * before, border), _snap(places + reach_m * after, border)), axis=1
    )
    _settle(ends, places, border, reach_m)
    ends = _merged_ends(np.round(_nearest_feet(ends, places, border), 9))
    length = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
    off = np.hypot(*(ends - places[:, None, :]).transpose(2, 0, 1))
    true = (length >= LEAST_CHORD_M) & np.all(np.abs(off - reach_m) < 2 * STOP_M, axis=1)
    order = np.argsort(-length[true], kind="stable")
    ends, inward = ends[true][order], -(before + after)[true][order]
    straight = np.hypot(*inward.T) < 1e-6  # opposite borders: back along the edge that led there
    led = before[true][order][straight]
    inward[straight] = np.column_stack((led[:, 1], -led[:, 0]))
    chosen = _not_crossing(ends)
    return Chords(ends[chosen], inward[chosen], places[true][order][chosen])


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
    rings = [np.concatenate([ring, ring[:1]]) for ring in rings_of(allowed)]
    starts = np.concatenate([ring[:-1] for ring in rings])
    owner = np.repeat(np.arange(len(rings)), [len(ring) - 1 for ring in rings])
    runs = [distances(ring) for ring in rings]
    run_start = np.concatenate([run[:-1] for run in runs])
    flat = _rows_once(chords.ends.reshape(-1, 2))
    segment = np.empty(0, dtype=np.int64)
    if len(flat):
        segment = shapely.STRtree(border_segments(allowed)).nearest(shapely.points(flat))
    at = run_start[segment] + np.hypot(*(flat - starts[segment]).T)
    lines: list[BaseGeometry] = list(shapely.linestrings(_once(chords.ends)))
    for k, (ring, run) in enumerate(zip(rings, runs, strict=True)):
        mine = owner[segment] == k
        # where a ring closes is where it begins: else a stub of noise would turn the corner there
        own = np.where(at[mine] > run[-1] - SAME_M, 0.0, at[mine])
        order = np.argsort(own, kind="stable")
        lines.extend(_cut_ring(ring, run, own[order], flat[mine][order]))
    return lines


def _once(ends: NDArray[np.float64]) -> NDArray[np.float64]:
    """Each chord once, whichever way it runs; discs on both sides of it give it twice."""
    one, two = ends[:, 0], ends[:, 1]
    forward = (one[:, 0] < two[:, 0]) | ((one[:, 0] == two[:, 0]) & (one[:, 1] <= two[:, 1]))
    same_way = np.where(forward[:, None, None], ends, ends[:, ::-1])
    return _rows_once(same_way.reshape(-1, 4)).reshape(-1, 2, 2)


def _rows_once(rows: NDArray[np.float64]) -> NDArray[np.float64]:
    """Each row once, in order."""
    # Without asking for indices, np.unique imports np.ma: a fortieth of a small print.
    once, _ = np.unique(rows, axis=0, return_index=True)
    return once


def _cut_ring(
    ring: Points, run: NDArray[np.float64], at: NDArray[np.float64], ends: Points
) -> list[BaseGeometry]:
    """A closed ring cut at places in order along it; ``run`` and ``at`` are distances along it."""
    if len(ends) == 0:
        return [shapely.linestrings(ring)]
    after = np.searchsorted(run[:-1], at + SAME_M, side="right")
    before = np.searchsorted(run[:-1], at - SAME_M, side="left")
    pieces = []
    for i in range(len(at) - 1):
        inner = ring[after[i] : max(after[i], before[i + 1])]
        pieces.append(np.concatenate([ends[[i]], inner, ends[[i + 1]]]))
    last = [ends[[-1]], ring[after[-1] : -1], ring[: before[0]], ends[[0]]]
    return [shapely.linestrings(piece) for piece in (*pieces, np.concatenate(last))]


def faces_between(allowed: BaseGeometry, chords: Chords) -> list[shapely.Polygon]:
    """The pieces that the chords part some ground into."""
    faces = shapely.get_parts(shapely.polygonize(_noded(allowed, chords)))
    points = shapely.STRtree(shapely.point_on_surface(faces))
    inside = points.query(shapely.get_parts(allowed), predicate="contains")[1]
    return [faces[i] for i in np.sort(inside)]


def chord_sides(chords: Chords, faces: list[shapely.Polygon]) -> tuple[list[int], list[int]]:
    """For each chord the face on the disc's side and the face beyond; -1 where there is none."""
    middle = chords.ends.mean(axis=1)
    unit = chords.inward / np.hypot(*chords.inward.T)[:, None]
    found = []
    for sign in (1.0, -1.0):
        points = shapely.points(middle + sign * 1e-6 * unit)
        found.append(_holders(faces, points).tolist())
    return found[0], found[1]


def _holders(faces: list[shapely.Polygon], points: NDArray[np.object_]) -> NDArray[np.int64]:
    """The face that each point lies in; -1 where there is none."""
    holder = np.full(len(points), -1)
    if len(points):
        face, point = shapely.STRtree(points).query(faces, predicate="contains")
        holder[point] = face
    return holder


def count_rooms(faces: list[shapely.Polygon], eroded: BaseGeometry) -> list[int]:
    """How many parts of the eroded ground each face holds."""
    inner = np.array([part.representative_point() for part in polygons_of(eroded)])
    held = _holders(faces, inner)
    counts: list[int] = np.bincount(held[held >= 0], minlength=len(faces)).tolist()
    return counts
