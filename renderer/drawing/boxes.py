"""Turned rectangles, and a grid that finds the ones that touch.

Everything that takes room on a drawing is a turned rectangle: a label, a symbol, a
piece of a line. The grid keeps them by cell, so that asking what touches a place
costs the same however many there are.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from renderer.geometry.lines import distances
from renderer.geometry.rects import Rect

if TYPE_CHECKING:
    from renderer.geometry.lines import Chain, Floats, Point

TEXT, SYMBOL, STROKE, LINE, PEG = 1, 2, 4, 8, 16
STATIC = -1
SAG_MM = 0.25  # how far the boxes of a line may be off it
# Clear paper about a label, so that two are never nearer than twice this.
CLEAR_MM = 0.3


class Box(NamedTuple):
    """A turned rectangle about (x, y): half length and height in mm, direction of its length.

    A ``round`` one is the disc inside, of radius ``hw``.
    """

    x: float
    y: float
    hw: float
    hh: float
    c: float = 1.0
    s: float = 0.0
    round: bool = False

    def grown(self, by: float) -> Box:
        """The box with so many mm more on each side."""
        x, y, hw, hh, c, s, is_round = self
        return make_box((x, y, hw + by, hh + by, c, s, is_round))

    def bounds(self) -> Rect:
        """The upright rectangle about it."""
        x, y, hw, hh, c, s, _ = self
        c, s = abs(c), abs(s)
        ex, ey = hw * c + hh * s, hw * s + hh * c
        return Rect(x - ex, y - ey, x + ex, y + ey)

    def corners(self) -> tuple[Point, ...]:
        """Its four corners in order."""
        ux, uy, vx, vy = self.hw * self.c, self.hw * self.s, -self.hh * self.s, self.hh * self.c
        return (
            (self.x - ux - vx, self.y - uy - vy),
            (self.x + ux - vx, self.y + uy - vy),
            (self.x + ux + vx, self.y + uy + vy),
            (self.x - ux + vx, self.y - uy + vy),
        )


# ``Box`` of all its values at once, in half the time: nothing else is made as often.
make_box: Callable[[tuple[float, float, float, float, float, float, bool]], Box]
make_box = partial(tuple.__new__, Box)
# The upright rectangle about something: least x and y, greatest x and y.
Bounds = tuple[float, float, float, float]
_About = tuple[int, float, int]  # kind, weight, owner
_Entry = tuple[float, float, float, float, int, Box, _About]  # bounds, number, box, what it is


class Occupied(NamedTuple):
    """A box on the paper that labels keep clear of, or, for a ``LINE``, pay ``weight`` to cross.

    A ``PEG`` is hard for text, but a leader may pass over it at a price.
    """

    box: Box
    kind: int
    weight: float = 1.0


def touching(a: Box, b: Box) -> bool:
    """Whether two turned rectangles, or discs, overlap (separating axes)."""
    # taken apart at once, since this is asked more often than anything else
    ax, ay, ahw, ahh, ac, as_, a_round = a
    bx, by, bhw, bhh, bc, bs, b_round = b
    if b_round:
        return _on_disc(b, a)
    if a_round:
        return _on_disc(a, b)
    dx, dy = bx - ax, by - ay
    if not as_ and not bs:
        return abs(dx) < ahw + bhw and abs(dy) < ahh + bhh
    c, s = abs(ac * bc + as_ * bs), abs(ac * bs - as_ * bc)
    if abs(dx * ac + dy * as_) >= ahw + bhw * c + bhh * s:
        return False
    if abs(dy * ac - dx * as_) >= ahh + bhw * s + bhh * c:
        return False
    if abs(dx * bc + dy * bs) >= bhw + ahw * c + ahh * s:
        return False
    return abs(dy * bc - dx * bs) < bhh + ahw * s + ahh * c


def _on_disc(disc: Box, other: Box) -> bool:
    x, y, radius, *_ = disc
    ox, oy, hw, hh, c, s, is_round = other
    dx, dy = x - ox, y - oy
    if is_round:
        return dx * dx + dy * dy < (radius + hw) ** 2
    along = abs(dx * c + dy * s) - hw
    across = abs(dy * c - dx * s) - hh
    if along <= 0 or across <= 0:
        return along < radius and across < radius
    return along * along + across * across < radius * radius


def bounds_about(box: Box, by: float = 0.0) -> Bounds:
    """The bounds of a box grown by so many mm, without making it."""
    x, y, hw, hh, c, s, _ = box
    hw, hh = hw + by, hh + by
    if s or c != 1.0:
        c, s = abs(c), abs(s)
        hw, hh = hw * c + hh * s, hw * s + hh * c
    return x - hw, y - hh, x + hw, y + hh


def disc(at: Point, radius: float) -> Box:
    """The room of a round symbol."""
    return Box(at[0], at[1], radius, radius, round=True)


def square(at: Point, half: float) -> Box:
    """The room of a square symbol, upright."""
    return Box(at[0], at[1], half, half)


def segment(a: Point, b: Point, width: float) -> Box:
    """The box of a straight stroke of the given width."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    span = math.hypot(dx, dy)
    if span < 1e-9:
        return Box(a[0], a[1], width / 2, width / 2)
    x, y = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    return make_box((x, y, span / 2, width / 2, dx / span, dy / span, False))


def pieces(points: Chain, width: float, most: float = 8.0) -> list[Box]:
    """Boxes that cover a chain of points, none longer than ``most`` mm.

    Short steps are joined as long as they stay within a quarter of a millimetre.
    """
    if len(points) < 2:
        return []
    rows: list[Point] = [(x, y) for x, y in points.tolist()]
    if len(rows) > 2:
        rows = _thinned(rows, distances(points), most)
    boxes = []
    for a, b in itertools.pairwise(rows):
        parts = max(1, math.ceil(math.hypot(b[0] - a[0], b[1] - a[1]) / most))
        for i in range(parts):
            t, u = i / parts, (i + 1) / parts
            boxes.append(
                segment(
                    (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])),
                    (a[0] + u * (b[0] - a[0]), a[1] + u * (b[1] - a[1])),
                    width,
                )
            )
    return boxes


def _thinned(points: Sequence[Point], run: Floats, most: float) -> list[Point]:
    """The points to keep so that the chords stay within ``SAG_MM`` of the chain, greedily."""
    keep = [0]
    last = len(points) - 1
    farthest = np.searchsorted(run, run + most, side="right").tolist()
    while keep[-1] < last:
        start = keep[-1]
        step = max(1, min(last, farthest[start]) - start)
        while step > 1 and not _is_straight(points[start : start + step + 1]):
            step //= 2
        keep.append(start + step)
    return [points[number] for number in keep]


def _is_straight(points: Sequence[Point]) -> bool:
    """Whether the chord of a piece of a chain stays within ``SAG_MM`` of it."""
    (ax, ay), *between, (bx, by) = points
    dx, dy = bx - ax, by - ay
    square = dx * dx + dy * dy
    for x, y in between:
        x, y = x - ax, y - ay
        share = min(max((x * dx + y * dy) / square, 0.0), 1.0) if square > 1e-18 else 0.0
        if math.hypot(x - share * dx, y - share * dy) > SAG_MM:
            return False
    return True


class Grid:
    """Boxes by cell; each has a kind, a weight and an owner, and can be taken out by owner."""

    def __init__(self, cell_mm: float = 5.0) -> None:
        self._cell = cell_mm
        self._cells: dict[tuple[int, int], list[_Entry]] = {}
        self._seen: list[int] = []
        self._query = 0

    def _keys(self, bounds: Bounds) -> list[tuple[int, int]]:
        cell = self._cell
        x0, y0, x1, y1 = bounds
        left, top = int(x0 // cell), int(y0 // cell)
        right, low = int(x1 // cell) + 1, int(y1 // cell) + 1
        return [(ix, iy) for ix in range(left, right) for iy in range(top, low)]

    def add(self, box: Box, kind: int, weight: float = 1.0, owner: int = STATIC) -> None:
        """Takes in a box; ``owner`` is who may be asked to give it up again."""
        bounds = bounds_about(box)
        entry = (*bounds, len(self._seen), box, (kind, weight, owner))
        self._seen.append(0)
        for key in self._keys(bounds):
            self._cells.setdefault(key, []).append(entry)

    def drop(self, boxes: Sequence[Box], owner: int) -> None:
        """Take out what an owner had added; ``boxes`` tell where to look."""
        for box in boxes:
            for key in self._keys(bounds_about(box)):
                self._cells[key] = [entry for entry in self._cells[key] if entry[6][2] != owner]

    def hits(self, box: Box, bounds: Bounds | None = None) -> Iterable[_About]:
        """(kind, weight, owner) of each box that touches this one, each once.

        ``bounds`` are those of the box, where they are known already.
        """
        self._query += 1
        query, seen, cell, cells = self._query, self._seen, self._cell, self._cells
        left, top, right, low = bounds or bounds_about(box)
        rows = range(int(top // cell), int(low // cell) + 1)
        for ix in range(int(left // cell), int(right // cell) + 1):
            for iy in rows:
                for x0, y0, x1, y1, index, other, about in cells.get((ix, iy), ()):
                    if x0 >= right or x1 <= left or y0 >= low or y1 <= top or seen[index] == query:
                        continue
                    seen[index] = query
                    if touching(other, box):
                        yield about

    def is_hit(self, box: Box, bounds: Bounds) -> bool:
        """Whether any box touches this one, whose bounds are these."""
        cell, cells = self._cell, self._cells
        left, top, right, low = bounds
        rows = range(int(top // cell), int(low // cell) + 1)
        for ix in range(int(left // cell), int(right // cell) + 1):
            for iy in rows:
                for x0, y0, x1, y1, _, other, _ in cells.get((ix, iy), ()):
                    if x0 >= right or x1 <= left or y0 >= low or y1 <= top:
                        continue
                    if touching(other, box):
                        return True
        return False
