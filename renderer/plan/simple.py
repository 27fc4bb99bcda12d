"""Whether a ring of sides crosses or touches itself: a sweep with exact signs, O(n log n)."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

XY = tuple[float, float]

# Shewchuk's bound for the two-by-two orientation determinant in double precision:
# beyond it the sign of the rounded value is certain.
_SURE = 3.3306690738754716e-16


class Clash(NamedTuple):
    """Two sides, by the index of their first point, that meet."""

    first: int
    second: int
    crosses: bool  # false where one only touches the other or runs back along it


def turn(a: XY, b: XY, p: XY) -> int:
    """1 where ``p`` lies left of the line from ``a`` to ``b``, -1 right, 0 exactly on it."""
    left = (b[0] - a[0]) * (p[1] - a[1])
    right = (b[1] - a[1]) * (p[0] - a[0])
    det = left - right
    if abs(det) > _SURE * (abs(left) + abs(right)):
        return 1 if det > 0 else -1
    if (left == 0.0 and right == 0.0) or p in (a, b):
        return 0
    return _exact_turn(a, b, p)


def _exact_turn(a: XY, b: XY, p: XY) -> int:
    ax, ay, px, py = Fraction(a[0]), Fraction(a[1]), Fraction(p[0]), Fraction(p[1])
    det = (Fraction(b[0]) - ax) * (py - ay) - (Fraction(b[1]) - ay) * (px - ax)
    return (det > 0) - (det < 0)


def first_clash(points: Sequence[XY]) -> Clash | None:
    """The first two sides of a closed ring that cross or touch, or ``None`` for a simple ring.

    ``points`` is not closed: the last side runs back to the first point. No point may stand twice.
    The method is the sweep of Shamos and Hoey (1976).
    """
    return _Sweep(points).run()


class _Sweep:
    """A line that moves over the points by x (then y) and knows the sides it cuts, in order."""

    def __init__(self, points: Sequence[XY]) -> None:
        self.points = points
        following = [*points[1:], points[0]]
        pairs = list(zip(points, following, strict=True))
        self.left = [min(pair) for pair in pairs]
        self.right = [max(pair) for pair in pairs]
        self.cut: list[int] = []

    def run(self) -> Clash | None:
        for corner in sorted(range(len(self.points)), key=self.points.__getitem__):
            clash = self._visit(corner)
            if clash:
                return clash
        return None

    def _visit(self, corner: int) -> Clash | None:
        here = self.points[corner]
        sides = ((corner - 1) % len(self.points), corner)
        ending = [side for side in sides if self.right[side] == here]
        starting = [side for side in sides if self.left[side] == here]
        low = self._below(here)
        high = low + len(ending)
        for side in self.cut[low : high + 1]:
            if side not in ending and self._turn(side, here) == 0:
                return self._clash(side, corner)
        if len(starting) == 2:
            way = self._turn(starting[0], self.right[starting[1]])
            if way == 0:
                return self._clash(*starting)
            starting = starting[::way]
        self.cut[low:high] = starting
        return self._neighbours(low, low + len(starting))

    def _below(self, here: XY) -> int:
        """How many of the sides that are cut lie below ``here``."""
        low, high = 0, len(self.cut)
        while low < high:
            middle = (low + high) // 2
            if self._turn(self.cut[middle], here) > 0:
                low = middle + 1
            else:
                high = middle
        return low

    def _neighbours(self, low: int, high: int) -> Clash | None:
        for above in {low, high}:
            if 0 < above < len(self.cut):
                one, other = self.cut[above - 1], self.cut[above]
                if not self._adjacent(one, other) and self._meet(one, other):
                    return self._clash(one, other)
        return None

    def _turn(self, side: int, here: XY) -> int:
        return turn(self.left[side], self.right[side], here)

    def _adjacent(self, one: int, other: int) -> bool:
        return abs(one - other) in {1, len(self.points) - 1}

    def _signs(self, one: int, other: int) -> tuple[int, int]:
        of_other = self._turn(one, self.left[other]) * self._turn(one, self.right[other])
        of_one = self._turn(other, self.left[one]) * self._turn(other, self.right[one])
        return of_other, of_one

    def _meet(self, one: int, other: int) -> bool:
        return max(self._signs(one, other)) <= 0

    def _clash(self, one: int, other: int) -> Clash:
        return Clash(min(one, other), max(one, other), max(self._signs(one, other)) < 0)
