"""From mown lawns to the walk of one loop: tracks, where it starts, its tree of lead pairs."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

import numpy as np
import shapely

from renderer.frozen import dataclass
from renderer.ground import limits, route
from renderer.ground.area import obstacle_ground
from renderer.ground.lay import Cut, named
from renderer.ground.offset import rings_of
from renderer.ground.tracks import Track, corner_runs, legal_lines, make_track
from renderer.ground.tree import (
    Forest,
    Ground,
    Link,
    Ways,
    crossing_link,
    grow,
    lying_links,
)
from renderer.ground.walk import Walk, walk
from renderer.trade import DOCK_OTHER_WIRE_M, LEAD_FOR_DOCK_M

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import Point, Points
    from renderer.ground.mown import MownLawn
    from renderer.plan.model import Crossing, Loop, Machine, Obstacle, Plan


CLEARLY_M = 5e-3  # beyond what the check of the dock asks for
AROUND_M = 5.0  # how far out a crossing without via points may go round a lawn


@dataclass(frozen=True, slots=True, eq=False)
class LoopWalk:
    """The walk of a loop, the ground it encloses, and what it could not reach or did not need."""

    walk: Walk
    working: shapely.MultiPolygon
    unreached: tuple[Cut, ...]
    idle_crossings: tuple[tuple[Crossing, bool], ...]  # each with whether it has no way


def _inside(
    hole: shapely.Polygon, obstacles: Sequence[Obstacle], points: BaseGeometry
) -> tuple[str, ...]:
    """The names of the obstacles in a hole of a working area."""
    inside = np.flatnonzero(shapely.contains(hole, points)).tolist() if obstacles else []
    return tuple(obstacles[i].name for i in inside)


def lay_tracks(
    lawns: Sequence[MownLawn], obstacles: Sequence[Obstacle], clockwise: bool
) -> tuple[list[Track], list[shapely.Polygon]]:
    """A track for each ring of the working areas, in walking order, and the areas themselves."""
    soft = [o for o in obstacles if o.kind != "firm"]
    points = shapely.point_on_surface([obstacle_ground(o) for o in soft]) if soft else None
    tracks: list[Track] = []
    parts: list[shapely.Polygon] = []
    for lawn in lawns:
        for part in lawn.parts:
            for k, ring in enumerate(rings_of(part)):
                walked = ring[::-1] if clockwise else ring
                name = lawn.ground.name
                names = _inside(shapely.Polygon(ring), soft, points) if k else ()
                kind: Literal["outer", "island"] = "island" if k else "outer"
                ident, of = f"{kind}-{len(tracks) + 1}", named(names) or name
                tracks.append(make_track(ident, kind, of, name, len(parts), walked, names))
            parts.append(part)
    return tracks, parts


def start_place(tracks: Sequence[Track], dock: Point) -> tuple[int, float, Points]:
    """The outer ring nearest to the dock, and the running distance and place nearest to it."""
    outer = [i for i, track in enumerate(tracks) if track.kind == "outer"]
    gaps = shapely.distance([tracks[i].line for i in outer], shapely.Point(dock))
    root = outer[int(np.argmin(gaps))]
    run, place = tracks[root].locate(dock)
    return root, run, np.array(place)


def _barred(
    tracks: Sequence[Track],
    root: int,
    run_m: float,
    loop: Loop,
    machine: Machine,
    gap: float = limits.DOCK_GAP_M,
) -> tuple[list[Track], BaseGeometry]:
    """The tracks with the stretches that lead pairs avoid, and the ground about the dock's run."""
    before, after = _needed(loop, machine)
    out = []
    for i, track in enumerate(tracks):
        run = ((run_m - before - gap, run_m + after + gap),) if i == root else ()
        out.append(_clear_of_corners(replace(track, barred=run), machine.lead_clear_of_corner))
    run = _dock_line(tracks[root], run_m, loop, machine)
    return out, run.buffer(gap - limits.GRID_M, quad_segs=8)


def _needed(loop: Loop, machine: Machine) -> tuple[float, float]:
    """The straight wire that the dock needs before and after it; none for a signal generator."""
    dock = machine.dock
    return (dock.straight_before, dock.straight_after) if loop.dock else (0.0, 0.0)


def _dock_line(track: Track, run_m: float, loop: Loop, machine: Machine) -> BaseGeometry:
    """The stretch of ring that the machine drives along to its dock."""
    before, after = _needed(loop, machine)
    return _stretch_line(track, run_m - before, run_m + after)


def _clear_of_corners(track: Track, clear_m: float) -> Track:
    """The track with its corners barred; where that leaves no place, half as wide, and so on."""
    corners = corner_runs(track).tolist()
    while clear_m > limits.LEAD_GAP_M and corners:
        barred = tuple((at - clear_m, at + clear_m) for at in corners)
        if not legal_lines(track, (*track.barred, *barred)).is_empty:
            return replace(track, corners=barred)
        clear_m /= 2
    return track


def _stretch_line(track: Track, start_m: float, stop_m: float) -> BaseGeometry:
    if stop_m - start_m >= track.length_m:
        return track.line
    if stop_m - start_m < 1e-9:
        return shapely.Point(track.at(start_m))
    rest = ((stop_m, start_m + track.length_m),)
    return legal_lines(track, rest)


def _open_grounds(
    lawns: Sequence[MownLawn],
    tracks: Sequence[Track],
    parts: Sequence[shapely.Polygon],
    firm: BaseGeometry | None,
) -> list[Ground]:
    """What lead pairs may run over: each working area, and each gap that touches several rings."""
    grounds = []
    for k, part in enumerate(parts):
        mine = tuple(i for i, track in enumerate(tracks) if track.part == k)
        grounds.append(Ground(_without(part, firm), mine))
    lines = [track.line for track in tracks]
    for lawn in lawns:
        for gap in lawn.gaps:
            touching = np.flatnonzero(shapely.dwithin(lines, gap, 2e-3))
            if len(touching) > 1:
                wide = _reaching_rings(gap, lawn.ground.allowed)
                grounds.append(Ground(_without(wide, firm), tuple(touching.tolist()), True))
    return grounds


def _reaching_rings(gap: BaseGeometry, allowed: BaseGeometry) -> BaseGeometry:
    """A gap between working areas and a few millimetres into them, so that ways meet rings."""
    grown = gap.buffer(5 * route.END_M, join_style="mitre")
    near = allowed.intersection(shapely.box(*grown.bounds))
    return grown.intersection(near.buffer(3 * limits.GRID_M, join_style="mitre"))


def _without(ground: BaseGeometry, firm: BaseGeometry | None) -> BaseGeometry:
    if firm is not None and shapely.intersects(ground, firm):
        ground = ground.difference(firm)
    shapely.prepare(ground)
    return ground


def _crossings(
    loop: Loop,
    tracks: Sequence[Track],
    parts: Sequence[shapely.Polygon],
    keep_off: BaseGeometry,
    firm: BaseGeometry | None,
) -> list[tuple[Crossing, Link | None]]:
    """The loop's crossings, each with its way between outer rings where it has one."""
    ways = Ways(tracks, keep_off)
    forest = Forest(len(tracks))
    found: list[tuple[Crossing, Link | None]] = []
    if not loop.crossings:
        return found
    outside = _outside(loop, parts, keep_off, firm)
    for crossing in loop.crossings:
        first, second = (
            [i for i, t in enumerate(tracks) if t.kind == "outer" and t.lawn == name]
            for name in crossing.between
        )
        link = crossing_link(first, second, crossing.via, crossing.under, ways, forest, outside)
        if link is not None:
            forest.add(link, tracks)
            outside = outside.difference(forest.lines[-1].buffer(limits.LEAD_GAP_M / 2))
        found.append((crossing, link))
    return found


def _outside(
    loop: Loop,
    parts: Sequence[shapely.Polygon],
    keep_off: BaseGeometry,
    firm: BaseGeometry | None,
) -> BaseGeometry:
    """The ground that crossings may run over: no working area, firm thing or dock's run."""
    whole = shapely.union_all(parts)
    via = [shapely.Point(point) for crossing in loop.crossings for point in crossing.via]
    box = shapely.box(*shapely.union_all([whole, *via]).buffer(AROUND_M).bounds)
    outside = box.difference(whole).difference(keep_off.buffer(route.END_M))
    return outside if firm is None else outside.difference(firm)


def walk_loop(
    plan: Plan, loop: Loop, lawns: Sequence[MownLawn], there: Sequence[Points] = ()
) -> LoopWalk | None:
    """The walk of one loop over its lawns, or ``None`` when none of them has a working area.

    ``there`` are lead pairs that lie already; they stay where they still join two rings.
    """
    machine = plan.machine
    tracks, parts = lay_tracks(lawns, plan.obstacles, machine.lay_direction == "clockwise")
    if not tracks:
        return None
    home = loop.dock or loop.generator
    assert home is not None
    start = start_place(tracks, home.at)
    firm = route.firm_keepout([obstacle_ground(o) for o in plan.obstacles if o.kind == "firm"])
    grounds = _open_grounds(lawns, tracks, parts, firm)

    def joined(gap_m: float) -> _Joined:
        barred, keep_off = _barred(tracks, *start[:2], loop, machine, gap_m)
        crossings = _crossings(loop, barred, parts, keep_off, firm)
        lying = lying_links(barred, there)
        links, circles = grow(barred, grounds, [e for _, e in crossings if e], keep_off, lying)
        walked = walk(barred, links, start[0], start[1:], machine.tail)
        idle = tuple(
            (crossing, link is None)
            for crossing, link in crossings
            if link is None or any(link is circle for circle in circles)
        )
        return _Joined(walked, idle)

    best = joined(limits.DOCK_GAP_M)
    run = _dock_line(tracks[start[0]], start[1], loop, machine)
    if loop.dock and best.comes_near(run, DOCK_OTHER_WIRE_M):
        best = best.or_wider(joined(DOCK_OTHER_WIRE_M + CLEARLY_M))
    areas = {tracks[i].part for i in best.walk.reached}
    return LoopWalk(
        best.walk,
        shapely.MultiPolygon([parts[k] for k in sorted(areas)]),
        tuple(_unreached(tracks, parts, best.walk.reached)),
        best.idle,
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Joined:
    """A loop's rings joined, and the crossings that were not used."""

    walk: Walk
    idle: tuple[tuple[Crossing, bool], ...]

    def comes_near(self, run: BaseGeometry, least_m: float) -> bool:
        """Whether a pair lies nearer than that to the dock's run."""
        lines = [shapely.linestrings(lead.points) for lead in self.walk.leads]
        return any(shapely.dwithin(line, run, least_m) for line in lines)

    def or_wider(self, other: _Joined) -> _Joined:
        """The other, with pairs clear of the dock, where it costs little and leaves out nothing."""
        costs = sum(lead.length_m for lead in other.walk.leads) - sum(
            lead.length_m for lead in self.walk.leads
        )
        same = self.walk.reached == other.walk.reached and self.idle == other.idle
        return other if same and costs <= LEAD_FOR_DOCK_M else self


def _unreached(
    tracks: Sequence[Track], parts: Sequence[shapely.Polygon], reached: frozenset[int]
) -> list[Cut]:
    cuts = []
    for i, track in enumerate(tracks):
        if i in reached:
            continue
        x, y = track.points[0].tolist()
        of = (track.obstacles or (track.of,)) if track.kind == "island" else ()
        area = parts[track.part].area if track.kind == "outer" else 0.0
        cuts.append(Cut("unreached", track.lawn, (x, y), of, None, area, None, None))
    return cuts
