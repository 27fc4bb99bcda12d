"""Lengths of rings of wire, worked out as a person does: side by side, arc by arc."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from renderer.ground.parts import part_names
from renderer.teaching.arithmetic import Number, Step, number
from renderer.teaching.corners import End, end_of, straight_from_side
from renderer.teaching.ground import Ground
from renderer.teaching.reckoner import LENGTH_DECIMALS, angle, whole

if TYPE_CHECKING:
    from renderer.ground.lay import Lay, LoopLay, Ring
    from renderer.ground.pieces import Arc, Piece
    from renderer.ground.sides import NumberedSide
    from renderer.plan.model import Obstacle, Plan
    from renderer.teaching.reckoner import Reckoner

RADIUS_SHARE = 0.01  # a radius this near to one that the plan asks for is that one
SAME_ANGLE_DEG = 0.2
PARALLEL_M = 0.0015  # a straight lies this near to its setback from its side


def islands_in_order(plan: Plan, lay: Lay) -> tuple[tuple[LoopLay, Ring], ...]:
    """The rings round islands with their loops, in the order in which a plan lists what they hold.

    That of an island is the place of the first of its obstacles.
    """
    place = {each.name: number for number, each in enumerate(plan.obstacles)}
    found = [(loop, ring) for loop in lay.loops for ring in loop.rings if ring.kind == "island"]
    last = len(place)
    return tuple(
        sorted(found, key=lambda each: min((place[n] for n in each[1].obstacles), default=last))
    )


def ring_steps(ground: Ground, loop: LoopLay, ring: Ring) -> tuple[Step, ...]:
    """Steps to the length of a ring; the last one gives it."""
    name = loop.name, ring.id
    if name not in ground.rings:
        ground.rings[name] = _ring_steps(ground, loop, ring)
    return ground.rings[name]


def _ring_steps(ground: Ground, loop: LoopLay, ring: Ring) -> tuple[Step, ...]:
    laid = sum(leg.length_m for leg in loop.legs if leg.part == ring.id)
    facts = {"of": part_names(loop)[ring.id]}
    if len(ring.obstacles) == 1:
        short = _round_one(ground, ring, laid)
        if short:
            return short
    steps, terms = _by_pieces(ground, ring)
    return *steps, ground.reckon.sum(f"ring.{ring.kind}", terms, laid, facts)


def _round_one(ground: Ground, ring: Ring, laid: float) -> tuple[Step, ...]:
    """A ring at one setback round one obstacle: a circle, or with outside corners only."""
    reckon = ground.reckon
    found = [each for each in ground.plan.obstacles if each.name == ring.of]
    if len(found) != 1:
        return ()
    setback = reckon.length(ground.plan.machine.setback[found[0].kind])
    facts = {"of": ring.of}
    if found[0].circle is not None:
        put_in = {"R": reckon.length(found[0].circle.radius), "s": setback}
        step = reckon.step("ring.round", "2 × π × ({R} + {s})", put_in, laid, facts, 0.005)
        return (step,) if step.agrees else ()
    sides = _polygon_sides(found[0])
    edge = reckon.sum(
        "ring.perimeter", [(1, reckon.length(side)) for side in sides], sum(sides), facts
    )
    put_in = {"P": edge.result, "s": setback}
    step = reckon.step("ring.corners", "{P} + 2 × π × {s}", put_in, laid, facts, 0.005)
    return (edge, step) if step.agrees else ()


def _polygon_sides(obstacle: Obstacle) -> list[float]:
    points = list(obstacle.polygon or ())
    if points and points[0] == points[-1]:
        points.pop()
    return [math.dist(one, two) for one, two in zip(points, points[1:] + points[:1], strict=True)]


Terms = list[tuple[int, Number]]


def _by_pieces(ground: Ground, ring: Ring) -> tuple[list[Step], Terms]:
    """A step a straight, then one for each size of arc; and what is to be added up."""
    from renderer.ground.pieces import ring_pieces

    pieces = ring_pieces(ring.points, ground.plan.machine.peg_sag)
    steps: list[Step] = []
    terms: Terms = []
    for piece in pieces:
        if piece.straight:
            lines = _straight(ground, ring, piece)
            steps += lines
            terms.append((1, lines[-1].result))
    for line in _bends(ground, pieces):
        steps.append(line)
        terms.append((1, line.result))
    return steps, terms


def _straight(ground: Ground, ring: Ring, piece: Piece) -> list[Step]:
    """From the side that it runs along where that explains it, else from the places of its ends."""
    side = _side_of(ground, ring, piece) if ring.kind == "outer" else None
    if side is not None:
        ends = [end_of(ground, side, piece, at) for at in (0, -1)]
        lines = _from_side(ground, side, piece, ends)
        if lines and lines[-1].agrees:
            return lines
    return [between(ground.reckon, "straight.places", piece.points[0], piece.points[-1], {})]


def _from_side(
    ground: Ground, side: NumberedSide, piece: Piece, ends: Sequence[End | None]
) -> list[Step]:
    first, last = ends
    if first is None or last is None:
        return []
    return straight_from_side(ground, side, piece.length_m, first, last)


def between(
    reckon: Reckoner, key: str, one: Sequence[float], two: Sequence[float], facts: dict[str, str]
) -> Step:
    """The distance of two places by their coordinates."""
    put_in = {
        "x": reckon.length(float(two[0])),
        "u": reckon.length(float(one[0])),
        "y": reckon.length(float(two[1])),
        "v": reckon.length(float(one[1])),
    }
    formula = "√(({x} − {u})² + ({y} − {v})²)"
    return reckon.step(key, formula, put_in, math.dist(one, two), facts)


def _side_of(ground: Ground, ring: Ring, piece: Piece) -> NumberedSide | None:
    """The straight side that a straight of the ring runs along at its setback."""
    import numpy as np

    for side in ground.sides:
        if side.lawn != ring.lawn or side.arc:
            continue
        way = (side.points[-1] - side.points[0]) / side.length_m
        off = piece.points[[0, -1]] - side.points[0]
        across = way[0] * off[:, 1] - way[1] * off[:, 0]
        along = off @ way
        setback = ground.plan.machine.setback[side.kind]
        beside = along.max() > 0 and along.min() < side.length_m
        if beside and np.all(np.abs(across - setback) <= PARALLEL_M):
            return side
    return None


def _bends(ground: Ground, pieces: Sequence[Piece]) -> Iterator[Step]:
    """Arcs of one radius and angle in one step; a curve that is no chain of arcs as it is laid."""
    from renderer.ground.pieces import arcs

    sizes: Counter[tuple[float, float]] = Counter()
    lengths: dict[tuple[float, float], float] = {}
    for index, piece in enumerate(pieces):
        if piece.straight:
            continue
        found = arcs(piece.points)
        if not found:
            yield ground.reckon.read("bend.read", piece.length_m)
        for arc in found:
            radius = _radius(ground, arc)
            turned = _turned(pieces, index) if len(found) == 1 else arc.length_m / radius
            size = _size(sizes, radius, math.degrees(turned))
            sizes[size] += 1
            lengths[size] = lengths.get(size, 0.0) + arc.length_m
    for size, count in sizes.items():
        yield _arc_step(ground.reckon, size, count, lengths[size])


def _size(
    known: Counter[tuple[float, float]], radius: float, degrees: float
) -> tuple[float, float]:
    """A size that is known already, where it is the same to the eye."""
    for size in known:
        if abs(size[0] - radius) < 5e-4 and abs(size[1] - degrees) < SAME_ANGLE_DEG:
            return size
    return radius, degrees


def _arc_step(reckon: Reckoner, size: tuple[float, float], count: int, laid: float) -> Step:
    put_in = {"n": whole(count), "r": reckon.length(size[0]), "w": angle(size[1])}
    formula = "{n} × {r} × π × {w} ÷ 180" if count > 1 else "{r} × π × {w} ÷ 180"
    if count == 1:
        del put_in["n"]
    step = reckon.step("bend.arc", formula, put_in, laid, {}, 0.003 * count)
    if step.agrees:
        return step
    put_in["w"] = angle(math.degrees(laid / count / size[0]))
    return reckon.first_right(replace(step, put_in=put_in), reckon.read("bend.read", laid))


def _turned(pieces: Sequence[Piece], index: int) -> float:
    """The angle in radians between the straights before and after a curve, or that it turns."""
    before, after = pieces[index - 1], pieces[(index + 1) % len(pieces)]
    piece = pieces[index]
    if not (before.straight and after.straight) or piece.turn_rad > math.pi:
        from renderer.ground.pieces import arcs

        return arcs(piece.points)[0].angle_rad
    one = before.points[-1] - before.points[0]
    two = after.points[-1] - after.points[0]
    cross = float(one[0] * two[1] - one[1] * two[0])
    return abs(math.atan2(cross, float(one @ two)))


def _radius(ground: Ground, arc: Arc) -> float:
    """The radius that the plan asks for, where the arc has nearly one of these."""
    known = [*ground.plan.machine.setback.values(), ground.plan.machine.corner_radius]
    known += [
        each.circle.radius + ground.plan.machine.setback[each.kind]
        for each in ground.plan.obstacles
        if each.circle is not None and each.kind != "firm"
    ]
    near = [r for r in known if r > 0 and abs(r - arc.radius_m) <= RADIUS_SHARE * arc.radius_m]
    nearest = min(near, key=lambda r: abs(r - arc.radius_m), default=arc.radius_m)
    return number(nearest, LENGTH_DECIMALS + 1).value
