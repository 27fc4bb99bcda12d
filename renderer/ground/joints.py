"""Every place where a loop's splices may lie, not only where the lay puts them."""

from __future__ import annotations

from itertools import islice
from typing import TYPE_CHECKING

from renderer.frozen import dataclass
from renderer.ground.spools import CLEAR_SHARES, demand_of
from renderer.ground.stations import SAME_M
from renderer.ground.strips import service_strips
from renderer.trade import SPLICED_LEAST_M

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from renderer.ground.lay import Lay, LoopLay, SpoolPiece
    from renderer.ground.spools import Stretch
    from renderer.plan.model import Plan

ORDERS_MOST = 5000  # orders of spools looked at

Stretches = tuple["Stretch", ...]


@dataclass(frozen=True, slots=True)
class Joints:
    """Where the splices of one loop may lie.

    ``orders`` are the lengths of wire, laid one after another, that need as few splices as the lay
    has; ``places`` are, for each splice in turn, the stretches in metres from the loop's start in
    which it may lie with one or another of these orders. ``clear_m`` is the clearance that all of
    them keep: less than the machine asks for where that leaves no place.
    """

    orders: tuple[tuple[float, ...], ...]
    places: tuple[Stretches, ...]
    clear_m: float


def joints(plan: Plan, lay: Lay, loop: LoopLay) -> Joints | None:
    """All right places for the splices of a loop; ``None`` where it has none, or no stock."""
    pieces = [piece for piece in lay.spools.pieces if piece.loop == loop.name]
    if len(pieces) < 2 or lay.spools.short_m > 0:
        return None
    orders = list(_orders(lay, loop))
    for clear_m, legal in legal_stretches(plan, loop):
        tried = ((order, _placed(order, legal, loop.length_m)) for order in orders)
        found = [(order, places) for order, places in tried if places]
        if found:
            merged = tuple(
                _merged(stretch for _, each in found for stretch in each[index])
                for index in range(len(pieces) - 1)
            )
            return Joints(tuple(order for order, _ in found), merged, clear_m)
    return None


def _orders(lay: Lay, loop: LoopLay) -> Iterator[tuple[float, ...]]:
    """Lengths that can be laid one after another; the lay's own come first.

    Where one loop has the stock to itself, any spools in any order; else the lay's own, so that
    what is left for the other loops stays as it is.
    """
    own = tuple(_drawn(lay.spools.pieces, loop.name))
    if len(lay.loops) > 1:
        yield own
        return
    stock = (*own, *lay.spools.unused)
    yield from islice(_arranged(stock, len(own)), ORDERS_MOST)


def _drawn(pieces: Sequence[SpoolPiece], loop: str) -> Iterator[float]:
    """What there is on each spool for a loop, less what its other pieces take."""
    for piece in pieces:
        if piece.loop == loop:
            others = (p for p in pieces if p.spool == piece.spool and p is not piece)
            yield piece.spool_length_m - sum(p.to_m - p.from_m for p in others)


def _arranged(stock: tuple[float, ...], count: int) -> Iterator[tuple[float, ...]]:
    """A given number of the lengths in any order, each different arrangement once."""
    if count == 0:
        yield ()
        return
    for length in dict.fromkeys(stock):
        index = stock.index(length)
        for rest in _arranged((*stock[:index], *stock[index + 1 :]), count - 1):
            yield (length, *rest)


def legal_stretches(plan: Plan, loop: LoopLay) -> Iterator[tuple[float, Stretches]]:
    """The stretches of a loop that may carry a splice, first with the full clearance.

    Each time with the clearance, metres; stretches are running distances from the loop's start.
    """
    dock = plan.machine.dock
    docked = any(each.name == loop.name and each.dock for each in plan.loops)
    demand = demand_of(
        loop.name,
        loop.path,
        loop.at_m,
        loop.legs,
        clear_m=plan.machine.splice_clear,
        dock_before=dock.straight_before if docked else 0.0,
        dock_after=dock.straight_after if docked else 0.0,
        strips=service_strips(plan.features),
    )
    clear = plan.machine.splice_clear
    yield clear, tuple(_rest(demand.forbidden, loop.length_m))
    for share, (where, forbidden) in zip((*CLEAR_SHARES, 0.0), demand.looser, strict=False):
        if where in ("near", "dock"):
            yield share * clear, tuple(_rest(forbidden, loop.length_m))


def _rest(forbidden: Sequence[Stretch], length_m: float) -> Iterator[Stretch]:
    """What the forbidden stretches leave of a loop."""
    begin = 0.0
    for from_m, to_m in (*forbidden, (length_m, length_m)):
        if from_m > begin + SAME_M:
            yield begin, from_m
        begin = max(begin, to_m)


def _placed(order: Sequence[float], legal: Stretches, length_m: float) -> tuple[Stretches, ...]:
    """For each splice the places that leave places for all the others; nothing where one has none.

    No length is longer than its spool, none between two splices shorter than is worth laying.
    """
    ahead: list[Stretches] = []
    reached: Stretches = ((0.0, 0.0),)
    for spool_m in order[:-1]:
        reached = _within(legal, ((a + SPLICED_LEAST_M, b + spool_m) for a, b in reached))
        ahead.append(reached)
    back: list[Stretches] = []
    reached = ((length_m, length_m),)
    for spool_m in reversed(order[1:]):
        reached = _within(legal, ((a - spool_m, b - SPLICED_LEAST_M) for a, b in reached))
        back.append(reached)
    found = tuple(_within(one, two) for one, two in zip(ahead, reversed(back), strict=True))
    return found if all(found) else ()


def _within(legal: Stretches, spans: Iterable[Stretch]) -> Stretches:
    """What of some spans lies in the legal stretches; a single place counts."""
    return _merged(
        (max(a, from_m), min(b, to_m))
        for from_m, to_m in spans
        for a, b in legal
        if min(b, to_m) >= max(a, from_m) - SAME_M
    )


def _merged(stretches: Iterable[Stretch]) -> Stretches:
    """Stretches in order, those that meet as one."""
    merged: list[Stretch] = []
    for from_m, to_m in sorted(stretches):
        if merged and from_m <= merged[-1][1] + SAME_M:
            merged[-1] = (merged[-1][0], max(merged[-1][1], to_m))
        else:
            merged.append((from_m, max(from_m, to_m)))
    return tuple(merged)
