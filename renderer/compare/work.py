"""What a later change asks of the crew: where the wire is cut, what is laid, what is taken up."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from renderer.records.carried import off_wire, passing

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.compare.difference import Difference
    from renderer.ground.lay import Leg, LoopLay, Splice
    from renderer.records.carried import Stretch

PAST_M = 0.03  # wire no further off runs past a place
LEAST_M = 0.02  # of a leg that counts as touched


@dataclass(frozen=True, slots=True)
class Piece:
    """Wire of a loop between two running distances, and the legs that it is part of."""

    loop: str
    from_m: float
    to_m: float
    legs: tuple[Leg, ...]

    @property
    def length_m(self) -> float:
        """How much wire it is."""
        return self.to_m - self.from_m


@dataclass(frozen=True, slots=True)
class Work:
    """The work of a change: pieces laid anew by distances of the new wire, taken up by the old.

    ``joints`` are the new splices, each with its loop.
    """

    laid: tuple[Piece, ...]
    taken_up: tuple[Piece, ...]
    joints: tuple[tuple[str, Splice], ...]

    @property
    def laid_m(self) -> float:
        """Wire to lay."""
        return sum(piece.length_m for piece in self.laid)

    @property
    def taken_up_m(self) -> float:
        """Wire to take up."""
        return sum(piece.length_m for piece in self.taken_up)


def work(found: Difference) -> Work:
    """What has to be done on the ground to come from the old state of the wire to the new one."""
    before = {loop.name: loop for loop in found.old.lay.loops}
    after = {loop.name: loop for loop in found.new.lay.loops}
    known = {splice.id for splice in found.old.splices}
    return Work(
        tuple(_pieces(after, before)),
        tuple(_pieces(before, after)),
        tuple(
            (loop.name, splice)
            for loop in found.new.lay.loops
            for splice in loop.splices
            if splice.id not in known
        ),
    )


def past(loop: LoopLay, place: tuple[float, float]) -> float | None:
    """The running distance at which a wire first runs past a place; nothing where it does not."""
    return next((at for _, at in passing(loop, place, PAST_M)), None)


def _pieces(here: dict[str, LoopLay], there: dict[str, LoopLay]) -> Iterator[Piece]:
    for name, loop in here.items():
        for each in off_wire(loop, there.get(name)):
            yield Piece(name, each.from_m, each.to_m, tuple(_legs(loop, each)))


def _legs(loop: LoopLay, piece: Stretch) -> Iterator[Leg]:
    """The legs that a stretch is part of, in order."""
    for leg in loop.legs:
        shared = min(leg.to_m, piece.to_m) - max(leg.from_m, piece.from_m)
        if leg.kind != "tail" and shared > LEAST_M:
            yield leg
