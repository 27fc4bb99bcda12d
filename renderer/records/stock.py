"""Which spool each piece of the wire came off, by the splices as they lie."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from renderer.ground.lay import Offcut, SpoolPiece

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from renderer.ground.lay import LoopLay, SpoolPlan

SAME_M = 1e-6


def spools_of(known: Sequence[float], planned: SpoolPlan, loops: Sequence[LoopLay]) -> SpoolPlan:
    """The pieces between the splices, each off the next spool.

    A loop begins on what is left of the spool before it, where that is enough for its first piece.
    The spools have the lengths that are ``known``, else the planned ones in their order; one that
    is shorter than what was taken off it counts as long as that.
    """
    lengths = list(known) or list(_planned(planned))
    pieces: list[SpoolPiece] = []
    used: dict[int, float] = {}
    number = 0
    for loop in loops:
        stops = [0.0, *(splice.at_m for splice in loop.splices), loop.length_m]
        for index, (start, end) in enumerate(pairwise(stops)):
            left = _length(lengths, number) - used.get(number, 0.0) if number else 0.0
            if index or not number or left < end - start - SAME_M:
                number += 1
            used[number] = used.get(number, 0.0) + end - start
            pieces.append(SpoolPiece(number, 0.0, loop.name, start, end))
    whole = {number: max(_length(lengths, number), taken) for number, taken in used.items()}
    told = tuple(replace(piece, spool_length_m=whole[piece.spool]) for piece in pieces)
    offcuts = tuple(
        Offcut(number, whole[number] - taken, number == max(used))
        for number, taken in used.items()
        if whole[number] - taken > SAME_M
    )
    return replace(
        planned,
        pieces=told,
        offcuts=offcuts,
        short_m=0.0,
        unused=tuple(lengths[len(used) :]),
        tight=(),
    )


def _planned(spools: SpoolPlan) -> Iterator[float]:
    seen = {piece.spool: piece.spool_length_m for piece in spools.pieces}
    yield from (seen[number] for number in sorted(seen))
    yield from spools.unused


def _length(lengths: Sequence[float], number: int) -> float:
    return lengths[number - 1] if number <= len(lengths) else 0.0
