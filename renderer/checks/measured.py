"""The plan's own corners, arcs and circles, and how far wire lies from them.

By school geometry with complex numbers. It shares nothing with what lays the wire, neither shapes
nor code, so that a fault there cannot hide itself here.
"""

from __future__ import annotations

import cmath
import math
from typing import TYPE_CHECKING, Protocol

import numpy as np

from renderer.frozen import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from renderer.plan.model import Obstacle, Plan

    Places = NDArray[np.complex128]
    Floats = NDArray[np.float64]

XY = tuple[float, float]
ROUND = 48
FLAT = 1e-12  # three points whose triangle is this thin are on a line


class Shape(Protocol):
    """Something measured; what ``off`` gives are metres, one for each piece from a to b."""

    def off(self, a: Places, b: Places) -> Floats: ...


@dataclass(frozen=True, slots=True)
class Straight:
    """A straight from one point to another."""

    one: complex
    two: complex

    def off(self, a: Places, b: Places) -> Floats:
        ends = [
            _to_piece(np.full(len(a), self.one), a, b),
            _to_piece(np.full(len(a), self.two), a, b),
            _to_piece(a, self.one, self.two),
            _to_piece(b, self.one, self.two),
        ]
        return np.where(_cross(a, b, self.one, self.two), 0.0, np.min(ends, axis=0))


@dataclass(frozen=True, slots=True)
class Bow:
    """An arc of a circle: its ends, and by how much it turns from the first, left positive."""

    centre: complex
    one: complex
    turn: float

    @property
    def two(self) -> complex:
        return self.centre + (self.one - self.centre) * cmath.exp(1j * self.turn)

    def off(self, a: Places, b: Places) -> Floats:
        radius = abs(self.one - self.centre)
        centre = np.full(len(a), self.centre)
        nearest = _foot(centre, a, b)
        unit = (b - a) / np.maximum(np.abs(b - a), 1e-15)
        square = a + ((self.centre - a) * unit.conjugate()).real * unit  # on the line through both
        half = np.sqrt(np.maximum(radius**2 - np.abs(square - self.centre) ** 2, 0.0))
        meets = [_foot(square + sign * half * unit, a, b) for sign in (-1.0, 1.0)]
        found = [self._from(place) for place in (a, b, nearest, *meets)]
        found += [_to_piece(np.full(len(a), end), a, b) for end in (self.one, self.two)]
        return np.asarray(np.min(found, axis=0), dtype=np.float64)

    def _from(self, places: Places) -> Floats:
        """How far places lie from the arc."""
        off = places - self.centre
        gone = np.angle(off / (self.one - self.centre)) * math.copysign(1.0, self.turn)
        on = gone % math.tau <= abs(self.turn)
        ends = np.minimum(np.abs(places - self.one), np.abs(places - self.two))
        return np.where(on, np.abs(np.abs(off) - abs(self.one - self.centre)), ends)


@dataclass(frozen=True, slots=True)
class Disc:
    """A round obstacle, all of it."""

    centre: complex
    radius: float

    def off(self, a: Places, b: Places) -> Floats:
        gap = _to_piece(np.full(len(a), self.centre), a, b) - self.radius
        return np.asarray(np.maximum(gap, 0.0), dtype=np.float64)


@dataclass(frozen=True, slots=True)
class Block:
    """An obstacle with corners, all of it."""

    corners: tuple[complex, ...]

    def off(self, a: Places, b: Places) -> Floats:
        edges = zip(self.corners, (*self.corners[1:], self.corners[0]), strict=True)
        off = np.min([Straight(one, two).off(a, b) for one, two in edges], axis=0)
        return np.where(self.holds(a), 0.0, off)

    def holds(self, places: Places) -> NDArray[np.bool_]:
        """Which places are inside, by the angles under which the corners are seen from there."""
        ways = np.array([corner - places for corner in self.corners])
        ways = np.where(ways == 0, 1e-15, ways)
        seen = np.angle(np.roll(ways, -1, axis=0) / ways).sum(axis=0)
        return np.asarray(np.abs(seen) > math.pi, dtype=np.bool_)


@dataclass(frozen=True, slots=True)
class Bound:
    """What wire keeps off: a side of a lawn or an obstacle, with its kind and setback in metres."""

    kind: str
    of: str
    obstacle: bool
    setback_m: float
    shape: Shape
    box: tuple[float, float, float, float]


def bounds(plan: Plan) -> Iterator[Bound]:
    """All sides, and all obstacles but firm ones."""
    setback = plan.machine.setback
    for lawn in plan.lawns:
        corners = lawn.outline
        for vertex, after in zip(corners, (*corners[1:], corners[0]), strict=True):
            shape = _side(vertex.at, vertex.through, after.at)
            points = [vertex.at, after.at]
            if isinstance(shape, Bow):
                reach = abs(shape.one - shape.centre) * (1 + 1j)
                points = [_xy(shape.centre - reach), _xy(shape.centre + reach)]
            yield Bound(vertex.side, lawn.name, False, setback[vertex.side], shape, _box(points))
    for thing in plan.obstacles:
        if thing.kind != "firm":
            yield Bound(thing.kind, thing.name, True, setback[thing.kind], *_obstacle(thing))


def ring_in(thing: Obstacle) -> list[XY]:
    """Corners of an obstacle, or places round the edge of a round one."""
    if thing.circle is None:
        return list(thing.polygon or ())
    centre, radius = complex(*thing.circle.at), thing.circle.radius
    return [_xy(centre + radius * cmath.exp(2j * math.pi * k / ROUND)) for k in range(ROUND)]


def _obstacle(thing: Obstacle) -> tuple[Shape, tuple[float, float, float, float]]:
    if thing.circle is not None:
        (x, y), radius = thing.circle.at, thing.circle.radius
        box = _box([(x - radius, y - radius), (x + radius, y + radius)])
        return Disc(complex(x, y), radius), box
    corners = thing.polygon or ()
    return Block(tuple(complex(*corner) for corner in corners)), _box(corners)


def _side(at: XY, through: XY | None, to: XY) -> Shape:
    """The side from one corner to the next, straight or by way of a point."""
    one, two = complex(*at), complex(*to)
    if through is None:
        return Straight(one, two)
    p, q = complex(*through) - one, two - one
    area = (p.conjugate() * q).imag
    if abs(area) <= FLAT:
        return Straight(one, two)
    centre = one + (abs(p) ** 2 * q - abs(q) ** 2 * p) * 1j / (-2.0 * area)
    turns = [cmath.phase((end - centre) / (one - centre)) % math.tau for end in (one + p, two)]
    turn = turns[1] if turns[0] < turns[1] else turns[1] - math.tau
    return Bow(centre, one, turn)


def _box(points: Sequence[XY]) -> tuple[float, float, float, float]:
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _xy(place: complex) -> XY:
    return place.real, place.imag


def _foot(places: Places, a: Places | complex, b: Places | complex) -> Places:
    """The place of each piece from a to b that is nearest to a place."""
    way = np.asarray(b - a, dtype=np.complex128)
    square = np.maximum(np.abs(way) ** 2, 1e-30)
    share = np.clip(((places - a) * way.conjugate()).real / square, 0.0, 1.0)
    return np.asarray(a + share * way, dtype=np.complex128)


def _to_piece(places: Places, a: Places | complex, b: Places | complex) -> Floats:
    return np.asarray(np.abs(places - _foot(places, a, b)), dtype=np.float64)


def _cross(a: Places, b: Places, one: complex, two: complex) -> NDArray[np.bool_]:
    """Which pieces from a to b cross the straight from one point to another."""

    def left(p: Places | complex, q: Places | complex, r: Places | complex) -> Floats:
        return np.asarray(((q - p) * np.conjugate(r - p)).imag, dtype=np.float64)

    apart = left(a, b, one) * left(a, b, two) < 0
    return np.asarray(apart & (left(one, two, a) * left(one, two, b) < 0), dtype=np.bool_)
