"""Corners of the wire: too sharp ones cut off, and all bends rounded to the least radius."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.ground import limits
from renderer.ground.chords import chord_sides, count_rooms, faces_between, find_chords
from renderer.ground.offset import arc, multipolygon, polygons_of, rings_of, turn_angles

CUTS_MOST = 60  # times that corners left by a cut are looked at again
BLUNT_M = 1e-3  # a tip blunted by less than this is still a corner
ANGLE_DEG = 0.1  # a corner sharper by no more than this is as asked

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import Points


def cut_sharp_corners(
    ground: BaseGeometry, least_angle_deg: float, chord_m: float
) -> tuple[BaseGeometry, list[BaseGeometry]]:
    """The ground with each inside corner sharper than an angle cut off, and what was cut.

    The cut is ``chord_m`` long where both sides of the corner allow it, else as long as fits; what
    is still too sharp then is cut again.
    """
    off: list[BaseGeometry] = []
    for _ in range(CUTS_MOST):
        triangles = _sharp_corners(ground, least_angle_deg, chord_m)
        if not triangles:
            break
        grown = shapely.buffer(triangles, limits.SEPARATE_M, join_style="mitre", mitre_limit=2.0)
        off.extend(grown)
        ground = multipolygon(polygons_of(ground.difference(shapely.union_all(grown))))
    return ground, off


def _sharp_corners(
    ground: BaseGeometry, least_angle_deg: float, chord_m: float
) -> list[shapely.Polygon]:
    """A triangle at each inside corner of the ground that is sharper than an angle."""
    triangles = []
    for ring in rings_of(shapely.simplify(ground, BLUNT_M)):
        turns = turn_angles(ring)
        for i in np.flatnonzero(math.pi - turns < math.radians(least_angle_deg - ANGLE_DEG)):
            if turns[i] > 0:
                triangles.append(_corner_triangle(ring, int(i), math.pi - float(turns[i]), chord_m))
    return triangles


def _corner_triangle(ring: Points, i: int, angle: float, chord_m: float) -> shapely.Polygon:
    """The corner at vertex i of a ring, cut back evenly on both sides."""
    corner, before, after = ring[i], ring[i - 1], ring[(i + 1) % len(ring)]
    back, ahead = before - corner, after - corner
    back_m, ahead_m = float(np.hypot(*back)), float(np.hypot(*ahead))
    leg = min(chord_m / (2.0 * math.sin(max(angle, 1e-3) / 2.0)), back_m, ahead_m)
    return shapely.Polygon([corner, corner + back / back_m * leg, corner + ahead / ahead_m * leg])


def round_bends(
    ground: BaseGeometry, eroded: BaseGeometry, radius_m: float, room: BaseGeometry
) -> tuple[list[shapely.Polygon], list[shapely.Polygon]]:
    """The ground with each inside corner rounded to a radius, and the blind ends that this drops.

    ``eroded`` is the ground eroded by the radius. Where the disc is stopped by two sides at once,
    all behind the chord between them goes, but for the piece between chord and disc. So does what
    the disc reaches only beyond a throat, where the machine itself has no ``room``: a blind end.
    """
    if ground.is_empty:
        return [], []
    chords = find_chords(ground, eroded, radius_m)
    faces = faces_between(ground, chords)
    used = multipolygon([p for p in polygons_of(eroded) if shapely.intersects(p, room)])
    rooms = count_rooms(faces, used)
    kept: list[BaseGeometry] = [face for face, count in zip(faces, rooms, strict=True) if count]
    reached = count_rooms(faces, eroded)
    blind = [face for i, face in enumerate(faces) if reached[i] and not rooms[i]]
    near, _ = chord_sides(chords, faces)
    for ends, centre, face in zip(chords.ends, chords.centres, near, strict=True):
        if face < 0 or not rooms[face]:
            continue
        radius = float(np.hypot(*(ends - centre).T).mean())
        edge = arc(centre, ends[0], ends[1], radius)
        if len(edge) > 2:
            kept.append(shapely.polygons(edge))
    return polygons_of(shapely.union_all(kept)), blind


def on_grid(ground: BaseGeometry) -> list[shapely.Polygon]:
    """The ground's polygons with every vertex on the 0.1 mm grid, valid and without idle ones."""
    plain = shapely.simplify(ground, limits.GRID_M / 2)
    return polygons_of(shapely.set_precision(multipolygon(polygons_of(plain)), limits.GRID_M))
