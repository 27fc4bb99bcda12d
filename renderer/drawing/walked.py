"""A loop's legs as the wire is walked: rings, and lead pairs off them to further rings."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from typing import TYPE_CHECKING

from renderer.frozen import dataclass

if TYPE_CHECKING:
    from renderer.ground.lay import Leg, LoopLay

NEAR_M = 0.02  # a peg stands within this of the end of a leg, along the wire


@dataclass(frozen=True, slots=True)
class Numbered:
    """A leg with its number in the wire list, from 1."""

    number: int
    leg: Leg


@dataclass(frozen=True, slots=True)
class Branch:
    """A lead pair or crossing, out and back, and the ring that it leads to."""

    out: Numbered
    ring: RingWalk
    back: Numbered


@dataclass(frozen=True, slots=True)
class RingWalk:
    """A ring in the order of the walk: legs along it, and branches off it between them."""

    items: tuple[Numbered | Branch, ...]

    @property
    def legs(self) -> tuple[Numbered, ...]:
        """The legs along the ring itself."""
        return tuple(item for item in self.items if isinstance(item, Numbered))

    @property
    def branches(self) -> tuple[Branch, ...]:
        """The branches off it."""
        return tuple(item for item in self.items if isinstance(item, Branch))


def walked(loop: LoopLay) -> RingWalk:
    """The whole loop as one ring, its tails the first and the last leg."""
    legs = [Numbered(number, leg) for number, leg in enumerate(loop.legs, 1)]
    return _ring(legs, 0)[0]


def branch_to(walk: RingWalk, part: str) -> tuple[RingWalk, int] | None:
    """The ring that a lead pair or crossing leaves, by its part, and its place among the items."""
    for place, item in enumerate(walk.items):
        if isinstance(item, Branch):
            if item.out.leg.part == part:
                return walk, place
            if (found := branch_to(item.ring, part)) is not None:
                return found
    return None


def _ring(legs: Sequence[Numbered], start: int) -> tuple[RingWalk, int]:
    """The ring whose legs begin at ``start``, and where the wire leaves it for good."""
    items: list[Numbered | Branch] = []
    at = start
    while at < len(legs):
        each = legs[at]
        if each.leg.kind not in ("lead", "crossing"):
            items.append(each)
            at += 1
        elif each.leg.back:
            break
        else:
            ring, end = _ring(legs, at + 1)
            items.append(Branch(each, ring, legs[end]))
            at = end + 1
    return RingWalk(tuple(items)), at


class Passed:
    """Which peg stands where the wire is, by its running distance in metres."""

    def __init__(self, loop: LoopLay) -> None:
        both = ((at, peg.id) for peg in loop.pegs for at in (peg.at_m, peg.also_at_m))
        self._known = sorted((at, name) for at, name in both if at is not None)

    def peg(self, at_m: float) -> str:
        """The number of the peg at a running distance; empty where none stands there."""
        place = bisect_left(self._known, (at_m, ""))
        near = self._known[max(0, place - 1) : place + 1]
        best = min(near, key=lambda each: abs(each[0] - at_m), default=None)
        return best[1] if best and abs(best[0] - at_m) <= NEAR_M else ""
