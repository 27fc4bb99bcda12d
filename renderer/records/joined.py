"""Where wire that lies is joined when something of it is changed."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from renderer.geometry.lines import points_at
from renderer.ground.lay import Splice
from renderer.ground.stations import SAME_M
from renderer.records.carried import ONE_PLACE_M, Stretch, off_wire, passing
from renderer.trade import SPLICED_LEAST_M

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from renderer.ground.joints import Stretches
    from renderer.ground.lay import Lay, Leg, LoopLay

    Legal = Callable[[LoopLay], Sequence[Stretches]]


def with_splices_of(before: Lay, after: Lay, legal: Legal, far_m: float) -> Lay:
    """The wire ``after`` with the splices that lie, and those by which the new wire is joined in.

    Wire laid anew is joined in at both its ends, where ``legal`` lets a splice lie: it gives the
    stretches of a loop that may carry one, the best first, then with less clearance. For that some
    wire beyond the ends, no more than ``far_m`` at each, is laid anew in its old place. Where wire
    is only taken up, its two ends meet.
    """
    known = {loop.name: loop for loop in before.loops}
    used = [splice.id for loop in before.loops for splice in loop.splices]
    loops = []
    for loop in after.loops:
        old = known.get(loop.name)
        named: list[Splice] = []
        if old is not None:
            laid = _joined_in(loop, off_wire(loop, old), legal(loop), far_m)
            named += (
                splice
                for splice in _lying(old, loop)
                if not any(each.from_m < splice.at_m < each.to_m for each in laid)
            )
            joints = sorted((*_ends(laid), *_closed(old, loop)))
            named += (Splice(next_name(used), at, *_place(loop, at)) for at in joints)
        loops.append(replace(loop, splices=tuple(sorted(named, key=lambda each: each.at_m))))
    return replace(after, loops=tuple(loops))


def next_name(used: list[str]) -> str:
    """The next free name of a splice, which is then used."""
    number = 1
    while f"S{number}" in used:
        number += 1
    used.append(f"S{number}")
    return used[-1]


def _joined_in(
    loop: LoopLay, laid: Sequence[Stretch], levels: Sequence[Stretches], far_m: float
) -> list[Stretch]:
    """The new wire, each piece long enough to be joined where splices may lie.

    Pieces between which too little old wire would stay become one.
    """
    edges = [(0.0, 0.0), *((each.from_m, each.to_m) for each in laid)]
    edges.append((loop.length_m, loop.length_m))
    found: list[Stretch] = []
    begin: float | None = None
    for (_, low), (high, _) in pairwise(edges):
        first, last = low > 0.0, high < loop.length_m
        end, start = _clear(low, high, levels, far_m, first, last)
        if first and begin is not None:
            if last and start - end < SPLICED_LEAST_M:
                continue
            found.append(Stretch(begin, end))
        begin = start
    return found


def _clear(
    low: float, high: float, levels: Sequence[Stretches], far_m: float, first: bool, last: bool
) -> tuple[float, float]:
    """Where the wire that stays from ``low`` to ``high`` is joined, at its start and its end.

    ``first`` and ``last`` tell whether there is new wire at all before and after it.
    """
    for legal in levels:
        places = [
            (max(a, low), min(b, high)) for a, b in legal if min(b, high) >= max(a, low) - SAME_M
        ]
        if not places:
            continue
        end = places[0][0] if first else low
        start = places[-1][1] if last else high
        if end - low <= far_m and high - start <= far_m:
            return end, start
    return low, high


def _ends(laid: Sequence[Stretch]) -> Iterator[float]:
    for each in laid:
        yield from (each.from_m, each.to_m)


def _closed(before: LoopLay, after: LoopLay) -> Iterator[float]:
    """Running distances of the new wire at which wire was only taken up, and its ends meet."""
    ends = [_place(after, at) for at in _ends(off_wire(after, before))]
    for each in off_wire(before, after):
        where = [_place(before, at) for at in (each.from_m, each.to_m)]
        joined = any(_near(one, two) for one in where for two in ends)
        passes = [] if joined else passing(after, where[0], ONE_PLACE_M)
        if passes:
            yield passes[0][1]


def _lying(before: LoopLay, after: LoopLay) -> Iterator[Splice]:
    """The splices on wire that stays, at their new running distances."""
    for splice in before.splices:
        was = _leg_at(before, splice.at_m)
        passes = passing(after, (splice.x, splice.y))
        same = [
            at for leg, at in passes if (leg.kind, leg.of, leg.back) == (was.kind, was.of, was.back)
        ]
        if passes:
            at = (same or [passes[0][1]])[0]
            yield replace(splice, at_m=at)


def _leg_at(loop: LoopLay, at_m: float) -> Leg:
    return next((leg for leg in loop.legs if at_m <= leg.to_m), loop.legs[-1])


def _near(one: tuple[float, float], two: tuple[float, float]) -> bool:
    return abs(one[0] - two[0]) <= ONE_PLACE_M and abs(one[1] - two[1]) <= ONE_PLACE_M


def _place(loop: LoopLay, at_m: float) -> tuple[float, float]:
    x, y = np.round(points_at(loop.path, loop.at_m, at_m)[0], 4).tolist()
    return x, y
