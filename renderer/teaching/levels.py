"""What the easier sheets ask of a garden: distances, places and lines worked out step by step."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import TYPE_CHECKING, NamedTuple

from renderer.teaching import practice
from renderer.teaching.arithmetic import Step
from renderer.teaching.ground import Ground
from renderer.teaching.reckoner import Reckoner, whole
from renderer.teaching.rings import between
from renderer.trade import REFERENCES_LEAST_M, TAPE_M
from renderer.units import INCHES_PER_FOOT, M_PER_FOOT, MM_PER_M

if TYPE_CHECKING:
    from renderer.ground.lay import Lay, Peg, Point
    from renderer.ground.sides import NumberedSide
    from renderer.ground.ties import Reference, Side

CORNERS_MOST = 3
TOLD_APART_M = 0.5  # tapes to two corners differ by more than this where one is asked for
SQUARE_DEG = 0.5
LEAST_PEGS = 3  # of a yard sheet
ROUNDING_M = 1e-6
CROSSES_DEG = (35.0, 145.0)  # two tapes of the yard sheet


def scale_step(reckon: Reckoner, scale: float) -> tuple[float, Step]:
    """How long a short line on a plan of 1:``scale`` is on the ground, metres; and the sum."""
    feet = reckon.units == "ft"
    paper = practice.PAPER_IN if feet else practice.PAPER_MM
    ground_m = scale * (paper / INCHES_PER_FOOT * M_PER_FOOT if feet else paper / MM_PER_M)
    put_in = {"p": whole(paper), "s": whole(scale)}
    formula = f"{{p}} × {{s}} ÷ {INCHES_PER_FOOT if feet else MM_PER_M:.0f}"
    return ground_m, reckon.step(f"level.scale.{reckon.units}", formula, put_in, ground_m)


def outline_step(ground: Ground, lawn: str) -> tuple[float, Step]:
    """The sides of a lawn added, metres; and the sum."""
    sides = [side for side in ground.sides if side.lawn == lawn]
    total = sum(side.length_m for side in sides)
    terms = [(1, ground.reckon.length(side.length_m)) for side in sides]
    return total, ground.reckon.sum("ring.perimeter", terms, total, {"of": lawn})


class Pair(NamedTuple):
    """Two points that tapes are held at."""

    one: Reference
    two: Reference

    @property
    def apart_m(self) -> float:
        """From point to point, metres."""
        return math.dist(self.one.at, self.two.at)


def pair_for(
    fixed: Sequence[Reference], places: Sequence[Point], reach_m: float = TAPE_M
) -> Pair | None:
    """The two points from which most places are taped with a good crossing; the first of equals.

    Neither a tape nor the two points lie further apart than ``reach_m``.
    """
    return max(
        _pairs(fixed, reach_m),
        key=lambda pair: sum(crosses(pair, place, reach_m) for place in places),
        default=None,
    )


def _pairs(fixed: Sequence[Reference], reach_m: float) -> list[Pair]:
    return [
        Pair(one, two)
        for one, two in combinations(fixed, 2)
        if REFERENCES_LEAST_M <= math.dist(one.at, two.at) <= reach_m
    ]


def crosses(pair: Pair, place: Point, reach_m: float = TAPE_M) -> bool:
    """Whether two tapes of up to ``reach_m`` from the points cross well at a place."""
    a, b = math.dist(pair.one.at, place), math.dist(pair.two.at, place)
    if not 0.0 < min(a, b) <= max(a, b) <= reach_m:
        return False
    cosine = (a * a + b * b - pair.apart_m**2) / (2.0 * a * b)
    low, high = CROSSES_DEG
    return low <= math.degrees(math.acos(max(-1.0, min(1.0, cosine)))) <= high


def corners_to_tape(ground: Ground, pair: Pair) -> tuple[NumberedSide, ...]:
    """Sides whose starts a tape reaches from both points: those that cross well come first."""
    ordered = sorted(ground.sides, key=lambda side: not crosses(pair, start_of(side)))
    near = [side for side in ordered if _in_reach(_tapes(pair, start_of(side)))]
    return tuple(sorted(near[:CORNERS_MOST], key=lambda side: side.number))


def _in_reach(tapes: tuple[float, float]) -> bool:
    return min(tapes) > TOLD_APART_M and max(tapes) <= TAPE_M


def start_of(side: NumberedSide) -> Point:
    """Where a side starts, metres."""
    x, y = side.points[0].tolist()
    return x, y


def corner_to_find(ground: Ground, pair: Pair) -> NumberedSide | None:
    """A side whose start alone lies at its two tapes; the last of those there are.

    The corners to tape come after all others, as their questions would give the answer away.
    """
    tapes = {side.number: _tapes(pair, start_of(side)) for side in ground.sides}

    def alone(side: NumberedSide) -> bool:
        own = tapes[side.number]
        others = (tapes[n] for n in tapes if n != side.number)
        return _in_reach(own) and all(
            max(abs(a - c) for a, c in zip(own, each, strict=True)) > TOLD_APART_M
            for each in others
        )

    told = {side.number for side in corners_to_tape(ground, pair)}
    ordered = sorted(ground.sides, key=lambda side: (side.number in told, -side.number))
    return next(filter(alone, ordered), None)


def _tapes(pair: Pair, place: Point) -> tuple[float, float]:
    return math.dist(pair.one.at, place), math.dist(pair.two.at, place)


def tape_steps(ground: Ground, pair: Pair, place: Point) -> tuple[Step, Step]:
    """The two tapes to a place."""
    one, two = (_taped(ground, point, place) for point in pair)
    return one, two


def check_step(ground: Ground, pair: Pair) -> Step:
    """From one point to the other."""
    return _taped(ground, pair.one, pair.two.at)


def _taped(ground: Ground, point: Reference, place: Point) -> Step:
    """From a point to a place, by their coordinates as they are printed."""
    (u, v), (x, y) = (
        (at[0] + ground.plan.origin[0], at[1] + ground.plan.origin[1]) for at in (point.at, place)
    )
    return between(ground.reckon, "level.tape", (u, v), (x, y), {"name": point.name})


def square_step(reckon: Reckoner, sides: int) -> tuple[float, float, float, Step]:
    """Both legs of a square corner and the tape across, metres; ``sides`` choose how large."""
    sizes = practice.SQUARES[reckon.units]
    a_m, b_m = sizes[sides % len(sizes)]
    put_in = {"a": reckon.length(a_m), "b": reckon.length(b_m)}
    across = math.hypot(a_m, b_m)
    return a_m, b_m, across, reckon.step("level.square", "√({a}² + {b}²)", put_in, across)


def along_steps(ground: Ground) -> tuple[NumberedSide, float, Point, tuple[Step, Step]] | None:
    """A place on the longest straight side: how far along, metres, where as printed, both sums.

    Where there are several lawns, a side that ends where the side of the next number starts.
    """
    lawns = [side.lawn for side in ground.sides]
    straight = [
        side
        for side, lawn in zip(ground.sides, (*lawns[1:], lawns[0]), strict=True)
        if not side.arc and lawn == side.lawn
    ]
    if not straight:
        return None
    side = max(straight, key=lambda each: (round(each.length_m, 3), -each.number))
    unit = ground.reckon.metres
    along = max(1, round(side.length_m / 3.0 / unit)) * unit
    (u, v), (x, y) = (
        (float(at[0]) + ground.plan.origin[0], float(at[1]) + ground.plan.origin[1])
        for at in (side.points[0], side.points[-1])
    )
    share = along / side.length_m
    place = (u + (x - u) * share, v + (y - v) * share)
    steps = tuple(
        ground.reckon.step(
            f"level.along.{name}",
            "{u} + ({x} − {u}) × {d} ÷ {L}",
            {
                "u": ground.reckon.length(start),
                "x": ground.reckon.length(end),
                "d": ground.reckon.length(along),
                "L": ground.reckon.length(side.length_m),
            },
            at,
        )
        for name, start, end, at in (("x", u, x, place[0]), ("y", v, y, place[1]))
    )
    return side, along, place, (steps[0], steps[1])


def square_sides(ground: Ground) -> Iterator[tuple[NumberedSide, Step]]:
    """Straight sides with a square corner at each end: the line of the wire between setbacks."""
    setback = ground.plan.machine.setback
    for lawn in dict.fromkeys(side.lawn for side in ground.sides):
        own = [side for side in ground.sides if side.lawn == lawn]
        turn = _turn_of(own)
        for before, side, after in zip((own[-1], *own[:-1]), own, (*own[1:], own[0]), strict=True):
            if any(each.arc for each in (before, side, after)):
                continue
            angles = [turn * _angle(before, side), turn * _angle(side, after)]
            if any(abs(angle - 90.0) > SQUARE_DEG for angle in angles):
                continue
            put_in = {
                "L": ground.reckon.length(side.length_m),
                "a": ground.reckon.length(setback[before.kind]),
                "b": ground.reckon.length(setback[after.kind]),
            }
            length = side.length_m - setback[before.kind] - setback[after.kind]
            facts = {"side": str(side.number)}
            yield side, ground.reckon.step("level.line", "{L} − {a} − {b}", put_in, length, facts)


def _turn_of(sides: Sequence[NumberedSide]) -> float:
    """1 where the sides run anticlockwise round their lawn, else -1."""
    area = sum(
        x0 * y1 - x1 * y0
        for side in sides
        for (x0, y0), (x1, y1) in zip(side.points[:-1], side.points[1:], strict=True)
    )
    return 1.0 if area > 0 else -1.0


def _angle(one: NumberedSide, two: NumberedSide) -> float:
    """The turn in degrees from one side to the next, plus to the left."""
    (ax, ay), (bx, by) = one.points[-1] - one.points[0], two.points[-1] - two.points[0]
    return math.degrees(math.atan2(ax * by - ay * bx, ax * bx + ay * by))


class Yard(NamedTuple):
    """Two stakes, and the pegs to set out from them with the hand of each."""

    pair: Pair
    pegs: tuple[tuple[Peg, Side], ...]

    @property
    def room_m(self) -> tuple[float, float]:
        """How long and how wide a yard must be for stakes and pegs, metres."""
        return _room([each.at for each in self.pair], [peg for peg, _ in self.pegs])


def yard(lay: Lay, fixed: Sequence[Reference], yard_m: tuple[float, float]) -> Yard | None:
    """Control pegs that two tapes from the same two stakes reach well, spread over the garden.

    They are chosen so that a yard so long and wide holds them and the stakes, where there are
    stakes from which enough of them do; else as far as tapes go.
    """
    pegs = [peg for loop in lay.loops for peg in loop.pegs if peg.control]
    held = [
        found
        for pair in _pairs(fixed, yard_m[0])
        if (found := _yard(pair, pegs, yard_m[0], yard_m)) is not None
    ]
    if held:
        return max(held, key=lambda found: len(found.pegs))
    far = pair_for(fixed, [(peg.x, peg.y) for peg in pegs])
    return None if far is None else _yard(far, pegs, TAPE_M, (TAPE_M, TAPE_M))


def _yard(
    pair: Pair, pegs: Sequence[Peg], reach_m: float, room_m: tuple[float, float]
) -> Yard | None:
    """The pegs to set out from a pair of stakes; nothing where there are too few."""
    good = [
        peg
        for peg in pegs
        if crosses(pair, (peg.x, peg.y), reach_m)
        and min(math.dist(each.at, (peg.x, peg.y)) for each in pair) >= REFERENCES_LEAST_M
    ]
    chosen = _spread([each.at for each in pair], good, room_m)
    if len(chosen) < LEAST_PEGS:
        return None
    return Yard(pair, tuple((peg, _hand(pair, (peg.x, peg.y))) for peg in chosen))


def _spread(stakes: Sequence[Point], pegs: Sequence[Peg], room_m: tuple[float, float]) -> list[Peg]:
    """The first peg and, each time, the one furthest from those chosen; in the wire's order.

    One that stands outside of a room with the stakes and those chosen is passed over.
    """
    chosen: list[Peg] = []
    left = list(pegs)
    while left and len(chosen) < practice.YARD_PEGS:
        away = [
            min((math.dist((peg.x, peg.y), (one.x, one.y)) for one in chosen), default=TAPE_M)
            for peg in left
        ]
        index = max(range(len(left)), key=lambda each: (round(away[each], 3), -each))
        if away[index] < practice.YARD_APART_M:
            break
        peg = left.pop(index)
        if all(
            need <= most + ROUNDING_M
            for need, most in zip(_room(stakes, [*chosen, peg]), room_m, strict=True)
        ):
            chosen.append(peg)
    return [peg for peg in pegs if peg in chosen]


def _room(stakes: Sequence[Point], pegs: Sequence[Peg]) -> tuple[float, float]:
    """How long and wide the least yard about stakes and pegs is, of those shaped as yards are; m.

    It has a side along the line of two of the places.
    """
    places = [*stakes, *((peg.x, peg.y) for peg in pegs)]
    rooms = [_extent(places, a, b) for a, b in combinations(places, 2) if a != b]
    shape = practice.YARD_M["m"][0] / practice.YARD_M["m"][1]
    return min(rooms, key=lambda room: max(room[0] / shape, room[1]))


def _extent(places: Sequence[Point], a: Point, b: Point) -> tuple[float, float]:
    """The longer and the shorter side of the upright rectangle about places, a to b level; m."""
    span = math.dist(a, b)
    ux, uy = (b[0] - a[0]) / span, (b[1] - a[1]) / span
    along, across = ([x * p + y * q for x, y in places] for p, q in ((ux, uy), (-uy, ux)))
    one, two = (max(each) - min(each) for each in (along, across))
    return max(one, two), min(one, two)


def _hand(pair: Pair, place: Point) -> Side:
    (ax, ay), (bx, by) = pair.one.at, pair.two.at
    across = (bx - ax) * (place[1] - ay) - (by - ay) * (place[0] - ax)
    return "left" if across >= 0 else "right"
