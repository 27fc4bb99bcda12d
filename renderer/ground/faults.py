"""Mistakes made on purpose: a correct lay with one thing wrong, as crews and planners make them.

Each function takes frozen values and gives new ones. What is checked against the plan stays as it
was, so that a check, or a learner, can find the mistake. Names are those of obstacles and lawns;
an unknown one raises ``KeyError``. Lengths in metres.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

import numpy as np
import shapely

from renderer.geometry.lines import distances, points_at, stretch
from renderer.ground.engine import lay_plan
from renderer.ground.lay import Peg, Splice
from renderer.ground.limits import WIDTH_M
from renderer.ground.parts import part_names
from renderer.ground.rewalk import SAME_M, bulged, moved, redrawn, turned
from renderer.ground.slips import restarted
from renderer.ground.stations import pairs

if TYPE_CHECKING:
    from collections.abc import Callable

    from renderer.ground.lay import Lay, Lead, LoopLay, Point, Points
    from renderer.plan.model import Plan

Placed = TypeVar("Placed", Peg, Splice)
KEPT_M = 1e-3  # what is this near to another wire counts as lying on it
GAP_M = 0.30  # between two wires, neither touching nor a passage
APART_M = 0.20  # between the two wires of a pair that should touch


def crossed_leads(lay: Lay, of: str) -> Lay:
    """The two wires of the lead pair to ``of`` cross, so all beyond it is walked the other way."""
    loop, lead = _lead_to(lay, of)
    out, back = pairs(loop.legs)[lead.id]
    return _with(lay, turned(loop, out.to_m, back.from_m))


def reversed_island(lay: Lay, of: str) -> Lay:
    """The ring round ``of`` is walked the wrong way; the islands that hang on it are not."""
    loop, lead = _lead_to(lay, of)
    out, back = pairs(loop.legs)[lead.id]
    walked = turned(loop, out.to_m, back.from_m)
    for child in loop.leads:
        if child.from_ring == lead.to_ring:
            out, back = pairs(walked.legs)[child.id]
            walked = turned(walked, out.to_m, back.from_m)
    return _with(lay, walked)


def reversed_lawn(lay: Lay, lawn: str) -> Lay:
    """A lawn or a part of one, with all that hangs on it, is walked the wrong way round."""
    for loop in lay.loops:
        names = part_names(loop)
        outer = {ring.id for ring in loop.rings if ring.kind == "outer"}
        if lawn not in {names[ring] for ring in outer}:
            continue
        for lead in loop.leads:
            if {lead.from_ring, lead.to_ring} <= outer and names[lead.to_ring] == lawn:
                out, back = pairs(loop.legs)[lead.id]
                return _with(lay, turned(loop, out.to_m, back.from_m))
        return _with(lay, turned(loop, float(loop.at_m[0]), float(loop.at_m[-1])))
    raise KeyError(lawn)


def leads_apart(lay: Lay, of: str, by_m: float = APART_M) -> Lay:
    """The two wires of the lead pair to ``of`` lie apart instead of touching."""
    loop, lead = _lead_to(lay, of)
    _, back = pairs(loop.legs)[lead.id]
    way = lead.points[-1] - lead.points[0]
    aside = np.array([-way[1], way[0]]) / np.hypot(*way) * by_m
    inside = (loop.at_m > back.from_m + SAME_M) & (loop.at_m < back.to_m - SAME_M)
    if np.any(inside):
        path = loop.path + np.where(inside[:, None], aside, 0.0)
        return _with(lay, moved(loop, path, loop.rings))
    return _with(lay, bulged(loop, back, (0.1, 0.9), aside))


def dead_gap(lay: Lay, of: str, gap_m: float = GAP_M) -> Lay:
    """The ring round ``of`` bulges to ``gap_m`` from the nearest other: no passage and no pair."""
    loop, lead = _lead_to(lay, of)
    ring = next(each for each in loop.rings if each.id == lead.to_ring)
    others = [shapely.linestrings(each.points) for each in loop.rings if each is not ring]
    line = shapely.shortest_line(shapely.linestrings(ring.points), shapely.union_all(others))
    start, end = shapely.get_coordinates(line)
    way = (end - start) / line.length
    middle = ring.points[:-1].mean(axis=0)
    reach = float((start - middle) @ way)

    def bulge(points: Points) -> Points:
        ahead = np.maximum(0.0, (points - middle) @ way) / reach
        placed: Points = points + ahead[:, None] * way * (line.length - gap_m)
        return placed

    return _with(lay, redrawn(loop, ring, bulge))


def splice_in_lead(lay: Lay, of: str) -> Lay:
    """A splice in the middle of the lead pair to ``of``, in place of the loop's nearest, if any."""
    loop, lead = _lead_to(lay, of)
    out, _ = pairs(loop.legs)[lead.id]
    return splice_at(lay, loop.name, (out.from_m + out.to_m) / 2.0)


def splice_at(lay: Lay, loop_name: str, at_m: float) -> Lay:
    """A splice at a running distance, in place of the loop's nearest if there is one."""
    loop = _loop(lay, loop_name)
    x, y = points_at(loop.path, loop.at_m, [at_m])[0].tolist()
    rest = sorted(loop.splices, key=lambda splice: abs(splice.at_m - at_m))
    ident = rest[0].id if rest else f"S{sum(len(each.splices) for each in lay.loops) + 1}"
    splices = [*rest[1:], Splice(ident, at_m, x, y)]
    return _with(lay, replace(loop, splices=tuple(sorted(splices, key=lambda s: s.at_m))))


def wrong_setback(plan: Plan, name: str, kind: str, side: int = 0) -> Lay:
    """The plan laid as if ``name`` were of another kind: an obstacle, or one side of a lawn."""
    if name in {obstacle.name for obstacle in plan.obstacles}:
        changed = tuple(
            o.model_copy(update={"kind": kind}) if o.name == name else o for o in plan.obstacles
        )
        return lay_plan(plan.model_copy(update={"obstacles": changed}))
    if name not in {lawn.name for lawn in plan.lawns}:
        raise KeyError(name)
    lawns = tuple(
        lawn.model_copy(
            update={
                "outline": tuple(
                    vertex.model_copy(update={"side": kind}) if i == side else vertex
                    for i, vertex in enumerate(lawn.outline)
                )
            }
        )
        if lawn.name == name
        else lawn
        for lawn in plan.lawns
    )
    return lay_plan(plan.model_copy(update={"lawns": lawns}))


def sharp_corners_left(plan: Plan, laid_as: Callable[[Plan], Lay] = lay_plan) -> Lay:
    """The plan laid with its sharp corners neither cut off nor rounded."""
    machine = plan.machine.model_copy(update={"corner_angle_min": None, "corner_radius": 0.0})
    return laid_as(plan.model_copy(update={"machine": machine}))


def left_open(
    plan: Plan, lay: Lay, width_m: float, laid_as: Callable[[Plan], Lay] = lay_plan
) -> Lay | None:
    """The plan laid with passages of a width left open that are too narrow; the rest as it was.

    ``laid_as`` lays it, and may know the lay already. ``None`` where more than the rings and pairs
    beside the passage would change.
    """
    least = max(width_m - 2 * WIDTH_M, 2 * plan.machine.corner_radius)
    machine = plan.machine.model_copy(update={"passage_min": least})
    return kept_beside(lay, laid_as(plan.model_copy(update={"machine": machine})))


def kept_beside(lay: Lay, laid: Lay) -> Lay | None:
    """Another lay with the pegs and splices of the first wherever its wire still is.

    ``None`` where loops or starts differ, or a splice lies on what changed.
    """
    loops = []
    for one, two in zip(lay.loops, laid.loops, strict=True) if _alike(lay, laid) else ():
        before, after = shapely.linestrings(one.path), shapely.linestrings(two.path)
        if any(shapely.distance(after, shapely.Point(s.x, s.y)) > KEPT_M for s in one.splices):
            return None
        kept = [p for p in one.pegs if shapely.distance(after, shapely.Point(p.x, p.y)) <= KEPT_M]
        new = [p for p in two.pegs if shapely.distance(before, shapely.Point(p.x, p.y)) > KEPT_M]
        pegs = sorted((_along(two, peg) for peg in (*kept, *new)), key=lambda peg: peg.at_m)
        splices = sorted((_along(two, each) for each in one.splices), key=lambda each: each.at_m)
        loops.append(replace(two, pegs=tuple(pegs), splices=tuple(splices)))
    return replace(laid, loops=tuple(loops)) if loops else None


def _alike(lay: Lay, laid: Lay) -> bool:
    """Whether two lays have the same loops with the same starts."""
    names = [[loop.name for loop in each.loops] for each in (lay, laid)]
    starts = zip(lay.loops, laid.loops, strict=False)
    return names[0] == names[1] and all(
        np.allclose(one.start, two.start, atol=KEPT_M) for one, two in starts
    )


def _along(loop: LoopLay, thing: Placed) -> Placed:
    """A peg or splice at its running distance on another wire that passes its place."""
    along = shapely.line_locate_point(
        shapely.linestrings(loop.path), shapely.Point(thing.x, thing.y)
    )
    return replace(thing, at_m=loop.tail_m + float(along))


def dock_moved(plan: Plan, lay: Lay, loop_name: str) -> tuple[Plan, Lay]:
    """The loop's dock in the sharpest inside corner of its first ring; the wire as it was."""
    loop = _loop(lay, loop_name)
    turn = 1.0 if plan.machine.lay_direction == "anticlockwise" else -1.0
    own = {leg.part for leg in (loop.legs[1], loop.legs[-2])}
    ring = next(each for each in loop.rings if each.id in own)
    _, corner = _sharpest(ring.points[:-1], turn)
    legs = [leg for leg in loop.legs if leg.part == ring.id]
    at_m = min(
        (_nearest(loop, leg.from_m, leg.to_m, corner) for leg in legs), key=lambda each: each[0]
    )[1]
    return _docked(plan, loop_name, corner), _with(lay, restarted(loop, at_m))


def _nearest(loop: LoopLay, from_m: float, to_m: float, at: Point) -> tuple[float, float]:
    """How far a place is from a stretch of the wire, and the running distance nearest to it."""
    line = shapely.linestrings(stretch(loop.path, loop.at_m, from_m, to_m)[0])
    point = shapely.Point(at)
    return float(shapely.distance(line, point)), from_m + float(line.project(point))


def dock_in_corner(plan: Plan, lay: Lay, loop_name: str) -> Plan:
    """The plan with the loop's dock in the sharpest inside corner of its wire."""
    loop = _loop(lay, loop_name)
    turn = 1.0 if plan.machine.lay_direction == "anticlockwise" else -1.0
    best: tuple[float, Point] = (0.0, loop.start)
    for ring in loop.rings:
        if ring.kind == "outer":
            best = max(best, _sharpest(ring.points[:-1], turn))
    return _docked(plan, loop_name, best[1])


def _docked(plan: Plan, loop_name: str, at: Point) -> Plan:
    docks = tuple(
        each.model_copy(update={"dock": each.dock.model_copy(update={"at": at})})
        if each.dock is not None and each.name == loop_name
        else each
        for each in plan.loops
    )
    return plan.model_copy(update={"loops": docks})


def _sharpest(points: Points, turn: float, reach_m: float = 0.5) -> tuple[float, Point]:
    """The inside corner of a ring that turns most between half a metre before and after it."""
    closed = np.concatenate((points, points[:1]))
    run = distances(closed)
    at = run[:-1]
    before, after = (points_at(closed, run, (at + by) % run[-1]) for by in (-reach_m, reach_m))
    one, two = points - before, after - points
    turned = turn * np.arctan2(one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0], (one * two).sum(1))
    k = int(np.argmax(turned))
    return float(turned[k]), (float(points[k, 0]), float(points[k, 1]))


def _loop(lay: Lay, name: str) -> LoopLay:
    found = [loop for loop in lay.loops if loop.name == name]
    if not found:
        raise KeyError(name)
    return found[0]


def _lead_to(lay: Lay, of: str) -> tuple[LoopLay, Lead]:
    """The lead pair or crossing to a ring, by the ring's whole name or one obstacle of it."""
    for loop in lay.loops:
        inside = {ring.id: ring.obstacles for ring in loop.rings}
        for lead in loop.leads:
            if lead.of == of or of in inside.get(lead.to_ring, ()):
                return loop, lead
    raise KeyError(of)


def _with(lay: Lay, loop: LoopLay) -> Lay:
    return replace(lay, loops=tuple(loop if each.name == loop.name else each for each in lay.loops))
