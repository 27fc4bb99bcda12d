"""The shortest way for a lead pair over the ground that is open to it."""

from __future__ import annotations

import heapq
import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.ground.feet import feet, feet_off, segments_of
from renderer.ground.offset import multipolygon, points_of, polygons_of, rings_of, turn_angles
from renderer.trade import FIRM_GAP_M, LEAD_SAVED_M

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from renderer.ground.feet import Feet, Segments
    from renderer.ground.lay import Points

INSETS_M = (2e-3, 1e-2)  # half of how far inside the open ground a way turns: exactly, else roughly
CORNERS_MANY = 400  # from so many corners on the rough inset comes first
MEET_M = 4e-3  # how far inside the open ground the rings are met where their nearest places fail
LOCAL_M = 2.0  # how far about the straight line a way round is looked for first
LEVEL_M = 2e-4  # ways that differ by less are as short: rings lie on a grid of 0.1 mm
END_M = 1e-3  # what the ends of a line may stick out of the open ground


def clear(line: Points, open_ground: BaseGeometry) -> bool:
    """Whether a line lies on the open ground, but for a millimetre at both ends."""
    if float(np.sum(np.hypot(*np.diff(line, axis=0).T))) <= 3 * END_M:
        return True
    start = line[0] + (line[1] - line[0]) * _share(line[0], line[1])
    end = line[-1] + (line[-2] - line[-1]) * _share(line[-1], line[-2])
    inner = np.concatenate([[start], line[1:-1], [end]])
    return bool(shapely.covers(open_ground, shapely.linestrings(inner)))


def _share(one: Points, two: Points) -> float:
    return min(0.4, END_M / max(float(np.hypot(*(two - one))), END_M))


def _turning_points(open_ground: BaseGeometry, inset_m: float) -> Points:
    """Places just inside the re-entrant corners of the ground, where a shortest way can turn."""
    smaller = open_ground.buffer(-2 * inset_m, join_style="mitre")
    plain = multipolygon(polygons_of(shapely.simplify(smaller, inset_m)))
    corners = [ring[turn_angles(ring) < -1e-6] for ring in rings_of(plain)]
    return np.concatenate(corners) if corners else np.empty((0, 2))


def shortest(open_ground: BaseGeometry, starts: BaseGeometry, ends: BaseGeometry) -> Points | None:
    """The shortest line over open ground from one set of lines to another, or ``None``.

    It turns only at re-entrant corners of the open ground: a visibility graph, searched from the
    starts. From each corner the places of the starts and ends are tried in order of distance, one
    for each straight piece, until one is in sight. Turns keep 4 mm to 2 cm inside the open ground.
    """
    if starts.is_empty or ends.is_empty:
        return None
    open_ground = _joining(open_ground, starts, ends)
    if open_ground.is_empty:
        return None
    shapely.prepare(open_ground)
    nearest = points_of(shapely.shortest_line(starts, ends))
    if clear(nearest, open_ground):
        middle = centred(nearest, starts, ends)
        return middle if clear(middle, open_ground) else nearest
    search = _Search(open_ground, segments_of(starts), segments_of(ends))
    best = _across(open_ground, starts, ends)
    if best is None:
        local = shapely.box(*shapely.bounds(shapely.linestrings(nearest).buffer(LOCAL_M)))
        best = search.within(open_ground.intersection(local), None)
    best = search.within(search.reach(best), best)
    if best is None or len(best) < 3:
        return best
    best = _straightened(best, starts, open_ground)
    return _straightened(best[::-1], ends, open_ground)[::-1]


def centred(line: Points, starts: BaseGeometry, ends: BaseGeometry) -> Points:
    """A straight way moved to the middle of where it is as short: off corners, always the same."""
    best, most = line, MEET_M
    for one in _at(segments_of(starts), line[0]):
        for two in _at(segments_of(ends), line[-1]):
            found, overlap = _between(one, two)
            if overlap > most and length(found) <= length(line) + LEVEL_M:
                best, most = found, overlap
    return best


def _at(segments: Segments, place: Points) -> Segments:
    """The straight pieces that touch a place."""
    return segments[feet_off(place, segments) < LEVEL_M]


def _between(one: Points, two: Points) -> tuple[Points, float]:
    """A line square to one piece in the middle of what lies opposite of another; how much does."""
    along = one[1] - one[0]
    square = float(along @ along)
    if square == 0.0:
        return one, 0.0
    shares = (two - one[0]) @ along / square
    low, high = max(0.0, float(shares.min())), min(1.0, float(shares.max()))
    if high <= low:
        return one, 0.0
    share = (low + high) / 2.0
    there = (share - float(shares[0])) / float(shares[1] - shares[0])
    ends = np.stack((one[0] + share * along, two[0] + there * (two[1] - two[0])))
    return ends, (high - low) * math.sqrt(square)


def _joining(open_ground: BaseGeometry, starts: BaseGeometry, ends: BaseGeometry) -> BaseGeometry:
    """The parts of some ground that come to both sets of lines; a way can run over no others."""
    parts = shapely.get_parts(open_ground)
    near = [shapely.dwithin(parts, lines, 3 * END_M) for lines in (starts, ends)]
    return shapely.multipolygons(parts[near[0] & near[1]])


def _straightened(line: Points, starts: BaseGeometry, open_ground: BaseGeometry) -> Points:
    """The line without a first bend that a start a little further along saves.

    A wire is pegged at every bend, so one that only rounds the end of a barred stretch is worth
    a few centimetres.
    """
    while len(line) > 2:
        ahead = line[1] - line[2]
        far = line[1] + ahead / max(float(np.hypot(*ahead)), END_M) * 10 * LEAD_SAVED_M
        hits = points_of(shapely.linestrings([line[1], far]).intersection(starts))
        if not len(hits):
            return line
        hit = hits[np.argmin(np.hypot(*(hits - line[1]).T))]
        plain = np.concatenate([[hit], line[2:]])
        if length(plain) > length(line) + LEAD_SAVED_M or not clear(plain[:2], open_ground):
            return line
        line = plain
    return line


def _across(open_ground: BaseGeometry, starts: BaseGeometry, ends: BaseGeometry) -> Points | None:
    """The straight line between what of the lines lies a little inside the open ground."""
    inner = open_ground.buffer(-MEET_M, join_style="mitre")
    line = points_of(shapely.shortest_line(starts.intersection(inner), ends.intersection(inner)))
    return line if len(line) and clear(line, open_ground) else None


class _Search:
    """Best-first search over the corners of some open ground between two sets of segments."""

    def __init__(self, open_ground: BaseGeometry, starts: Segments, ends: Segments) -> None:
        self.open = open_ground
        self.starts = starts
        self.ends = ends

    def within(self, ground: BaseGeometry, best: Points | None) -> Points | None:
        """A way shorter than ``best`` that turns in some part of the ground, or ``best`` itself."""
        bound = math.inf if best is None else length(best) - END_M
        exact, rough = (_turning_points(ground, inset_m) for inset_m in INSETS_M)
        order = (rough, exact) if len(exact) > CORNERS_MANY else (exact, rough)
        for corners in order:
            found = self._search(corners, bound) if len(corners) else None
            if found is not None:
                return found
        return best

    def reach(self, best: Points | None) -> BaseGeometry:
        """The part of the ground that a way shorter than ``best`` can come to."""
        if best is None:
            return self.open
        part = self.open
        for segments in (self.starts, self.ends):
            ends = segments.reshape(-1, 2)
            low, high = ends.min(axis=0) - length(best), ends.max(axis=0) + length(best)
            part = part.intersection(shapely.box(*low, *high))
        return part

    def _search(self, corners: Points, bound: float) -> Points | None:
        """``len(corners)`` stands for the end, a source of -1 for the start."""
        first, last = feet(corners, self.starts), feet(corners, self.ends)
        goal = len(corners)
        to_end = last.gaps[:, 0]
        heap: list[tuple[float, int, int, int]] = [
            (float(first.gaps[i, 0] + to_end[i]), i, -1, 0) for i in range(goal)
        ]
        heapq.heapify(heap)
        settled: dict[int, tuple[int, int]] = {}
        gone: dict[int, float] = {}
        while heap:
            estimate, node, source, rank = heapq.heappop(heap)
            if estimate >= bound:
                return None
            if node in settled:
                continue
            if not clear(_leg(node, source, rank, corners, first, last), self.open):
                self._push_next(heap, (node, source, rank), corners, first, last, gone)
                continue
            settled[node] = (source, rank)
            if node == goal:
                return _trace(settled, corners, first, last)
            gone[node] = _gone(node, source, rank, corners, first, gone)
            heapq.heappush(heap, (gone[node] + float(to_end[node]), goal, node, 0))
            away = gone[node] + np.hypot(*(corners - corners[node]).T) + to_end
            for other in np.flatnonzero(away < bound).tolist():
                if other not in settled:
                    heapq.heappush(heap, (float(away[other]), other, node, 0))
        return None

    def _push_next(
        self,
        heap: list[tuple[float, int, int, int]],
        blocked: tuple[int, int, int],
        corners: Points,
        first: Feet,
        last: Feet,
        gone: dict[int, float],
    ) -> None:
        """Where the leg to the starts or ends was blocked, the next place in sight, if any."""
        node, source, rank = blocked
        if source < 0:
            found = self._in_sight(corners[node], first.places[node], rank + 1)
            if found is not None:
                estimate = float(first.gaps[node, found] + last.gaps[node, 0])
                heapq.heappush(heap, (estimate, node, -1, found))
        elif node == len(corners):
            found = self._in_sight(corners[source], last.places[source], rank + 1)
            if found is not None:
                estimate = gone[source] + float(last.gaps[source, found])
                heapq.heappush(heap, (estimate, node, source, found))

    def _in_sight(self, corner: Points, places: Points, rank: int) -> int | None:
        """The first place from a rank on that is in sight of a corner over open ground."""
        away = corner - places[rank:]
        long = np.hypot(*away.T)
        share = np.minimum(0.4, END_M / np.maximum(long, END_M))
        short = np.stack(
            (places[rank:] + away * share[:, None], np.broadcast_to(corner, away.shape)), axis=1
        )
        seen = np.flatnonzero(shapely.covers(self.open, shapely.linestrings(short)))
        return rank + int(seen[0]) if len(seen) else None


def _gone(
    node: int, source: int, rank: int, corners: Points, first: Feet, gone: dict[int, float]
) -> float:
    if source < 0:
        return float(first.gaps[node, rank])
    return gone[source] + float(np.hypot(*(corners[node] - corners[source])))


def _leg(node: int, source: int, rank: int, corners: Points, first: Feet, last: Feet) -> Points:
    if source < 0:
        return np.stack((first.places[node, rank], corners[node]))
    if node == len(corners):
        return np.stack((corners[source], last.places[source, rank]))
    return np.stack((corners[source], corners[node]))


def _trace(settled: dict[int, tuple[int, int]], corners: Points, first: Feet, last: Feet) -> Points:
    node, rank = settled[len(corners)]
    way = [last.places[node, rank]]
    while node >= 0:
        way.append(corners[node])
        before, rank = settled[node]
        if before < 0:
            way.append(first.places[node, rank])
        node = before
    return np.array(way[::-1])


def length(line: Points) -> float:
    """Length of a line, metres."""
    return float(np.sum(np.hypot(*np.diff(line, axis=0).T)))


def firm_keepout(firm: list[BaseGeometry]) -> BaseGeometry | None:
    """The ground that a lead pair goes round: firm obstacles and a hand's breadth about them."""
    if not firm:
        return None
    return shapely.union_all([shape.buffer(FIRM_GAP_M, quad_segs=6) for shape in firm])
