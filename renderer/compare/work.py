"""What a later change asks of the crew: where the wire is cut, what is laid, what is taken up."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise, product
from typing import TYPE_CHECKING

import numpy as np

from renderer.compare.difference import one_design
from renderer.geometry.lines import points_at
from renderer.records.carried import Stretch, off_wire, passing
from renderer.trade import JOINT_FAR_CLEARANCES

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from renderer.compare.difference import Difference
    from renderer.ground.lay import Leg, LoopLay, Splice

PAST_M = 0.03  # wire no further off runs past a place
BIT_M = 0.05  # of wire laid again in the place of old wire, which is found bit by bit
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

    @property
    def ends_uncut(self) -> int:
        """How many ends of new wire are at none of the joints, as where two designs are compared.

        Those of a change that was recorded are at joints, all of them.
        """
        joined = [(loop, splice.at_m) for loop, splice in self.joints]
        ends = [(each.loop, at) for each in self.laid for at in (each.from_m, each.to_m)]
        return sum(
            not any(loop == other and abs(at - joint) <= BIT_M for other, joint in joined)
            for loop, at in ends
        )


def work(found: Difference) -> Work:
    """What has to be done on the ground to come from the old state of the wire to the new one.

    Where that is a later change, wire is laid and taken up from joint to joint.
    """
    before = {loop.name: loop for loop in found.old.lay.loops}
    known = {splice.id for splice in found.old.splices}
    later = found.old.is_built and one_design(found.old, found.new)
    far_m = JOINT_FAR_CLEARANCES * found.new.plan.machine.splice_clear
    laid: list[Piece] = []
    taken_up: list[Piece] = []
    for loop in found.new.lay.loops:
        old = before.pop(loop.name, None)
        new, gone = off_wire(loop, old), () if old is None else off_wire(old, loop)
        if later and old is not None:
            places = [splice for splice in loop.splices if splice.id not in known]
            new, gone = _from_joint_to_joint(loop, old, new, gone, places, far_m)
        laid += (_piece(loop, each) for each in new)
        taken_up += (_piece(old, each) for each in gone if old is not None)
    taken_up += (_piece(loop, each) for loop in before.values() for each in off_wire(loop, None))
    joints = (
        (loop.name, splice)
        for loop in found.new.lay.loops
        for splice in loop.splices
        if splice.id not in known
    )
    return Work(tuple(laid), tuple(taken_up), tuple(joints))


def past(loop: LoopLay, place: tuple[float, float]) -> float | None:
    """The running distance at which a wire first runs past a place; nothing where it does not."""
    return next((at for _, at in passing(loop, place, PAST_M)), None)


def _piece(loop: LoopLay, each: Stretch) -> Piece:
    return Piece(loop.name, each.from_m, each.to_m, tuple(_legs(loop, each)))


def _from_joint_to_joint(
    loop: LoopLay,
    old: LoopLay,
    new: Sequence[Stretch],
    gone: Sequence[Stretch],
    joints: Sequence[Splice],
    far_m: float,
) -> tuple[tuple[Stretch, ...], tuple[Stretch, ...]]:
    """New wire with what is laid anew in its old place up to a joint, and the old wire there."""
    laid: list[Stretch] = []
    for each in new:
        at_m = [splice.at_m for splice in joints]
        first = max((at for at in at_m if 0.0 <= each.from_m - at <= far_m), default=each.from_m)
        last = min((at for at in at_m if 0.0 <= at - each.to_m <= far_m), default=each.to_m)
        laid.append(Stretch(first, last))
    laid = _united(laid)
    again = (bit for each in laid for bit in _without(each, new))
    replaced = (there for each in again for there in _on_old(loop, old, each))
    return tuple(laid), tuple(_united([*gone, *replaced]))


def _without(whole: Stretch, parts: Sequence[Stretch]) -> Iterator[Stretch]:
    """What of a stretch is in none of the parts, which are in order."""
    at_m = whole.from_m
    for each in (*parts, Stretch(whole.to_m, whole.to_m)):
        if whole.from_m <= each.from_m <= whole.to_m:
            if each.from_m - at_m > LEAST_M:
                yield Stretch(at_m, each.from_m)
            at_m = max(at_m, each.to_m)


def _on_old(loop: LoopLay, old: LoopLay, laid: Stretch) -> Iterator[Stretch]:
    """The old wire where a stretch of the new lies in its place, whichever way it was walked.

    Bit by bit, since the new wire may go on from one pass of the old to another.
    """
    count = max(1, round(laid.length_m / BIT_M))
    at_m = np.linspace(laid.from_m, laid.to_m, count + 1)
    places = points_at(loop.path, loop.at_m, at_m).tolist()
    passes = [[at for _, at in passing(old, (x, y), PAST_M)] for x, y in places]
    for firsts, lasts in pairwise(passes):
        found = [Stretch(*sorted(pair)) for pair in product(firsts, lasts)]
        off = [abs(each.length_m - laid.length_m / count) for each in found]
        if found and min(off) < PAST_M:
            yield found[off.index(min(off))]


def _united(stretches: Sequence[Stretch]) -> list[Stretch]:
    """Stretches in order, those that meet as one."""
    found: list[Stretch] = []
    for each in sorted(stretches, key=lambda each: each.from_m):
        if found and each.from_m <= found[-1].to_m + LEAST_M:
            found[-1] = Stretch(found[-1].from_m, max(found[-1].to_m, each.to_m))
        else:
            found.append(each)
    return found


def _legs(loop: LoopLay, piece: Stretch) -> Iterator[Leg]:
    """The legs that a stretch is part of, in order."""
    for leg in loop.legs:
        shared = min(leg.to_m, piece.to_m) - max(leg.from_m, piece.from_m)
        if leg.kind != "tail" and shared > LEAST_M:
            yield leg
