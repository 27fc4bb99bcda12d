"""The one walk over a tree of rings: out along a lead pair, round, back (rule 3 of the wire)."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from renderer.frozen import dataclass
from renderer.geometry.lines import distances
from renderer.ground import route
from renderer.ground.lay import Lead, Leg, Ring

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from renderer.ground.lay import LegKind, Points
    from renderer.ground.tracks import Track
    from renderer.ground.tree import Link


@dataclass(frozen=True, slots=True, eq=False)
class Walk:
    """The closed path on the grid, its running distances from the first terminal, and its legs."""

    path: Points
    at_m: NDArray[np.float64]
    legs: tuple[Leg, ...]
    rings: tuple[Ring, ...]
    leads: tuple[Lead, ...]
    reached: frozenset[int]  # indices of the tracks that were walked


@dataclass(frozen=True, slots=True, eq=False)
class _Stop:
    """A place on a ring where a lead pair leaves to another ring."""

    run_m: float
    place: Points
    child: int
    child_run_m: float
    link: int
    line: Points  # from this ring to the child


@dataclass(frozen=True, slots=True, eq=False)
class _Piece:
    kind: LegKind
    of: str
    part: str
    back: bool
    points: Points


class _Tree:
    """The links as a tree hung from the root ring, each ring's stops in the order of the walk."""

    def __init__(self, tracks: Sequence[Track], links: Sequence[Link], root: int, start_run: float):
        self.tracks = tracks
        self.stops: dict[int, list[_Stop]] = {}
        touching: dict[int, list[int]] = {}
        for k, link in enumerate(links):
            touching.setdefault(link.one, []).append(k)
            touching.setdefault(link.two, []).append(k)
        todo = [(root, start_run, -1)]
        while todo:
            node, arrival, came_by = todo.pop()
            stops = [self._stop(node, k, links[k]) for k in touching.get(node, ()) if k != came_by]
            length = tracks[node].length_m
            stops.sort(key=lambda stop: (stop.run_m - arrival) % length)
            self.stops[node] = stops
            todo.extend((stop.child, stop.child_run_m, stop.link) for stop in reversed(stops))

    def _stop(self, node: int, k: int, link: Link) -> _Stop:
        line = link.line if link.one == node else link.line[::-1]
        child = link.two if link.one == node else link.one
        run, _ = self.tracks[node].locate((float(line[0, 0]), float(line[0, 1])))
        child_run, _ = self.tracks[child].locate((float(line[-1, 0]), float(line[-1, 1])))
        return _Stop(run, line[0], child, child_run, k, line)


def _ring_piece(
    track: Track, from_run: float, start: Points, to_run: float, stop: Points, whole: bool
) -> _Piece:
    """A stretch of ring from one place to the next, going forward; the whole ring when asked."""
    if whole:
        to_run = from_run
    elif to_run == from_run:
        return _Piece(track.kind, track.of, track.id, False, np.stack((start, stop)))
    inner = track.between(from_run, to_run)
    return _Piece(track.kind, track.of, track.id, False, np.concatenate([[start], inner, [stop]]))


def _pieces(
    tree: _Tree,
    root: int,
    start_run: float,
    start: Points,
    lead_ids: dict[int, str],
    links: Sequence[Link],
) -> Iterator[_Piece]:
    """The walk piece by piece; a stack of its own bears long chains of islands."""
    stack: list[tuple[int, float, Points, float, Points, int, _Piece | None]] = []
    node, at_run, at, home_run, home, k = root, start_run, start, start_run, start, 0
    back: _Piece | None = None
    while True:
        track, stops = tree.tracks[node], tree.stops[node]
        if k < len(stops):
            stop = stops[k]
            yield _ring_piece(track, at_run, at, stop.run_m, stop.place, False)
            link = links[stop.link]
            kind: LegKind = "crossing" if link.crossing else "lead"
            of, ident = tree.tracks[stop.child].of, lead_ids[stop.link]
            yield _Piece(kind, of, ident, False, stop.line)
            stack.append((node, stop.run_m, stop.place, home_run, home, k + 1, back))
            back = _Piece(kind, of, ident, True, stop.line[::-1])
            node, at_run, at = stop.child, stop.child_run_m, stop.line[-1]
            home_run, home, k = at_run, at, 0
            continue
        yield _ring_piece(track, at_run, at, home_run, home, not stops)
        if back is not None:
            yield back
        if not stack:
            return
        node, at_run, at, home_run, home, k, back = stack.pop()


def _without_repeats(points: Points) -> Points:
    keep = np.concatenate([[True], np.any(np.diff(points, axis=0) != 0, axis=1)])
    kept: Points = points[keep]
    return kept


def _joined(pieces: list[_Piece], tail_m: float) -> tuple[Points, NDArray[np.float64], list[Leg]]:
    """One path, its running distances, and a leg for each piece between two tails."""
    chains: list[Points] = [pieces[0].points[:1]]
    ends, count = [], 1
    kept: list[_Piece] = []
    for piece in pieces:
        points = _without_repeats(piece.points)
        if len(points) < 2:
            continue
        chains.append(points[1:])
        count += len(points) - 1
        ends.append(count - 1)
        kept.append(piece)
    path: Points = np.concatenate(chains).round(4)
    at = tail_m + distances(path)
    legs = [Leg("tail", "", 0.0, tail_m, "tail")]
    for piece, end in zip(kept, ends, strict=True):
        legs.append(
            Leg(piece.kind, piece.of, legs[-1].to_m, float(at[end]), piece.part, piece.back)
        )
    legs.append(Leg("tail", "", legs[-1].to_m, legs[-1].to_m + tail_m, "tail", True))
    return path, at, legs


def walk(
    tracks: Sequence[Track],
    links: Sequence[Link],
    root: int,
    start: tuple[float, Points],
    tail_m: float,
) -> Walk:
    """The walk over the rings that the links join to the root ring, from a place on it.

    tracks in walking order; start: running distance on the root ring and the place on the grid.
    """
    tree = _Tree(tracks, links, root, start[0])
    visits = _in_walk_order(tree, root)
    lead_ids = {link: f"L{n}" for n, (link, _, _) in enumerate(visits, 1)}
    pieces = list(_pieces(tree, root, start[0], start[1], lead_ids, links))
    path, at_m, legs = _joined(pieces, tail_m)
    path.setflags(write=False)
    at_m.setflags(write=False)
    leads = tuple(
        _lead(tree, links, link, parent, child, lead_ids[link]) for link, parent, child in visits
    )
    nodes = [root, *(child for _, _, child in visits)]
    rings = tuple(_ring(tracks[node]) for node in nodes)
    return Walk(path, at_m, tuple(legs), rings, leads, frozenset(nodes))


def _in_walk_order(tree: _Tree, root: int) -> list[tuple[int, int, int]]:
    """Edges with parent and child as the walk comes to them."""
    out: list[tuple[int, int, int]] = []
    todo: list[tuple[int, int, int] | int] = [root]
    while todo:
        item = todo.pop()
        node = item if isinstance(item, int) else item[2]
        if not isinstance(item, int):
            out.append(item)
        todo.extend((stop.link, node, stop.child) for stop in reversed(tree.stops[node]))
    return out


def _lead(tree: _Tree, links: Sequence[Link], k: int, parent: int, child: int, ident: str) -> Lead:
    link = links[k]
    line = link.line if link.one == parent else link.line[::-1]
    line = np.round(line, 4)
    line.setflags(write=False)
    return Lead(
        ident,
        "crossing" if link.crossing else "lead",
        tree.tracks[parent].id,
        tree.tracks[child].id,
        tree.tracks[child].of,
        line,
        route.length(line),
        link.under,
    )


def _ring(track: Track) -> Ring:
    points = np.round(track.points, 4)
    points.setflags(write=False)
    return Ring(track.id, track.kind, track.of, track.lawn, points, track.obstacles)
