"""The shortest way for a lead pair over the ground that is open to it."""

from __future__ import annotations

import heapq
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.ground import limits
from renderer.ground.offset import multipolygon, points_of, polygons_of, rings_of, turn_angles

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import Points

INSETS_M = (1e-2, 2e-3)  # how far inside the open ground a way turns: coarse and few, then fine
MEET_M = 4e-3  # how far inside the open ground the rings are met where their nearest places fail
LOCAL_M = 2.0  # how far about the straight line a way round is looked for first
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

    Turns only at re-entrant corners of the open ground (a visibility graph searched from the
    start); each leg to the first and from the last turn goes to the nearest point of its lines.
    """
    shapely.prepare(open_ground)
    direct = points_of(shapely.shortest_line(starts, ends))
    if clear(direct, open_ground):
        return direct
    inner = open_ground.buffer(-MEET_M, join_style="mitre")
    direct = points_of(shapely.shortest_line(starts.intersection(inner), ends.intersection(inner)))
    if len(direct) and clear(direct, open_ground):
        return direct
    direct = points_of(shapely.shortest_line(starts, ends))
    near = shapely.box(*shapely.bounds(shapely.linestrings(direct).buffer(LOCAL_M)))
    for ground in (open_ground.intersection(near), open_ground):
        for inset_m in INSETS_M:
            corners = _turning_points(ground, inset_m)
            found = _search(open_ground, corners, starts, ends) if len(corners) else None
            if found is not None:
                return found
    return None


def _search(
    open_ground: BaseGeometry, corners: Points, starts: BaseGeometry, ends: BaseGeometry
) -> Points | None:
    """Best-first search over the corners; ``len(corners)`` stands for the end."""
    nodes = shapely.points(corners)
    first = points_of(shapely.shortest_line(starts, nodes)).reshape(-1, 2, 2)
    last = points_of(shapely.shortest_line(nodes, ends)).reshape(-1, 2, 2)
    to_end = np.hypot(*(last[:, 1] - last[:, 0]).T)
    goal = len(corners)
    heap = [(float(np.hypot(*(leg[1] - leg[0])) + to_end[i]), i, -1) for i, leg in enumerate(first)]
    heapq.heapify(heap)
    settled: dict[int, int] = {}
    while heap:
        estimate, node, source = heapq.heappop(heap)
        if node in settled or not clear(_leg(node, source, corners, first, last), open_ground):
            continue
        settled[node] = source
        if node == goal:
            return _trace(goal, settled, corners, first, last)
        gone = estimate - float(to_end[node])
        heapq.heappush(heap, (gone + float(to_end[node]), goal, node))
        away = np.hypot(*(corners - corners[node]).T)
        for other in range(goal):
            if other not in settled:
                heapq.heappush(heap, (gone + float(away[other] + to_end[other]), other, node))
    return None


def _leg(node: int, source: int, corners: Points, first: Points, last: Points) -> Points:
    if source < 0 or node == len(corners):
        leg: Points = first[node] if source < 0 else last[source]
        return leg
    return np.stack((corners[source], corners[node]))


def _trace(
    goal: int, settled: dict[int, int], corners: Points, first: Points, last: Points
) -> Points:
    chain = [settled[goal]]
    while settled[chain[-1]] >= 0:
        chain.append(settled[chain[-1]])
    turns = corners[chain[::-1]]
    return np.concatenate([first[chain[-1]][:1], turns, last[chain[0]][1:]])


def length(line: Points) -> float:
    """Length of a line, metres."""
    return float(np.sum(np.hypot(*np.diff(line, axis=0).T)))


def firm_keepout(firm: list[BaseGeometry]) -> BaseGeometry | None:
    """The ground that a lead pair goes round: firm obstacles and a hand's breadth about them."""
    if not firm:
        return None
    return shapely.union_all([shape.buffer(limits.FIRM_GAP_M, quad_segs=6) for shape in firm])
