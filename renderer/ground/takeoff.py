"""The take-off: wire by kind of leg, pegs, splices, terminals, gauges, spools, parts and tools.

Items are keys of the word catalogue: ``wire.*`` (outer, island, lead, crossing, tail, laid, slope,
slack, order), ``peg.*`` (round1, round2, spare, order), ``connector.*`` (splice, spare, order),
``terminal.*`` (end, order), ``gauge``, ``spool``, ``part.*`` and ``tool.*``. A gauge's or
spool's quantity is its length in metres and ``of`` its name or number; an order line is the sum of
its kind, rounded up to whole packs. Wire to order counts what slopes take on
top of the loops' own order lengths.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from renderer.ground.gauges import gauges
from renderer.ground.lay import Item
from renderer.trade import (
    CROSSING_TOOLS,
    EACH_LOOP_MORE,
    HARD_GROUND,
    SPARE_CONNECTORS,
    TOOLS,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from renderer.ground.lay import LegKind, LoopLay, SpoolPlan
    from renderer.plan.model import Plan

ENDS_A_LOOP = 2
KINDS: tuple[LegKind, ...] = ("outer", "island", "lead", "crossing", "tail")


def takeoff(plan: Plan, loops: Sequence[LoopLay], spools: SpoolPlan) -> tuple[Item, ...]:
    """All items of a job in the order of a list; kinds of leg that do not occur are left out."""
    return (
        *_wire(loops),
        *_pegs(plan, loops),
        *_connectors(plan, loops),
        *(Item("gauge", gauge.length_m, "m", gauge.name) for gauge in gauges(plan)),
        *_spools(spools),
        *_parts(plan, loops),
        *_tools(plan),
    )


def to_packs(quantity: float, pack: int | None) -> int:
    """A number of pieces rounded up to whole packs."""
    each = pack or 1
    return math.ceil(quantity / each - 1e-9) * each


def _wire(loops: Iterable[LoopLay]) -> Iterator[Item]:
    metres = dict.fromkeys(KINDS, 0.0)
    laid = slope = order = 0.0
    for loop in loops:
        for leg in loop.legs:
            metres[leg.kind] += leg.length_m
        laid += loop.length_m
        slope += loop.slope_extra_m
        order += loop.order_length_m
    lines = {f"wire.{kind}": length for kind, length in metres.items()}
    lines |= {"wire.laid": laid, "wire.slope": slope, "wire.slack": order - laid}
    lines["wire.order"] = order + slope
    yield from (Item(key, round(length, 4), "m") for key, length in lines.items() if length > 5e-5)


def _pegs(plan: Plan, loops: Iterable[LoopLay]) -> Iterator[Item]:
    rounds = [peg.round for loop in loops for peg in loop.pegs]
    spare = math.ceil(len(rounds) * plan.wire.peg_spare_percent / 100.0 - 1e-9)
    yield Item("peg.round1", rounds.count(1), "pcs")
    yield Item("peg.round2", rounds.count(2), "pcs")
    yield Item("peg.spare", spare, "pcs")
    yield Item("peg.order", to_packs(len(rounds) + spare, plan.wire.packs.pegs), "pcs")


def _connectors(plan: Plan, loops: Sequence[LoopLay]) -> Iterator[Item]:
    packs = plan.wire.packs
    splices = sum(len(loop.splices) for loop in loops)
    if splices:
        yield Item("connector.splice", splices, "pcs")
    yield Item("connector.spare", SPARE_CONNECTORS, "pcs")
    yield Item("connector.order", to_packs(splices + SPARE_CONNECTORS, packs.connectors), "pcs")
    ends = ENDS_A_LOOP * len(loops)
    yield Item("terminal.end", ends, "pcs")
    yield Item("terminal.order", to_packs(ends, packs.terminals), "pcs")


def _spools(spools: SpoolPlan) -> Iterator[Item]:
    used = {piece.spool: piece.spool_length_m for piece in spools.pieces}
    yield from (Item("spool", used[number], "m", str(number)) for number in sorted(used))


def _parts(plan: Plan, loops: Sequence[LoopLay]) -> Iterator[Item]:
    """What stays in the garden besides wire and pegs; a lead by its length where that is known."""
    docks = sum(loop.dock is not None for loop in plan.loops)
    known = [loop.supply.lead for loop in plan.loops if loop.supply and loop.supply.lead]
    yield from _counted("part.machine", min(docks, 1))
    yield from _counted("part.dock", docks)
    yield from _counted("part.stakes", docks)
    yield from _counted("part.generator", len(plan.loops) - docks)
    yield from _counted("part.supply", len(plan.loops))
    yield from (Item("part.lead", round(lead, 4), "m") for lead in known)
    yield from _counted("part.lead", len(plan.loops) - len(known))
    crossed = sum(lead.length_m for loop in loops for lead in loop.leads if lead.kind == "crossing")
    if crossed:
        yield Item("part.conduit", round(crossed, 4), "m")


def _counted(item: str, count: int) -> Iterator[Item]:
    if count:
        yield Item(item, count, "pcs")


def _tools(plan: Plan) -> Iterator[Item]:
    under = [crossing.under.lower() for loop in plan.loops for crossing in loop.crossings]
    tools = dict(TOOLS)
    if not gauges(plan):
        del tools["tool.saw"]  # which is for them
    if any(word in way for way in under for word in HARD_GROUND):
        tools |= CROSSING_TOOLS
    for key, more in EACH_LOOP_MORE.items():
        tools[key] += more * (len(plan.loops) - 1)
    yield from (Item(key, count, "pcs") for key, count in tools.items())
