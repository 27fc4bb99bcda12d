"""Everything within a distance of chains of straight segments, exactly and fast.

A general buffer simplifies its input and slows down steeply on long outlines.
Here each segment gives a rectangle and each bend a pie, made as whole arrays
and joined once. Arc vertices stand a little outside the radius, so that the
length of a flattened arc is the true one.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from renderer.ground.limits import FLATTEN_M, SLIVER_M2, UNION_GRID_M

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from renderer.ground.lay import Points

    Floats = NDArray[np.float64]


def arc_steps(radius_m: float, angle: float) -> int:
    """How many chords a circular arc of ``angle`` radians needs at the flattening tolerance."""
    if radius_m <= 0:
        return 1
    half = min(0.5, math.sqrt(3.0 * FLATTEN_M / radius_m))
    return max(1, math.ceil(abs(angle) / (2.0 * half)))


def disc_ring(centre: tuple[float, float], radius_m: float) -> Points:
    """Vertices of a polygon whose perimeter is that of the circle.

    A multiple of four, so that a garden turned square or mirrored has the same ones.
    """
    count = 4 * math.ceil(max(12, arc_steps(radius_m, math.tau)) / 4)
    half = math.pi / count
    angles = math.tau * np.arange(count) / count
    true = radius_m * half / math.sin(half)
    return np.column_stack((centre[0] + true * np.cos(angles), centre[1] + true * np.sin(angles)))


def disc(centre: tuple[float, float], radius_m: float) -> BaseGeometry:
    """A circle's ground as a polygon."""
    return shapely.polygons(disc_ring(centre, radius_m))


def arc(centre: Points, start: Points, end: Points, radius_m: float) -> Points:
    """From one point on a circle to another, the short way round, both ends as given."""
    first = math.atan2(start[1] - centre[1], start[0] - centre[0])
    sweep = math.atan2(end[1] - centre[1], end[0] - centre[0]) - first
    sweep = (sweep + math.pi) % math.tau - math.pi
    count = arc_steps(radius_m, sweep)
    half = 0.5 * abs(sweep) / count
    angles = first + sweep * np.arange(1, count) / count
    true = radius_m * (half / math.sin(half) if half > 1e-9 else 1.0)
    inner = np.column_stack((centre[0] + true * np.cos(angles), centre[1] + true * np.sin(angles)))
    return np.concatenate([[start], inner, [end]])


def turn_angles(points: Points) -> Floats:
    """Signed turn at each vertex of a ring, radians, left positive; first point not repeated."""
    ahead = np.roll(points, -1, axis=0) - points
    behind = np.roll(ahead, 1, axis=0)
    cross = behind[:, 0] * ahead[:, 1] - behind[:, 1] * ahead[:, 0]
    dot = np.sum(behind * ahead, axis=1)
    turns: Floats = np.arctan2(cross, dot)
    return turns


def sweep_ring(
    points: Points,
    radii: Floats,
    least_bend_m: float = 0.0,
    bend_from: float = math.pi,
    extra_m: float = 0.0,
) -> list[BaseGeometry]:
    """Pieces that together cover all within ``radii`` of a closed ring's segments.

    points: (n, 2), first not repeated; radii: (n,), of the segment that starts at each point.
    Where the ring turns right by ``bend_from`` radians or more, a bend smaller than
    ``least_bend_m`` is widened to it. Where the larger of two radii only shows as much of its end
    arc, the wider bend lies so far back that it touches that segment's border at its end and rises
    nowhere over it. Radii and least bend contain ``extra_m``; which bends are widened does not
    depend on it.
    Zero-length segments are dropped.
    """
    length = np.hypot(*(np.roll(points, -1, axis=0) - points).T)
    keep = length > 1e-9
    points, radii = points[keep], radii[keep]
    ahead = np.roll(points, -1, axis=0)
    along = (ahead - points) / np.hypot(*(ahead - points).T)[:, None]
    across = np.column_stack((-along[:, 1], along[:, 0])) * radii[:, None]
    quads = np.stack((points + across, points - across, ahead - across, ahead + across), axis=1)
    pieces = list(shapely.polygons(quads[radii > 1e-9]))
    turns = turn_angles(points)
    before = np.roll(radii, 1)
    changes = np.abs(before - radii) > 1e-9
    widest = np.maximum(before, radii)
    ratio = (np.minimum(before, radii) - extra_m) / np.maximum(widest - extra_m, 1e-9)
    exposed = np.arccos(np.clip(ratio, -1.0, 1.0)) - turns
    small = widest < least_bend_m
    widened = small & (turns <= -bend_from)
    eased = small & ~widened & changes & (exposed >= bend_from)
    for i in np.flatnonzero((changes | widened) & ~eased):
        pieces.append(disc(tuple(points[i]), max(widest[i], least_bend_m if widened[i] else 0.0)))
    for i in np.flatnonzero(eased):
        longer = along[i - 1 if before[i] >= radii[i] else i]
        back = (least_bend_m - widest[i]) * np.array((longer[1], -longer[0]))
        pieces.append(disc(tuple(points[i] + back), least_bend_m))
    outer = np.where(turns >= 0, 1, 2)  # which end of the quad's short side lies outside the bend
    pies = ~changes & ~widened & (np.abs(turns) > 1e-12) & (radii > 1e-9)
    for i in np.flatnonzero(pies):
        if outer[i] == 1:
            start, end = quads[i - 1, 2], quads[i, 1]
        else:
            start, end = quads[i - 1, 3], quads[i, 0]
        edge = arc(points[i], start, end, float(radii[i]))
        pieces.append(shapely.polygons(np.concatenate([points[[i]], edge])))
    return pieces


def points_of(geometry: BaseGeometry) -> Points:
    """All vertices of a geometry, (n, 2)."""
    points: Points = shapely.get_coordinates(geometry)
    return points


def joined(pieces: list[BaseGeometry]) -> BaseGeometry:
    """The union of convex pieces, checked.

    Many pieces that all but meet in one point can make the library's fast union lose some silently.
    So the inside of each piece's corners is looked up in the result, and where one is missing the
    union is made again on a fine grid, which is slower and does not fail.
    """
    whole = shapely.union_all(pieces)
    corners, owner = shapely.get_coordinates(pieces, return_index=True)
    middle = points_of(shapely.centroid(pieces))[owner]
    probes = corners + 0.02 * (middle - corners)
    shapely.prepare(whole)
    if bool(np.all(shapely.intersects_xy(whole, probes[:, 0], probes[:, 1]))):
        return whole
    return shapely.union_all(pieces, grid_size=UNION_GRID_M)


def less(ground: BaseGeometry, off: BaseGeometry) -> shapely.MultiPolygon:
    """The polygons of some ground without what is off, checked.

    Where edges all but lie on each other, the library's fast overlay can take ground that is off
    for ground that is left, or give up. So a point inside each polygon is looked up, and where one
    is off the ground is cut again on a fine grid.
    """
    try:
        left = multipolygon(polygons_of(ground.difference(off)))
    except shapely.errors.GEOSException:
        left = None
    if left is None or not left.is_valid or _is_in(left, off):
        left = multipolygon(polygons_of(shapely.difference(ground, off, grid_size=UNION_GRID_M)))
    return left


def _is_in(left: shapely.MultiPolygon, off: BaseGeometry) -> bool:
    inside = shapely.point_on_surface(shapely.get_parts(left))
    return bool(np.any(shapely.intersects(off, inside)))


def rings_of(ground: BaseGeometry) -> list[Points]:
    """All rings as (n, 2) arrays with the ground on the left, first point not repeated."""
    return [
        points_of(ring)[:-1]
        for part in shapely.orient_polygons(shapely.get_parts(ground))
        for ring in (part.exterior, *part.interiors)
    ]


def border_sweep(ground: BaseGeometry, radius_m: float) -> BaseGeometry:
    """All within a distance of the border of some ground."""
    pieces = [
        piece
        for ring in rings_of(ground)
        for piece in sweep_ring(ring, np.full(len(ring), radius_m))
    ]
    return joined(pieces)


def polygons_of(ground: BaseGeometry) -> list[shapely.Polygon]:
    """The polygons in a geometry, without slivers and without holes of sliver size."""
    kept = []
    for part in shapely.get_parts(ground):
        if part.geom_type != "Polygon" or part.area < SLIVER_M2:
            continue
        holes = [hole for hole in part.interiors if shapely.Polygon(hole).area >= SLIVER_M2]
        kept.append(
            shapely.Polygon(part.exterior, holes) if len(holes) < len(part.interiors) else part
        )
    return kept


def multipolygon(parts: list[shapely.Polygon]) -> shapely.MultiPolygon:
    """The polygons as one value."""
    return shapely.MultiPolygon(parts)


def dilate(ground: BaseGeometry, radius_m: float) -> shapely.MultiPolygon:
    """All points within a distance of some ground."""
    return multipolygon(polygons_of(ground.union(border_sweep(ground, radius_m))))
