"""Which spool each piece of the wire came off, by the splices as they lie."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from renderer.geometry.lines import points_at
from renderer.ground.lay import Offcut, SpoolPiece
from renderer.records.carried import passing

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from renderer.ground.lay import LoopLay, SpoolPlan

SAME_M = 1e-6
SAMPLES = 15  # places of a piece of wire at which it is compared with what lay before


def spools_of(known: Sequence[float], planned: SpoolPlan, loops: Sequence[LoopLay]) -> SpoolPlan:
    """The pieces between the splices, each off the next spool.

    A loop begins on what is left of the spool before it, where that is enough for its first piece.
    The spools have the lengths that are ``known``, else the planned ones in their order; one that
    is shorter than what was taken off it counts as long as that.
    """
    lengths = list(known) or list(_planned(planned))
    parts = [
        (SpoolPiece(0, 0.0, loop.name, start, end), index == 0)
        for loop in loops
        for index, (start, end) in enumerate(pairwise(_stops(loop)))
    ]
    pieces, offcuts = _taken_off(lengths, parts)
    return replace(
        planned,
        pieces=tuple(pieces),
        offcuts=tuple(offcuts),
        short_m=0.0,
        unused=tuple(lengths[len({piece.spool for piece in pieces}) :]),
        tight=(),
    )


def spools_after(
    bought: Sequence[float],
    known: SpoolPlan,
    before: Sequence[LoopLay],
    after: Sequence[LoopLay],
) -> SpoolPlan:
    """The pieces between the splices after a change: those that lie, and those of the new wire.

    Each piece of new wire is off the next spool of those that were ``bought`` for the change; where
    none is told, off one of its own length. What was left of the spools before stays in the list,
    since nothing tells whether it was used.
    """
    old = {loop.name: loop for loop in before}
    last = max((piece.spool for piece in known.pieces), default=0)
    lies = [piece for loop in after for piece in _lying(known, old.get(loop.name), loop)]
    new = [(piece, True) for piece in lies if piece.spool == 0]
    drawn, offcuts = _taken_off(bought, new, last)
    fresh = iter(drawn)
    return replace(
        known,
        pieces=tuple(piece if piece.spool else next(fresh) for piece in lies),
        offcuts=(*known.offcuts, *offcuts),
    )


def _lying(known: SpoolPlan, old: LoopLay | None, loop: LoopLay) -> Iterator[SpoolPiece]:
    """The pieces of a loop: new wire, between two new splices, has no spool yet."""
    lying = [piece for piece in known.pieces if piece.loop == loop.name]
    names = {splice.id for splice in old.splices} if old else set()
    new = [False, *(splice.id not in names for splice in loop.splices), False]
    for index, (start, end) in enumerate(pairwise(_stops(loop))):
        places = _on_old_wire(loop, old, start, end) if old else []
        if not lying or (new[index] and new[index + 1] and None in places):
            yield SpoolPiece(0, 0.0, loop.name, start, end)
        else:
            at = next((at for at in places if at is not None), 0.0)
            piece = next((each for each in lying if at <= each.to_m), lying[-1])
            yield replace(piece, from_m=start, to_m=end)


def _stops(loop: LoopLay) -> list[float]:
    return [0.0, *(splice.at_m for splice in loop.splices), loop.length_m]


def _taken_off(
    lengths: Sequence[float], parts: Sequence[tuple[SpoolPiece, bool]], before: int = 0
) -> tuple[list[SpoolPiece], list[Offcut]]:
    """Pieces with the spool that each is off, numbered on from those ``before``; what is left.

    A piece may begin on what is left of the spool of the one before it where that is said beside
    it. A spool that is shorter than what was taken off it counts as long as that.
    """
    numbers: list[int] = []
    used: dict[int, float] = {}
    number = 0
    for piece, on_begun in parts:
        metres = piece.to_m - piece.from_m
        left = _length(lengths, number) - used.get(number, 0.0) if number else 0.0
        if not on_begun or not number or left < metres - SAME_M:
            number += 1
        used[number] = used.get(number, 0.0) + metres
        numbers.append(number)
    whole = {number: max(_length(lengths, number), taken) for number, taken in used.items()}
    pieces = [
        replace(piece, spool=before + number, spool_length_m=whole[number])
        for (piece, _), number in zip(parts, numbers, strict=True)
    ]
    offcuts = [
        Offcut(before + number, whole[number] - taken, number == max(used))
        for number, taken in used.items()
        if whole[number] - taken > SAME_M
    ]
    return pieces, offcuts


def _on_old_wire(loop: LoopLay, old: LoopLay, start: float, end: float) -> list[float | None]:
    """Running distances of the old wire at places of a stretch; nothing where none lies there."""
    at_m = np.linspace(start, end, SAMPLES + 2)[1:-1]
    places = [(float(x), float(y)) for x, y in points_at(loop.path, loop.at_m, at_m)]
    passes = (passing(old, place) for place in places)
    return [found[0][1] if found else None for found in passes]


def _planned(spools: SpoolPlan) -> Iterator[float]:
    seen = {piece.spool: piece.spool_length_m for piece in spools.pieces}
    yield from (seen[number] for number in sorted(seen))
    yield from spools.unused


def _length(lengths: Sequence[float], number: int) -> float:
    return lengths[number - 1] if number <= len(lengths) else 0.0
