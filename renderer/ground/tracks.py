"""A ring as a track to run along: places by running distance, and where a lead pair may meet it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Literal

import numpy as np
import shapely

from renderer.frozen import dataclass
from renderer.geometry.lines import distances
from renderer.ground import limits
from renderer.ground.offset import turn_angles

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import Point, Points

SNAP_M = 2e-3  # a place this near to a vertex of the ring is that vertex
Stretch = tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Track:
    """A ring in walking order: closed ``points``, and ``run``, the distance along it of each."""

    id: str
    kind: Literal["outer", "island"]
    of: str
    lawn: str
    part: int  # which working area it borders
    points: Points
    run: NDArray[np.float64]
    line: BaseGeometry
    barred: tuple[Stretch, ...] = ()  # the dock's run, where no lead pair may meet the ring
    obstacles: tuple[str, ...] = ()  # that an island's ring goes round
    corners: tuple[Stretch, ...] = ()  # too near to a corner; ways through necks may end there

    @property
    def length_m(self) -> float:
        return float(self.run[-1])

    def locate(self, point: Point) -> tuple[float, Point]:
        """The place nearest to a point: running distance on the ring, and the place on the grid."""
        at = float(shapely.line_locate_point(self.line, shapely.Point(point)))
        near = int(np.argmin(np.abs(self.run - at)))
        if abs(self.run[near] - at) <= SNAP_M:
            at, place = float(self.run[near]) % self.length_m, self.points[near]
        else:
            place = np.round(self.at(at), 4)
        return at, (float(place[0]), float(place[1]))

    def at(self, run_m: float) -> Points:
        """The point at a running distance, taken round the ring."""
        run_m %= self.length_m
        return np.array(
            [
                np.interp(run_m, self.run, self.points[:, 0]),
                np.interp(run_m, self.run, self.points[:, 1]),
            ]
        )

    def between(self, start_m: float, stop_m: float) -> Points:
        """The vertices strictly between two running distances, going forward round the ring."""
        run, points = self.run[:-1], self.points[:-1]
        if stop_m > start_m:
            return points[(run > start_m + 1e-7) & (run < stop_m - 1e-7)]
        return np.concatenate([points[run > start_m + 1e-7], points[run < stop_m - 1e-7]])

    def legal(self, taken: tuple[Stretch, ...] = (), neck: bool = False) -> BaseGeometry:
        """The lines of the ring where a lead pair may meet it; empty when there are none."""
        return legal_lines(self, (*self.barred, *(() if neck else self.corners), *taken))


def make_track(
    ident: str,
    kind: Literal["outer", "island"],
    of: str,
    lawn: str,
    part: int,
    ring: Points,
    obstacles: tuple[str, ...] = (),
) -> Track:
    """A track from a ring in walking order, first point not repeated."""
    points = np.round(np.concatenate([ring, ring[:1]]), 4)
    run = distances(points)
    line = shapely.linestrings(points)
    return Track(ident, kind, of, lawn, part, points, run, line, obstacles=obstacles)


def corner_runs(track: Track) -> NDArray[np.float64]:
    """Running distances of the ring's corners."""
    turns = np.abs(turn_angles(track.points[:-1]))
    return track.run[:-1][turns >= math.radians(limits.CORNER_DEG)]


def merged(stretches: tuple[Stretch, ...], length_m: float) -> list[Stretch]:
    """Stretches of a ring, brought into 0..length, in order, without overlap."""
    flat: list[Stretch] = []
    for start, stop in stretches:
        if stop - start >= length_m:
            return [(0.0, length_m)]
        start, stop = start % length_m, stop % length_m
        flat.extend([(start, stop)] if start <= stop else [(start, length_m), (0.0, stop)])
    out: list[Stretch] = []
    for start, stop in sorted(flat):
        if out and start <= out[-1][1]:
            out[-1] = (out[-1][0], max(out[-1][1], stop))
        else:
            out.append((start, stop))
    return out


def legal_lines(track: Track, barred: tuple[Stretch, ...]) -> BaseGeometry:
    """The track without some stretches, as one line or several."""
    if not barred:
        return track.line
    lines, at = [], 0.0
    for start, stop in [*merged(barred, track.length_m), (track.length_m, track.length_m)]:
        if start - at > 1e-9:
            ends = np.stack((track.at(at), track.at(start - 1e-12)))
            if start >= track.length_m:
                ends[1] = track.points[-1]
            lines.append(np.concatenate([ends[:1], track.between(at, start), ends[1:]]))
        at = max(at, stop)
    if not lines:
        return shapely.MultiLineString()
    return shapely.multilinestrings([shapely.linestrings(line) for line in lines])
