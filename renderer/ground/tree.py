"""The shortest legal tree of lead pairs and crossings that joins the rings of one loop.

Kruskal's rule on the rings: the shortest way that joins two parts of the forest is taken next.
The distance of the rings' boxes is a lower bound, so exact ways are found only in their turn.
"""

from __future__ import annotations

import heapq
import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.frozen import dataclass
from renderer.ground import limits, route
from renderer.ground.offset import points_of
from renderer.ground.tracks import SNAP_M, Track

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import Point, Points
    from renderer.ground.tracks import Stretch

LONG_RING = 64  # from this many vertices on, a ring's segments are indexed
REACH_LEAST_M = 1.0  # how far about each ring others are looked for first, at least


@dataclass(frozen=True, slots=True, eq=False)
class Link:
    """A way between two tracks; ``line`` runs from ``one`` to ``two``, its ends on the grid."""

    one: int
    two: int
    line: Points
    crossing: bool = False
    under: str | None = None

    @property
    def length_m(self) -> float:
        return route.length(self.line)


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """What a lead pair between two rings may run over: a working area, or a gap between two."""

    open: BaseGeometry  # prepared
    tracks: tuple[int, ...]
    neck: bool = False  # between two working areas, where all places are near to corners


class Forest:
    """Which tracks are joined already (union-find), and the places taken on each."""

    def __init__(self, count: int) -> None:
        self.parent = list(range(count))
        self.links: list[Link] = []
        self.lines: list[BaseGeometry] = []
        self.boxes = np.empty((count, 4))  # of the lines, with room for more
        self.taken: list[list[float]] = [[] for _ in range(count)]

    def root(self, node: int) -> int:
        """The track that stands for all that are joined to this one."""
        while self.parent[node] != node:
            self.parent[node] = self.parent[self.parent[node]]
            node = self.parent[node]
        return node

    def joined(self, one: int, two: int) -> bool:
        """Whether a way between two tracks would close a circle."""
        return self.root(one) == self.root(two)

    def add(self, link: Link, tracks: Sequence[Track]) -> None:
        """Joins two tracks by a pair and takes its places on both."""
        self.parent[self.root(link.one)] = self.root(link.two)
        line = shapely.linestrings(link.line)
        if len(self.links) == len(self.boxes):
            self.boxes = np.concatenate((self.boxes, self.boxes))
        self.boxes[len(self.links)] = shapely.bounds(line)
        self.links.append(link)
        self.lines.append(line)
        for node, end in ((link.one, link.line[0]), (link.two, link.line[-1])):
            self.taken[node].append(tracks[node].locate((float(end[0]), float(end[1])))[0])

    @property
    def whole(self) -> bool:
        """Whether all tracks are joined."""
        return len(self.links) >= len(self.parent) - 1

    def crossed(self, line: BaseGeometry) -> bool:
        """Whether a line meets one of the pairs."""
        left, low, right, high = shapely.bounds(line)
        box = self.boxes[: len(self.links)]
        near = np.flatnonzero(
            (box[:, 0] <= right) & (box[:, 2] >= left) & (box[:, 1] <= high) & (box[:, 3] >= low)
        )
        return any(shapely.intersects(self.lines[k], line) for k in near.tolist())

    def near_taken(self, node: int, run_m: float, length_m: float) -> bool:
        """Whether a place on a ring is nearer than the least gap to a pair that is there."""
        return any(
            min(abs(run_m - at), length_m - abs(run_m - at)) < limits.LEAD_GAP_M - 1e-6
            for at in self.taken[node]
        )

    def taken_stretches(self, node: int) -> tuple[Stretch, ...]:
        """Stretches of a ring where no other pair may leave it, metres along it."""
        gap = limits.LEAD_GAP_M + limits.GRID_M
        return tuple((at - gap, at + gap) for at in self.taken[node])


class Ways:
    """Shortest legal ways between tracks, with what is needed to find them kept at hand."""

    def __init__(self, tracks: Sequence[Track], keep_off: BaseGeometry | None) -> None:
        self.tracks = tracks
        self.keep_off = keep_off  # the dock's straight run with its gap
        self.legal = [self.legal_on(node) for node in range(len(tracks))]
        self.index: dict[int, shapely.STRtree] = {}

    def legal_on(
        self, node: int, taken: tuple[Stretch, ...] = (), neck: bool = False
    ) -> BaseGeometry:
        """The stretches of a track where a lead pair may meet it."""
        lines = self.tracks[node].legal(taken, neck)
        if self.keep_off is None:
            return lines
        wide = self.keep_off.buffer(3 * route.END_M)
        return lines.difference(wide) if shapely.intersects(lines, wide) else lines

    def nearest(self, one: int, two: int) -> Points:
        """The shortest line between the legal stretches of two tracks."""
        a, b = self.legal[one], self.legal[two]
        if shapely.get_num_coordinates(a) > LONG_RING:
            a = self._segment_near(one, b)
        if shapely.get_num_coordinates(b) > LONG_RING:
            b = self._segment_near(two, a)
        line = points_of(shapely.shortest_line(a, b))
        return route.centred(line, self.legal[one], self.legal[two]) if len(line) else line

    def _segment_near(self, node: int, other: BaseGeometry) -> BaseGeometry:
        if node not in self.index:
            ends = [points_of(part) for part in shapely.get_parts(self.legal[node])]
            pairs = np.concatenate([np.stack((line[:-1], line[1:]), axis=1) for line in ends])
            self.index[node] = shapely.STRtree(shapely.linestrings(pairs))
        tree = self.index[node]
        return tree.geometries.take(tree.nearest(other))

    def on_grid(self, one: int, two: int, line: Points) -> Points:
        """The same line with its ends on the tracks' grid places and its turns on the grid."""
        start = self.tracks[one].locate((float(line[0, 0]), float(line[0, 1])))[1]
        end = self.tracks[two].locate((float(line[-1, 0]), float(line[-1, 1])))[1]
        return np.concatenate([[start], np.round(line[1:-1], 4), [end]])

    def fits(self, link: Link, ground: Ground, forest: Forest) -> bool:
        """Whether a way is on open ground, crosses no other, and leaves at free places."""
        for node, end in ((link.one, link.line[0]), (link.two, link.line[-1])):
            track = self.tracks[node]
            run = track.locate((float(end[0]), float(end[1])))[0]
            if forest.near_taken(node, run, track.length_m):
                return False
        line = shapely.linestrings(link.line)
        if forest.crossed(line):
            return False
        if self.keep_off is not None and shapely.intersects(self.keep_off, line):
            return False
        return route.clear(link.line, ground.open)

    def detour(self, one: int, two: int, ground: Ground, forest: Forest) -> Link | None:
        """The shortest legal way round what is in the way of the straight one."""
        blocked = [line.buffer(limits.LEAD_GAP_M / 2) for line in forest.lines]
        if self.keep_off is not None:
            blocked.append(self.keep_off.buffer(route.END_M))
        open_ground = ground.open
        if blocked:
            open_ground = open_ground.difference(shapely.union_all(blocked))
        starts = self.legal_on(one, forest.taken_stretches(one), ground.neck)
        ends = self.legal_on(two, forest.taken_stretches(two), ground.neck)
        if starts.is_empty or ends.is_empty or open_ground.is_empty:
            return None
        line = route.shortest(open_ground, starts, ends)
        return None if line is None else Link(one, two, self.on_grid(one, two, line))


Entry = tuple[float, int, int, int, int, "Link | None"]


class Offers:
    """Pairs of tracks that share some ground, offered as they are needed, nearest boxes first.

    The distance of two boxes is the least that a way between the tracks can be.
    """

    def __init__(self, tracks: Sequence[Track], grounds: Sequence[Ground]) -> None:
        self.boxes = shapely.bounds([track.line for track in tracks])
        self.shared = [(g, np.array(ground.tracks)) for g, ground in enumerate(grounds)]
        low, high = self.boxes[:, :2].min(axis=0), self.boxes[:, 2:].max(axis=0)
        self.most = float(np.hypot(*(high - low)))
        self.reach = -1.0
        self.step = max(REACH_LEAST_M, math.sqrt(float(np.prod(high - low)) / len(tracks)))

    def further(self, forest: Forest) -> list[Entry] | None:
        """The pairs within the next reach, those left out that are joined; ``None`` after all."""
        if self.reach >= self.most or forest.whole:
            return None
        before, self.reach = self.reach, self.step
        self.step *= 2.0
        return [
            entry
            for g, nodes in self.shared
            if len(nodes) > 1
            for entry in self._between(g, nodes, before, forest)
        ]

    def _between(
        self, g: int, nodes: NDArray[np.int64], before: float, forest: Forest
    ) -> Iterator[Entry]:
        """Not yet joined pairs of some tracks that lie further apart than before, in reach."""
        roots = np.array([forest.root(node) for node in nodes.tolist()])
        lone = np.flatnonzero(roots != np.bincount(roots).argmax())
        box = self.boxes[nodes]
        grown = box[lone] + np.array((-1.0, -1.0, 1.0, 1.0)) * self.reach
        mine, other = shapely.STRtree(shapely.box(*box.T)).query(shapely.box(*grown.T))
        mine = lone[mine]
        apart = roots[mine] != roots[other]
        i, j = np.minimum(mine, other)[apart], np.maximum(mine, other)[apart]
        _, once = np.unique(i * len(nodes) + j, return_index=True)
        i, j = i[once], j[once]
        gap_x = np.maximum(0.0, np.maximum(box[i, 0] - box[j, 2], box[j, 0] - box[i, 2]))
        gap_y = np.maximum(0.0, np.maximum(box[i, 1] - box[j, 3], box[j, 1] - box[i, 3]))
        low = np.hypot(gap_x, gap_y)
        new = (low > before) & (low <= self.reach)
        pairs = zip(low[new].tolist(), nodes[i[new]].tolist(), nodes[j[new]].tolist(), strict=True)
        yield from ((bound, 0, one, two, g, None) for bound, one, two in pairs)


def grow(
    tracks: Sequence[Track],
    grounds: Sequence[Ground],
    crossings: Sequence[Link],
    keep_off: BaseGeometry | None,
    lying: Sequence[Link] = (),
) -> tuple[list[Link], list[Link]]:
    """The links of the shortest legal forest, and the crossings that would have closed a circle.

    ``lying`` are pairs that lie already: those that are still legal are in the forest first.
    """
    ways = Ways(tracks, keep_off)
    forest = Forest(len(tracks))
    idle = []
    for crossing in crossings:
        if forest.joined(crossing.one, crossing.two):
            idle.append(crossing)
        else:
            forest.add(crossing, tracks)
    for pair in lying:
        over = (ground for ground in grounds if {pair.one, pair.two} <= set(ground.tracks))
        if not forest.joined(pair.one, pair.two) and any(
            ways.fits(pair, ground, forest) for ground in over
        ):
            forest.add(pair, tracks)
    offers = Offers(tracks, grounds)
    heap: list[Entry] = []
    while True:
        if not heap or heap[0][0] > offers.reach:
            more = offers.further(forest)
            if more is not None:
                heap.extend(more)
                heapq.heapify(heap)
                continue
            if not heap or forest.whole:
                return forest.links, idle
        _, tries, one, two, g, link = heapq.heappop(heap)
        if forest.joined(one, two):
            continue
        if link is not None and ways.fits(link, grounds[g], forest):
            forest.add(link, tracks)
            continue
        found = _next_way(ways, forest, grounds[g], one, two, tries)
        if found is not None:
            heapq.heappush(heap, (found.length_m, tries + 1, one, two, g, found))


def lying_links(tracks: Sequence[Track], lines: Sequence[Points]) -> list[Link]:
    """Pairs that lie already as links, those of which both ends are still on a ring."""
    ways = Ways(tracks, None) if lines else None
    rings = [track.line for track in tracks]
    found = []
    for line in lines:
        gaps = np.stack([shapely.distance(rings, shapely.Point(end)) for end in line[[0, -1]]])
        one, two = np.argmin(gaps, axis=1).tolist()
        if ways is not None and one != two and gaps.min(axis=1).max() <= SNAP_M:
            found.append(Link(one, two, ways.on_grid(one, two, line)))
    return found


def _next_way(
    ways: Ways, forest: Forest, ground: Ground, one: int, two: int, tries: int
) -> Link | None:
    """The straight way first, then ways round; given up after some."""
    if tries == 0 and not ground.neck:
        line = ways.nearest(one, two)
        if len(line):
            return Link(one, two, ways.on_grid(one, two, line))
        return None
    return ways.detour(one, two, ground, forest) if tries < 6 else None


def crossing_link(
    ones: Sequence[int],
    twos: Sequence[int],
    via: Sequence[Point],
    under: str,
    ways: Ways,
    forest: Forest,
    outside: BaseGeometry,
) -> Link | None:
    """A crossing from the nearest ring of ``ones`` through ``via`` to the nearest of ``twos``.

    It leaves each ring to the ``outside``; ``None`` where no place allows that.
    """
    best: tuple[float, Link | None] = (math.inf, None)
    legal = {node: ways.legal_on(node, forest.taken_stretches(node)) for node in {*ones, *twos}}
    pairs = [
        (_straight(legal[one], legal[two], via), one, two)
        for one in ones
        for two in twos
        if one != two and not legal[one].is_empty and not legal[two].is_empty
    ]
    for bound, one, two in sorted(pairs):
        if bound >= best[0]:
            break
        found = _through(legal[one], legal[two], via, outside)
        if found is None:
            continue
        line = ways.on_grid(one, two, found)
        way = Link(one, two, line, True, under or None)
        if way.length_m < best[0]:
            best = (way.length_m, way)
    return best[1]


def _straight(one: BaseGeometry, two: BaseGeometry, via: Sequence[Point]) -> float:
    """What a way from one ring to the other by ``via`` is long at least."""
    if not via:
        return float(shapely.distance(one, two))
    ends = shapely.distance([one, two], [shapely.Point(via[0]), shapely.Point(via[-1])])
    return route.length(np.array(via, dtype=float)) + float(ends.sum())


def _through(
    one: BaseGeometry, two: BaseGeometry, via: Sequence[Point], outside: BaseGeometry
) -> Points | None:
    """The shortest line over the ground outside the wire from one ring to the other by ``via``."""
    if not via:
        return route.shortest(outside, one, two)
    first = route.shortest(outside, one, shapely.Point(via[0]))
    last = route.shortest(outside, shapely.Point(via[-1]), two)
    if first is None or last is None:
        return None
    return np.concatenate([first[:-1], np.array(via, dtype=float), last[1:]])
