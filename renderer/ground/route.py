"""The shortest way for a lead pair over the ground that is open to it."""

from __future__ import annotations

import heapq
import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.frozen import dataclass
from renderer.ground.feet import feet, feet_off, segments_of
from renderer.ground.offset import multipolygon, points_of, polygons_of, rings_of, turn_angles
from renderer.trade import FIRM_GAP_M, LEAD_SAVED_M

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

    from renderer.ground.feet import Feet, Segments
    from renderer.ground.lay import Points

INSETS_M = (2e-3, 1e-2)  # half of how far inside the open ground a way turns: exactly, else roughly
CORNERS_MANY = 400  # from this many corners on the rough inset comes first
MEET_M = 4e-3  # how far inside the open ground the rings are met where their nearest places fail
LOCAL_M = 2.0  # how far about the straight line a way round is looked for first
LEVEL_M = 2e-4  # ways that differ by less count as equal: rings lie on a grid of 0.1 mm
ACROSS = 0.35  # sine from which on a way that has the border across it is no shortest one
NEAR_M = 2e-2  # a place this near to a corner lies in no sure direction of it
FEW = 16  # places whose sight is tried at once
END_M = 1e-3  # how far the ends of a line may stick out of the open ground


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


@dataclass(frozen=True, slots=True, eq=False)
class Turns:
    """Where a shortest way can turn: just inside the re-entrant corners of some ground.

    ``places`` is (n, 2); ``before`` and ``after`` (n, 2) are the directions from each along the
    border to its neighbours.
    """

    places: Points
    before: Points
    after: Points

    def __len__(self) -> int:
        return len(self.places)

    def passed(self, which: slice | int, ways: Points) -> NDArray[np.bool_]:
        """Whether ways in some directions (n, 2) touch the border where they turn, or all but.

        A shortest way bends round the border, so it leaves both neighbours on one side; one that
        has the ground's edge across its way does not pass there.
        """
        sines = [
            ways[:, 0] * border[..., 1] - ways[:, 1] * border[..., 0]
            for border in (self.before[which], self.after[which])
        ]
        low, high = np.minimum(*sines), np.maximum(*sines)
        across: NDArray[np.bool_] = (low < -ACROSS) & (high > ACROSS)
        return ~across


def _turns(open_ground: BaseGeometry, inset_m: float) -> Turns:
    """Places just inside the re-entrant corners of the ground, where a shortest way can turn."""
    smaller = open_ground.buffer(-2 * inset_m, join_style="mitre")
    plain = multipolygon(polygons_of(shapely.simplify(smaller, inset_m)))
    found: list[tuple[Points, Points, Points]] = []
    for ring in rings_of(plain):
        bent = turn_angles(ring) < -1e-6
        ahead = _units(np.roll(ring, -1, axis=0) - ring)
        found.append((ring[bent], -np.roll(ahead, 1, axis=0)[bent], ahead[bent]))
    if not found:
        return Turns(*[np.empty((0, 2))] * 3)
    return Turns(*(np.concatenate(each) for each in zip(*found, strict=True)))


def _units(ways: Points) -> Points:
    """Directions (n, 2) of length 1."""
    units: Points = ways / np.maximum(np.hypot(*ways.T), 1e-12)[:, None]
    return units


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
    most = length(best) + LEAD_SAVED_M
    best = _straightened(best, starts, open_ground, most)
    return _straightened(best[::-1], ends, open_ground, most)[::-1]


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


def _straightened(
    line: Points, starts: BaseGeometry, open_ground: BaseGeometry, most_m: float
) -> Points:
    """The line without its first bends that a start a little further along saves.

    It gets no longer than ``most_m`` by that.

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
        if length(plain) > most_m or not clear(plain[:2], open_ground):
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
        exact, rough = (_turns(ground, inset_m) for inset_m in INSETS_M)
        order = (rough, exact) if len(exact) > CORNERS_MANY else (exact, rough)
        for turns in order:
            found = self._search(turns, bound) if len(turns) else None
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

    def _search(self, turns: Turns, bound: float) -> Points | None:
        """``len(turns)`` stands for the end, a source of -1 for the start."""
        corners = turns.places
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
                self._push_next(heap, (node, source, rank), turns, first, last, gone)
                continue
            settled[node] = (source, rank)
            if node == goal:
                return _trace(settled, corners, first, last)
            gone[node] = _gone(node, source, rank, corners, first, gone)
            heapq.heappush(heap, (gone[node] + float(to_end[node]), goal, node, 0))
            ways = corners - corners[node]
            away = gone[node] + np.hypot(*ways.T) + to_end
            units = _units(ways)
            taut = turns.passed(node, units) & turns.passed(slice(None), units)
            for other in np.flatnonzero(taut & (away < bound)).tolist():
                if other not in settled:
                    heapq.heappush(heap, (float(away[other]), other, node, 0))
        return None

    def _push_next(
        self,
        heap: list[tuple[float, int, int, int]],
        blocked: tuple[int, int, int],
        turns: Turns,
        first: Feet,
        last: Feet,
        gone: dict[int, float],
    ) -> None:
        """Where the leg to the starts or ends was blocked, the next place in sight, if any."""
        node, source, rank = blocked
        if source < 0:
            found = self._in_sight(turns, node, first.places[node], rank + 1)
            if found is not None:
                estimate = float(first.gaps[node, found] + last.gaps[node, 0])
                heapq.heappush(heap, (estimate, node, -1, found))
        elif node == len(turns):
            found = self._in_sight(turns, source, last.places[source], rank + 1)
            if found is not None:
                estimate = gone[source] + float(last.gaps[source, found])
                heapq.heappush(heap, (estimate, node, source, found))

    def _in_sight(self, turns: Turns, node: int, places: Points, rank: int) -> int | None:
        """The first place from a rank on to which a way can turn over open ground at a corner."""
        corner = turns.places[node]
        away = corner - places
        long = np.hypot(*away.T)
        share = np.minimum(0.4, END_M / np.maximum(long, END_M))
        fit = turns.passed(node, _units(away)) | (long < NEAR_M)
        ranks = rank + np.flatnonzero(fit[rank:])
        for few in np.array_split(ranks, range(FEW, len(ranks), FEW)):
            ends = np.broadcast_to(corner, (len(few), 2))
            short = np.stack((places[few] + away[few] * share[few, None], ends), axis=1)
            seen = few[shapely.covers(self.open, shapely.linestrings(short))]
            if len(seen):
                return int(seen[0])
        return None


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
