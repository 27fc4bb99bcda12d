"""What must hold for any laid wire, each rule a function that tells what breaks it.

The rules are those of the wire's definition, judged from the plan as it was measured and from the
path as it is walked, with plain geometry that the engine does not use.
"""

from __future__ import annotations

import math
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely.ops import substring

from tests.ground import plain

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from renderer.ground.lay import LawnGround, Lay, Leg, LoopLay
    from renderer.plan import Plan
    from renderer.plan.model import Lawn
    from tests.ground.plain import Floats

    Rule = Callable[[Plan, Lay], list[str]]

MM = 1e-3
SAMPLES = 150  # places of a loop's ground that are looked at


def leg_points(loop: LoopLay, leg: Leg) -> Floats:
    """The stretch of the path that a leg runs on, by its running distances."""
    first, last = np.searchsorted(loop.at_m, [leg.from_m - 1e-9, leg.to_m - 1e-9])
    return loop.path[first : last + 1]


def ring_walked(loop: LoopLay, part: str) -> Floats:
    """The legs on one ring put together, in the order in which they are walked."""
    chains = [leg_points(loop, leg) for leg in loop.legs if leg.part == part]
    return np.concatenate([chains[0][:1], *(chain[1:] for chain in chains)])


def ring_parts(loop: LoopLay) -> list[str]:
    """Names of the rings that the walk goes round, in the order in which it comes to them."""
    return list(dict.fromkeys(leg.part for leg in loop.legs if leg.kind in ("outer", "island")))


def leads_out(loop: LoopLay) -> dict[str, Floats]:
    """The line of each lead pair and crossing, as walked on the way out."""
    out: dict[str, Floats] = {}
    for leg in loop.legs:
        if leg.kind in ("lead", "crossing") and not leg.back:
            out[leg.part] = leg_points(loop, leg)
    return out


def _sign(plan: Plan) -> int:
    return 1 if plan.machine.lay_direction == "anticlockwise" else -1


def _sampled(plan: Plan, lay: Lay, loop: LoopLay) -> Floats:
    """Places over the loop's lawns and a little beyond, the same each time."""
    mine = [lawn.outline for lawn in lay.lawns if lawn.loop == loop.name]
    rng = np.random.default_rng(7)
    spread = [
        np.array(shape.bounds[:2]) - 1 + rng.random((SAMPLES // len(mine), 2)) * _box(shape)
        for shape in mine
    ]
    inner = [part.representative_point().coords[0] for part in loop.working.geoms]
    return np.concatenate([*spread, np.array(inner).reshape(-1, 2)])


def _box(shape: shapely.Polygon) -> Floats:
    left, low, right, high = shape.bounds
    return np.array([right - left + 2, high - low + 2])


def _enclosed(lay: Lay, loop: LoopLay) -> shapely.Geometry:
    """The ground that the wire goes round: the working areas, islands told as unreached filled."""
    missed = {name for cut in lay.cuts if cut.kind == "unreached" for name in cut.of}
    walked = {name for ring in loop.rings for name in ring.obstacles}
    if missed <= walked:
        return loop.working
    holes = [shapely.Polygon(r) for p in loop.working.geoms for r in p.interiors]
    rings = [shapely.LineString(ring.points) for ring in loop.rings if ring.kind == "island"]
    bare = [h for h in holes if not any(h.exterior.distance(ring) < MM for ring in rings)]
    return shapely.union_all([loop.working, *bare])


def area_is_signed(plan: Plan, lay: Lay) -> list[str]:
    """The shoelace of the walk is the working area, plus where the lay is anticlockwise."""
    wrong = []
    for loop in lay.loops:
        ground = _enclosed(lay, loop)
        area, slack = _sign(plan) * plain.shoelace(loop.path), 1e-3 + 5e-5 * ground.length
        if abs(area - ground.area) > slack:
            wrong.append(f"{loop.name}: shoelace {area:.3f}, working area {ground.area:.3f}")
        if abs(loop.working_area_m2 - ground.area) > slack:
            wrong.append(f"{loop.name}: told {loop.working_area_m2:.3f}")
    return wrong


def winds_once(plan: Plan, lay: Lay) -> list[str]:
    """The walk winds once round the working area, and not at all round islands and outside."""
    wrong = []
    missed = {name for cut in lay.cuts if cut.kind == "unreached" for name in cut.of}
    soft = [o for o in plan.obstacles if o.kind != "firm" and o.name not in missed]
    for loop in lay.loops:
        points = _sampled(plan, lay, loop)
        far = shapely.distance(shapely.linestrings(loop.path), shapely.points(points)) > 2 * MM
        points = points[far]
        inside = shapely.contains_xy(_enclosed(lay, loop), points)
        for place, turns, mown in zip(
            points, plain.winding(loop.path, points), inside, strict=True
        ):
            if turns != (_sign(plan) if mown else 0):
                wrong.append(f"{loop.name}: winds {turns} round {place} (mown: {mown})")
        centres = np.array([_middle_of(o) for o in soft]).reshape(-1, 2)
        for thing, turns in zip(soft, plain.winding(loop.path, centres), strict=True):
            if turns != 0:
                wrong.append(f"{loop.name}: winds {turns} round {thing.name}")
    return wrong


def _middle_of(obstacle: object) -> tuple[float, float]:
    if obstacle.circle is not None:
        return obstacle.circle.at
    point = shapely.Polygon(obstacle.polygon).representative_point()
    return point.x, point.y


def legs_follow(plan: Plan, lay: Lay) -> list[str]:
    """Legs run without a gap from 0 to the length, tails first and last, pairs out and back."""
    wrong = []
    for loop in lay.loops:
        legs, tail = loop.legs, plan.machine.tail
        run = tail + np.concatenate([[0], np.cumsum(np.hypot(*np.diff(loop.path, axis=0).T))])
        if np.abs(run - loop.at_m).max() > 1e-6:
            wrong.append(f"{loop.name}: running distances are not those of the path")
        if abs(loop.length_m - (run[-1] + tail)) > 1e-6 or legs[-1].to_m != loop.length_m:
            wrong.append(f"{loop.name}: the length is not the path and two tails")
        if legs[0].from_m != 0 or any(a.to_m != b.from_m for a, b in pairwise(legs)):
            wrong.append(f"{loop.name}: there is a gap between legs")
        if [i for i, leg in enumerate(legs) if leg.kind == "tail"] != [0, len(legs) - 1]:
            wrong.append(f"{loop.name}: the tails are not first and last")
        if any(abs(leg.length_m - tail) > 1e-9 for leg in (legs[0], legs[-1])):
            wrong.append(f"{loop.name}: a tail is not {tail} m long")
        if not np.array_equal(loop.path[0], loop.path[-1]):
            wrong.append(f"{loop.name}: the path does not close")
        if np.abs(loop.path * 1e4 - np.round(loop.path * 1e4)).max() > 1e-4:
            wrong.append(f"{loop.name}: the path is not on the grid of 0.1 mm")
        wrong.extend(_pairs_wrong(loop))
    return wrong


def _pairs_wrong(loop: LoopLay) -> Iterator[str]:
    for lead in loop.leads:
        runs = [leg for leg in loop.legs if leg.part == lead.id]
        if [leg.back for leg in runs] != [False, True]:
            yield f"{loop.name}: {lead.id} is not walked out and back once"
            continue
        out, back = (leg_points(loop, leg) for leg in runs)
        if not np.array_equal(out, back[::-1]):
            yield f"{loop.name}: the wires of {lead.id} do not touch"
    if {lead.id for lead in loop.leads} != set(leads_out(loop)):
        yield f"{loop.name}: the lead pairs are not those that are walked"


def keeps_setbacks(plan: Plan, lay: Lay) -> list[str]:
    """All wire but crossings keeps its setback, to 1 mm, from sides and obstacles as measured."""
    wrong = []
    lawns = {lawn.name: lawn for lawn in plan.lawns}
    for loop in lay.loops:
        lawn_of = {ring.id: ring.lawn for ring in loop.rings}
        lawn_of |= {lead.id: lawn_of[lead.from_ring] for lead in loop.leads}
        for leg in loop.legs:
            if leg.kind not in ("tail", "crossing") and not leg.back:
                short = _shortfalls(plan, lawns[lawn_of[leg.part]], leg_points(loop, leg))
                wrong.extend(f"{loop.name} {leg.part}: {text}" for text in short)
    return wrong


def _shortfalls(plan: Plan, lawn: Lawn, wire: Floats) -> Iterator[str]:
    a, b = wire[:-1], wire[1:]
    setback = plan.machine.setback
    sides = plain.sides_of(lawn)
    for i, (side, off) in enumerate(zip(sides, plain.sides_off(lawn, a, b), strict=True)):
        if off < setback[side[0]] - MM:
            yield f"{off:.4f} from side {i} ({side[0]}) needs {setback[side[0]]}"
    for thing in plan.obstacles:
        if thing.kind != "firm":
            off = plain.obstacle_off(thing, a, b)
            if off < setback[thing.kind] - MM:
                yield f"{off:.4f} from {thing.name} needs {setback[thing.kind]}"


def nothing_crosses(plan: Plan, lay: Lay) -> list[str]:
    """No ring stretch is walked twice, no two rings touch, and no lead pair crosses anything."""
    wrong = []
    for loop in lay.loops:
        rings = {part: shapely.LineString(ring_walked(loop, part)) for part in ring_parts(loop)}
        leads = {part: shapely.LineString(line) for part, line in leads_out(loop).items()}
        for part, ring in rings.items():
            if not (ring.is_closed and ring.is_simple):
                wrong.append(f"{loop.name}: {part} is not walked round once")
        for (one, a), (two, b) in combinations([*rings.items(), *leads.items()], 2):
            if two in leads and one in rings:
                b = _inner(b)
            if not b.is_empty and a.intersects(b):
                wrong.append(f"{loop.name}: {one} meets {two}")
    return wrong


def _inner(line: shapely.LineString) -> shapely.LineString:
    """A line without 2 mm at both ends, which lie on rings."""
    if line.length <= 5 * MM:
        return shapely.LineString()
    return substring(line, 2 * MM, line.length - 2 * MM)


def leads_leave_apart(plan: Plan, lay: Lay) -> list[str]:
    """Lead pairs leave a ring 50 mm apart and keep out of the dock's straight run by 0.1 m."""
    wrong = []
    for loop in lay.loops:
        for part in ring_parts(loop):
            ring = shapely.LineString(ring_walked(loop, part))
            runs = sorted(ring.project(shapely.Point(end)) for end in _ends_on(loop, part))
            gaps = [b - a for a, b in pairwise([*runs, runs[0] + ring.length])] if runs else []
            if len(runs) > 1 and min(gaps) < 0.05 - 0.2 * MM:
                wrong.append(f"{loop.name}: pairs leave {part} {min(gaps):.4f} apart")
        run = _dock_run(plan, loop)
        for part, line in leads_out(loop).items():
            off = shapely.LineString(line).distance(run) if run is not None else math.inf
            if off < 0.1 - MM:
                wrong.append(f"{loop.name}: {part} is {off:.4f} from the dock's run")
    return wrong


def _ends_on(loop: LoopLay, part: str) -> list[Floats]:
    ends = []
    lines = leads_out(loop)
    for lead in loop.leads:
        ends += [lines[lead.id][0]] if lead.from_ring == part else []
        ends += [lines[lead.id][-1]] if lead.to_ring == part else []
    return ends


def _dock_run(plan: Plan, loop: LoopLay) -> shapely.Geometry | None:
    """The stretch of the first ring that the machine drives straight along to its dock."""
    if next(one for one in plan.loops if one.name == loop.name).dock is None:
        return None
    ring = shapely.LineString(ring_walked(loop, ring_parts(loop)[0]))
    dock = plan.machine.dock
    ahead = substring(ring, 0, dock.straight_after)
    behind = substring(ring, max(0.0, ring.length - dock.straight_before), ring.length)
    return shapely.union(ahead, behind)


def leads_pass_firm(plan: Plan, lay: Lay) -> list[str]:
    """No lead pair goes through a firm obstacle."""
    firm = [thing for thing in plan.obstacles if thing.kind == "firm"]
    return [
        f"{loop.name}: {lead.id} goes through {thing.name}"
        for loop in lay.loops
        for lead in loop.leads
        for thing in firm
        if lead.kind == "lead"
        and plain.obstacle_off(thing, lead.points[:-1], lead.points[1:]) == 0.0
    ]


def no_necks_left(plan: Plan, lay: Lay) -> list[str]:
    """Ground of a working area that is joined at all is joined for a disc of the least passage.

    Eroded by half of it less 2.5 mm, a part is one piece with a hole for each of its islands; a
    place where the disc can move by a centimetre or two only is no second room, nor is one that
    the disc itself does not fit into.
    """
    wrong = []
    passage = plan.machine.passage_min
    for lawn in lay.lawns:
        for part in lawn.working.geoms:
            loose = part.buffer(-(passage / 2 - 2.5 * MM), quad_segs=64)
            tight = part.buffer(-passage / 2, quad_segs=64)
            pieces = [p for p in shapely.get_parts(loose) if p.area > 1e-3 and p.intersects(tight)]
            holes = sum(_holes(piece) for piece in pieces)
            if len(pieces) != 1 or holes != len(part.interiors):
                wrong.append(
                    f"{lawn.name}: {len(pieces)} rooms with {holes} islands in a part that has "
                    f"{len(part.interiors)}"
                )
            if part.area < 4 * passage**2 - 1e-6:
                wrong.append(f"{lawn.name}: a part of {part.area:.3f} m2 is too small to keep")
    return wrong


def _holes(piece: shapely.Polygon) -> int:
    """Holes but for those of sliver size, which arithmetic leaves where discs touch."""
    return sum(shapely.Polygon(hole).area > 1e-6 for hole in piece.interiors)


def no_deep_dead_ends(plan: Plan, lay: Lay) -> list[str]:
    """No place of a working area lies over 2 x the least passage from where the disc goes."""
    wrong = []
    passage = plan.machine.passage_min
    for lawn in lay.lawns:
        for part in lawn.working.geoms:
            room = part.buffer(-(passage / 2 - MM), quad_segs=64).buffer(passage / 2, quad_segs=64)
            ends = shapely.get_coordinates(part)
            shapely.prepare(room)
            beyond = shapely.points(ends[~shapely.intersects_xy(room, ends)])
            deep = float(shapely.distance(beyond, room).max(initial=0.0))
            if deep > 2 * passage + 5 * MM:
                wrong.append(f"{lawn.name}: a dead end {deep:.3f} m deep was kept")
    return wrong


def room_to_wire(plan: Plan, lawn: Lawn, points: Floats) -> Floats:
    """How much further than the setback each point lies from all sides and obstacles; m."""
    setback = plan.machine.setback
    least = np.full(len(points), np.inf)
    for kind, off in plain.points_off(lawn, points):
        least = np.minimum(least, off - setback[kind])
    for thing in plan.obstacles:
        if thing.kind != "firm":
            off = plain.points_off_obstacle(thing, points)
            least = np.minimum(least, off - setback[thing.kind])
    return least


def room_to_bends(plan: Plan, lawn: Lawn, points: Floats) -> Floats:
    """How far each point lies outside the least radius round corners with a smaller setback; m."""
    least = np.full(len(points), np.inf)
    for corner, back in _corners(plan, lawn):
        if back < plan.machine.corner_radius:
            off = np.hypot(*(points - np.array(corner)).T)
            least = np.minimum(least, off - plan.machine.corner_radius)
    return least


def _corners(plan: Plan, lawn: Lawn) -> Iterator[tuple[tuple[float, float], float]]:
    """Each corner that the wire may have to go round, and the setback there."""
    setback = plan.machine.setback
    sides = plain.sides_of(lawn)
    for before, side in zip((sides[-1], *sides[:-1]), sides, strict=True):
        yield side[1], max(setback[before[0]], setback[side[0]])
    for thing in plan.obstacles:
        if thing.kind != "firm" and thing.polygon is not None:
            yield from ((corner, setback[thing.kind]) for corner in thing.polygon)
        if thing.kind != "firm" and thing.circle is not None:
            yield thing.circle.at, setback[thing.kind] + thing.circle.radius


def mows_what_it_may(plan: Plan, lay: Lay) -> list[str]:
    """Sampled ground is mown only where allowed, and there unless a finding says why not."""
    wrong = []
    figures = plan.machine
    bend = max(figures.corner_radius, figures.corner_cut if figures.corner_angle_min else 0.0)
    for lawn, ground in zip(plan.lawns, lay.lawns, strict=True):
        points = _about(ground)
        points = points[plain.in_lawn(lawn, points)]
        spare = room_to_wire(plan, lawn, points)
        room = np.minimum(spare, room_to_bends(plan, lawn, points))
        mown = shapely.intersects_xy(ground.working, points)
        cut = [c.shape for c in lay.cuts if c.lawn == lawn.name and c.shape is not None]
        told = np.zeros(len(points), dtype=bool)
        if cut:
            off_cut = shapely.distance(shapely.union_all(cut), shapely.points(points))
            told = off_cut <= 2 * MM + bend
        for i in np.flatnonzero(mown & (spare < -MM)):
            wrong.append(f"{lawn.name}: {points[i]} is mown, {-spare[i]:.4f} inside a setback")
        for i in np.flatnonzero(~mown & ~told & (room > max(MM, bend))):
            wrong.append(f"{lawn.name}: {points[i]} is left, {room[i]:.4f} off every setback")
    return wrong


def _about(ground: LawnGround) -> Floats:
    """Places all over a lawn, and as many within 3 cm of the border of what is mown."""
    rng = np.random.default_rng(11)
    over = np.array(ground.outline.bounds[:2]) - 1 + rng.random((SAMPLES, 2)) * _box(ground.outline)
    edge = ground.working.boundary
    if edge.is_empty:
        return over
    near = shapely.line_interpolate_point(
        shapely.line_merge(edge) if edge.geom_type != "LineString" else edge,
        rng.random(SAMPLES),
        normalized=True,
    )
    return np.concatenate(
        [over, shapely.get_coordinates(near) + rng.uniform(-0.03, 0.03, (SAMPLES, 2))]
    )


def leaves_out_only_small(plan: Plan, lay: Lay) -> list[str]:
    """What is left out is under 4 x the least passage squared, or has no room for its disc."""
    passage = plan.machine.passage_min
    return [
        f"{cut.lawn}: {cut.area_m2:.3f} m2 is left out"
        for cut in lay.cuts
        if cut.kind == "left_out"
        and cut.shape is not None
        and cut.shape.area >= 4 * passage**2
        and not cut.shape.buffer(-(passage / 2 + MM), quad_segs=64).is_empty
    ]


def bends_as_asked(plan: Plan, lay: Lay) -> list[str]:
    """No bend of a ring is tighter than the least radius; without one, no corner under the angle.

    To 5 degrees, since a corner beside an arc is measured along the first chord of it.
    """
    wrong = []
    radius, least = plan.machine.corner_radius, plan.machine.corner_angle_min
    for loop in lay.loops:
        for part in ring_parts(loop):
            ring = shapely.LineString(ring_walked(loop, part))
            if radius:
                wrong.extend(f"{loop.name} {part}: {text}" for text in _tight(ring, radius))
            elif least:
                angles, corners = _inside_angles(ring, _sign(plan))
                for i in np.flatnonzero(angles < least - 5):
                    wrong.append(
                        f"{loop.name} {part}: a corner of {angles[i]:.2f} degrees at {corners[i]}"
                    )
    return wrong


def _tight(ring: shapely.LineString, radius: float) -> Iterator[str]:
    """Corners of 20 degrees, and stretches that turn faster than the circle of that radius."""
    turns, corners = _turns(shapely.get_coordinates(ring.simplify(MM))[:-1])
    for i in np.flatnonzero(np.abs(turns) >= math.radians(20)):
        yield f"a corner of {math.degrees(turns[i]):.1f} degrees at {corners[i]}"
    step = radius / 4
    count = max(8, round(ring.length / step))
    points = shapely.get_coordinates(ring)
    run = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    at = np.arange(count) * ring.length / count
    even = np.column_stack([np.interp(at, run, points[:, i]) for i in (0, 1)])
    turns, places = _turns(even)
    fast = np.abs(turns + np.roll(turns, 1)) > 2 * ring.length / count / radius + 0.15
    for i in np.flatnonzero(fast):
        yield f"a bend tighter than {radius} at {places[i]}"


def _turns(points: Floats) -> tuple[Floats, Floats]:
    """Signed turn at each corner of a closed line (first point not repeated), radians."""
    ahead = np.roll(points, -1, axis=0) - points
    back = np.roll(ahead, 1, axis=0)
    cross = back[:, 0] * ahead[:, 1] - back[:, 1] * ahead[:, 0]
    return np.arctan2(cross, np.sum(back * ahead, axis=1)), points


def _inside_angles(ring: shapely.LineString, left: int) -> tuple[Floats, Floats]:
    """Angles of the ground at the corners of a ring, degrees; sides under 1 mm are passed over."""
    turns, corners = _turns(shapely.get_coordinates(ring.simplify(MM))[:-1])
    return 180 - left * np.degrees(turns), corners


RULES: dict[str, Rule] = {
    rule.__name__: rule
    for rule in (
        area_is_signed,
        winds_once,
        legs_follow,
        keeps_setbacks,
        nothing_crosses,
        leads_leave_apart,
        leads_pass_firm,
        no_necks_left,
        no_deep_dead_ends,
        mows_what_it_may,
        leaves_out_only_small,
        bends_as_asked,
    )
}


def violations(plan: Plan, lay: Lay) -> list[str]:
    """All that breaks a rule, each with the rule's name."""
    return [f"{name}: {text}" for name, rule in RULES.items() for text in rule(plan, lay)]
