"""Wire in stock and on the loop: length allowed, length there is, reserve for slopes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.checks.rule import Hit, Rule
from renderer.ground.bands import rate_of
from renderer.ground.electric import temperature_factor
from renderer.trade import SPOOL_OFF

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case
    from renderer.checks.fact import Facts

LEAST_M = 1e-3


def loop_too_long(case: Case) -> Iterator[Hit]:
    """Loops with more wire than one signal source drives."""
    most = case.plan.machine.loop_max
    for loop in case.lay.loops:
        if loop.length_m > most:
            facts: Facts = {
                "loop": loop.name,
                "length_m": loop.length_m,
                "limit_m": most,
                "over_m": loop.length_m - most,
            }
            apart = ("length_m", "limit_m")
            yield Hit("loop-too-long.found", facts, loop.start, loop.name, apart=apart)


def stock_short(case: Case) -> Iterator[Hit]:
    """Less wire on the spools than the lay takes."""
    spools = case.lay.spools
    if spools.short_m > LEAST_M:
        cut = sum(offcut.length_m for offcut in spools.offcuts if not offcut.last)
        begun = {piece.spool: piece.spool_length_m for piece in spools.pieces}
        key = ("cut" if cut > LEAST_M else "found") if begun else "none"
        facts = {
            "short_m": spools.short_m,
            "need_m": sum(loop.length_m for loop in case.lay.loops),
            "have_m": sum(begun.values()) + sum(spools.unused),
            "cut_m": cut,
        }
        yield Hit(f"stock-short.{key}", facts)


def stock_below_order(case: Case) -> Iterator[Hit]:
    """Enough wire on the spools for the lay, but not for its reserve."""
    if case.past is not None:
        return
    spools, have = case.lay.spools, sum(case.plan.wire.spools)
    need = _to_order(case)
    if case.plan.wire.spools and spools.short_m <= LEAST_M and have < need - LEAST_M:
        laid = sum(loop.length_m for loop in case.lay.loops)
        facts = {"have_m": have, "need_m": need, "laid_m": laid}
        yield Hit("stock-without-reserve.found", facts, apart=("have_m", "need_m"))


def no_stock(case: Case) -> Iterator[Hit]:
    """No spools are stated."""
    if case.past is not None or case.plan.wire.spools:
        return
    if case.lay.loops and case.lay.spools.short_m <= LEAST_M:
        yield Hit("spools-not-stated.found", {"need_m": _to_order(case)})


def _to_order(case: Case) -> float:
    """Metres of wire that the take-off orders: with the slack, and what slopes take."""
    return sum(loop.order_length_m + loop.slope_extra_m for loop in case.lay.loops)


def slack_short(case: Case) -> Iterator[Hit]:
    """Slopes that take up more wire than the slack."""
    for loop in case.lay.loops if case.past is None else ():
        slack = loop.order_length_m - loop.length_m
        if loop.slope_extra_m > slack + LEAST_M:
            facts: Facts = {
                "extra_m": loop.slope_extra_m,
                "loop": loop.name,
                "percent": case.plan.wire.slack_percent,
                "slack_m": slack,
            }
            yield Hit("slack-too-small.found", facts, loop.start, loop.name)


def spool_reading_odd(case: Case) -> Iterator[Hit]:
    """Measured spools whose reading no sound wire of the stated size has."""
    wire = case.plan.wire
    sound = rate_of(wire.model_copy(update={"measured": ()})) if wire.measured else None
    if sound is None or sound.known:
        return
    for spool in wire.measured:
        reads = spool.ohm / temperature_factor(spool.temperature)
        least, most = (rate * spool.length for rate in (sound.low, sound.high))
        if not least * (1 - SPOOL_OFF) <= reads <= most * (1 + SPOOL_OFF):
            facts = {
                "length_m": spool.length,
                "reads_ohm": reads,
                "least_ohm": least,
                "most_ohm": most,
            }
            yield Hit("spool-reading-odd.found", facts)


RULES = (
    Rule("spool-reading-odd", "warn", spool_reading_odd, figure="reads_ohm"),
    Rule("loop-too-long", "stop", loop_too_long),
    Rule("stock-short", "stop", stock_short),
    Rule("stock-without-reserve", "warn", stock_below_order),
    Rule("slack-too-small", "warn", slack_short),
    Rule("spools-not-stated", "note", no_stock),
)
