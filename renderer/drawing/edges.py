"""What stands at the edge of a lawn, cut across: a sketch for each kind of side and obstacle.

To add a kind, write a function that draws it to the left of ``cut.x`` and put it in
``EDGES``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from itertools import pairwise
from typing import NamedTuple

from renderer.drawing.fills import fill
from renderer.drawing.pens import CHAIN, MIDDLE, ROUND, THIN, WHITE
from renderer.geometry.lines import chain
from renderer.primitives import Line, Pen, Point, Primitive
from renderer.trade import GRASS_M, KERB_M


class Cut(NamedTuple):
    """Where a section is drawn: x of the edge, level of the ground, mm of paper a metre."""

    x: float
    y: float
    mm_per_m: float

    def up(self, metres: float, least: float = 0.0, most: float = 20.0) -> float:
        """A height in metres on paper, kept within what can be seen and what there is room for."""
        return min(max(metres * self.mm_per_m, least), most)


EdgeProfile = Callable[[Cut], Iterable[Primitive]]


def outline(points: Iterable[Point], pen: Pen | None = THIN, *, fill: str | None = None) -> Line:
    """A closed line, its points to the micrometre of paper."""
    rounded = tuple((round(x, 3), round(y, 3)) for x, y in points)
    return Line(rounded, pen, closed=fill is not None or pen is MIDDLE, fill=fill, role="section")


def stroke(points: Iterable[Point], pen: Pen = THIN) -> Line:
    """A line, its points to the micrometre of paper."""
    return Line(tuple((round(x, 3), round(y, 3)) for x, y in points), pen, role="section")


def body(x0: float, y0: float, x1: float, y1: float, kind: str) -> list[Primitive]:
    """A cut body: its outline and the lines of its kind."""
    ring = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    return [*fill(kind, [chain(ring)])[0], outline(ring, MIDDLE)]


def earth(x0: float, x1: float, y: float) -> Iterator[Primitive]:
    """The level of cut ground, with hatching in threes below it."""
    yield stroke(((x0, y), (x1, y)), MIDDLE)
    x = x0 + 1.0
    while x + 3.0 <= x1:
        for i in range(3):
            yield stroke(((x + i * 1.1 + 1.2, y + 0.4), (x + i * 1.1, y + 2.0)))
        x += 7.0


def grass(x0: float, x1: float, y: float, high: float) -> Iterator[Primitive]:
    """Blades in pairs, leaning out to both sides."""
    x = x0
    while x + 1.4 <= x1:
        yield stroke(((x, y - high), (x + 0.55, y - 0.25), (x + 1.1, y - 0.8 * high)), ROUND)
        x += 2.0


def wall(cut: Cut) -> Iterator[Primitive]:
    """A wall of masonry that goes on above the drawing."""
    yield from body(cut.x - 7.0, cut.y - 19.0, cut.x, cut.y + 7.0, "wall")
    yield _break(cut.x - 8.0, cut.x + 1.0, cut.y - 19.0)


def fence(cut: Cut) -> Iterator[Primitive]:
    """A post and two rails."""
    yield from earth(0.0, cut.x, cut.y)
    yield outline(_box(cut.x - 1.8, cut.y - 19.0, cut.x, cut.y + 9.0), MIDDLE)
    for up in (7.0, 15.0):
        yield outline(_box(0.0, cut.y - up - 1.2, cut.x - 1.8, cut.y - up + 1.2), THIN, fill=WHITE)


def kerb(cut: Cut) -> Iterator[Primitive]:
    """A kerb that stands up out of the grass."""
    high = cut.up(KERB_M, 1.5, 12.0)
    yield from body(cut.x - 6.0, cut.y - high, cut.x, cut.y + 6.0, "wall")
    yield stroke(((0.0, cut.y - high), (cut.x - 6.0, cut.y - high)), MIDDLE)


def flush(cut: Cut) -> Iterator[Primitive]:
    """Paving level with the grass."""
    yield from body(0.0, cut.y, cut.x, cut.y + 4.5, "wall")


def hedge(cut: Cut) -> Iterator[Primitive]:
    """A clipped hedge on its stem."""
    yield from earth(0.0, cut.x, cut.y)
    yield stroke(((cut.x - 7.0, cut.y), (cut.x - 7.0, cut.y - 6.0)), MIDDLE)
    x0, x1 = cut.x - 13.0, cut.x - 1.0
    steps = [(x0, -4.0), (x0, -18.0), (x1, -18.0), (x1, -4.0), (x0, -4.0)]
    yield stroke([(x, cut.y + y) for x, y in _scalloped(steps)], ROUND)


def bed(cut: Cut) -> Iterator[Primitive]:
    """Loose soil a little lower, with three plants."""
    yield from earth(0.0, cut.x, cut.y + 1.2)
    yield stroke(((cut.x, cut.y), (cut.x, cut.y + 1.2)), MIDDLE)
    for x in (2.5, 6.5, 10.5):
        for lean in (-1.4, 0.0, 1.4):
            yield stroke(((x, cut.y + 1.0), (x + lean, cut.y - 5.5)), ROUND)


def water(cut: Cut) -> Iterator[Primitive]:
    """A bank, and the level of the water below it."""
    yield stroke(((cut.x, cut.y), (cut.x - 5.0, cut.y + 9.0), (0.0, cut.y + 11.0)), MIDDLE)
    for row, inset in enumerate((2.2, 3.6, 5.0)):
        y = cut.y + 3.0 + 2.4 * row
        yield stroke(((0.0, y), (cut.x - inset, y)), THIN)


def drop(cut: Cut) -> Iterator[Primitive]:
    """A bank that falls away, with hachures."""
    yield stroke(((cut.x, cut.y), (cut.x - 1.5, cut.y + 13.0), (0.0, cut.y + 13.0)), MIDDLE)
    for down in (3.0, 6.5, 10.0):
        yield stroke(((cut.x - 0.2 - down * 0.1, cut.y + down), (cut.x + 1.6, cut.y + down + 1.8)))


def road(cut: Cut) -> Iterator[Primitive]:
    """A carriageway a little lower than the grass."""
    yield from body(0.0, cut.y + 1.0, cut.x, cut.y + 5.5, "road")


def neighbour(cut: Cut) -> Iterator[Primitive]:
    """Grass that goes on, and the line of the boundary."""
    yield from earth(0.0, cut.x, cut.y)
    yield from grass(0.2, cut.x - 1.0, cut.y, cut.up(GRASS_M, 1.2, 5.0))
    yield stroke(((cut.x, cut.y - 17.0), (cut.x, cut.y + 10.0)), CHAIN)


def low(cut: Cut) -> Iterator[Primitive]:
    """Something flat that the machine would climb."""
    yield from body(cut.x - 10.0, cut.y - cut.up(0.08, 2.0, 10.0), cut.x, cut.y + 2.0, "kerb")


def soft(cut: Cut) -> Iterator[Primitive]:
    """Something that gives way, by its bulging outline."""
    yield from earth(0.0, cut.x, cut.y)
    steps = [(cut.x - 1, 0.0), (cut.x - 1, -9.0), (cut.x - 12, -9.0), (cut.x - 12, 0.0)]
    yield stroke([(x, cut.y + y) for x, y in _scalloped(steps[::-1])], ROUND)


def tree(cut: Cut) -> Iterator[Primitive]:
    """The side of a trunk with its root."""
    yield from earth(0.0, cut.x - 6.0, cut.y)
    x, y = cut.x, cut.y
    yield stroke(((x - 5.5, y - 19.0), (x - 5.5, y - 3.0), (x - 8.5, y + 4.0)), MIDDLE)
    yield stroke(((x - 1.0, y - 19.0), (x - 1.0, y - 3.0), (x, y), (x + 0.5, y + 4.0)), MIDDLE)
    yield _break(x - 7.0, x + 0.8, y - 19.0)


def _box(x0: float, y0: float, x1: float, y1: float) -> tuple[Point, ...]:
    return (x0, y0), (x1, y0), (x1, y1), (x0, y1)


def _break(x0: float, x1: float, y: float) -> Line:
    """A zigzag where a body goes on."""
    middle = (x0 + x1) / 2
    return stroke(
        (
            (x0, y),
            (middle - 1.0, y),
            (middle - 0.4, y - 1.6),
            (middle + 0.4, y + 1.6),
            (middle + 1.0, y),
            (x1, y),
        )
    )


def _scalloped(corners: list[Point]) -> list[Point]:
    """Half rounds along the sides of a chain of corners, bulging to its left."""
    out: list[Point] = []
    for (ax, ay), (bx, by) in pairwise(corners):
        span = math.hypot(bx - ax, by - ay)
        count = max(1, round(span / 3.0))
        ux, uy = (bx - ax) / span, (by - ay) / span
        for i in range(count):
            mid = (i + 0.5) * span / count
            r = span / count / 2
            for k in range(9):
                t = math.pi * (1 - k / 8)
                along, off = mid + r * math.cos(t), 0.6 * r * math.sin(t)
                out.append((ax + ux * along + uy * off, ay + uy * along - ux * off))
    return out


EDGES: dict[str, EdgeProfile] = {
    "wall": wall,
    "fence": fence,
    "kerb": kerb,
    "flush": flush,
    "hedge": hedge,
    "bed": bed,
    "water": water,
    "drop": drop,
    "road": road,
    "neighbour": neighbour,
    "low": low,
    "soft": soft,
    "tree": tree,
}
