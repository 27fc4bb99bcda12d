"""Corners of the wire: too sharp ones cut off, and all bends rounded to the least radius."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.geometry.lines import distances, points_at
from renderer.ground import limits
from renderer.ground.chords import chord_sides, count_rooms, faces_between, find_chords
from renderer.ground.offset import arc, less, multipolygon, polygons_of, rings_of, turn_angles

CUTS_MOST = 20  # how often corners left by a cut are looked at again
TIP_M = 0.10  # a side shorter than this between two corners is the end of one tip
BLUNT_M = 1e-3  # a tip blunted by less than this is still a corner
ANGLE_DEG = 0.1  # a corner sharper by no more than this is as asked

if TYPE_CHECKING:
    from numpy.typing import NDArray
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
        pieces = _sharp_corners(ground, least_angle_deg, chord_m)
        if not pieces:
            break
        grown = shapely.buffer(pieces, limits.SEPARATE_M, join_style="mitre", mitre_limit=2.0)
        off.extend(grown)
        ground = less(ground, shapely.union_all(grown))
    return ground, off


def _sharp_corners(
    ground: BaseGeometry, least_angle_deg: float, chord_m: float
) -> list[BaseGeometry]:
    """A piece at each inside corner of the ground that is sharper than an angle."""
    pieces = []
    for ring in rings_of(shapely.simplify(shapely.normalize(ground), BLUNT_M)):
        turns = turn_angles(ring)
        stops = np.where(np.abs(turns) >= math.radians(limits.CORNER_DEG), np.sign(turns), 0)
        for i in np.flatnonzero(math.pi - turns < math.radians(least_angle_deg - ANGLE_DEG)):
            if turns[i] > 0:
                leg = chord_m / (2.0 * math.sin(max(math.pi - float(turns[i]), 1e-3) / 2.0))
                turned = np.roll(ring, -i, axis=0), np.roll(stops, -i)
                pieces.append(_corner_piece(*turned, leg, chord_m))
    return pieces


def _corner_piece(
    ring: Points, stops: NDArray[np.float64], leg_m: float, chord_m: float
) -> BaseGeometry:
    """What lies behind a chord across the first corner of a ring, cut back evenly on both sides.

    The chord's ends are ``leg_m`` along the border; nearer where its sides bend apart, so that
    the chord would be longer than asked, or where another corner comes first (``stops``: 1 for a
    convex, -1 for a re-entrant one), unless it only blunts a tip.
    """
    ahead = _along(ring, stops, leg_m)
    back = _along(np.roll(ring[::-1], 1, axis=0), np.roll(stops[::-1], 1), leg_m)
    leg = _wide(ahead, back, chord_m)
    ahead, back = _upto(ahead, leg), _upto(back, leg)
    return shapely.make_valid(shapely.polygons(np.concatenate([back[:0:-1], ahead])))


def _wide(one: Points, other: Points, chord_m: float) -> float:
    """How far to go on both lines at once until they are a chord apart, or one of them ends."""
    runs = distances(one), distances(other)
    legs = np.sort(np.concatenate(runs))
    legs = legs[legs <= min(run[-1] for run in runs)]
    apart = points_at(one, runs[0], legs) - points_at(other, runs[1], legs)
    wide = np.flatnonzero(np.hypot(*apart.T) >= chord_m)
    if not len(wide):
        return float(legs[-1])
    last = int(wide[0])
    before, step = apart[last - 1], apart[last] - apart[last - 1]
    a, b, c = step @ step, before @ step, before @ before - chord_m**2
    share = (math.sqrt(b * b - a * c) - b) / a
    return float(legs[last - 1] + share * (legs[last] - legs[last - 1]))


def _along(ring: Points, stops: NDArray[np.float64], leg_m: float) -> Points:
    """The border from its first vertex on: for a length, up to a re-entrant corner, or half way
    to a convex one, which may need a cut of its own.
    """
    run = distances(ring)[1:]
    reach = min(leg_m, run[-1] / 4)
    met = stops[1:]
    found = np.flatnonzero((met < 0) | ((met > 0) & (run >= TIP_M)))
    if len(found):
        first = int(found[0])
        reach = min(reach, run[first] * (1.0 if met[first] < 0 else 0.5))
    return _upto(ring, float(reach))


def _upto(line: Points, leg_m: float) -> Points:
    """The first part of a line, as long as given."""
    run = distances(line)
    last = int(np.searchsorted(run, leg_m - 1e-9))
    return np.concatenate([line[:last], points_at(line, run, leg_m)])


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
    plain = shapely.simplify(shapely.normalize(ground), limits.GRID_M / 2)
    return polygons_of(shapely.set_precision(multipolygon(polygons_of(plain)), limits.GRID_M))
