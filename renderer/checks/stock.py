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

LEAST_M = 1e-3


def loop_too_long(case: Case) -> Iterator[Hit]:
    """Loops with more wire than one signal source drives."""
    most = case.plan.machine.loop_max
    for loop in case.lay.loops:
        if loop.length_m > most:
            length, limit = case.show.lengths(loop.length_m, most)
            over = case.show.length(loop.length_m - most)
            facts = {"length": length, "limit": limit, "over": over}
            message = case.words("loop-too-long.found", loop=loop.name, **facts)
            yield Hit(message, loop.start, loop.name)


def stock_short(case: Case) -> Iterator[Hit]:
    """Less wire on the spools than is laid."""
    spools = case.lay.spools
    if spools.short_m > LEAST_M:
        cut = sum(offcut.length_m for offcut in spools.offcuts if not offcut.last)
        begun = {piece.spool: piece.spool_length_m for piece in spools.pieces}
        key = ("cut" if cut > LEAST_M else "found") if begun else "none"
        message = case.words(
            f"stock-short.{key}",
            short=case.show.length(spools.short_m),
            need=case.show.length(sum(loop.length_m for loop in case.lay.loops)),
            have=case.show.length(sum(begun.values()) + sum(spools.unused)),
            cut=case.show.length(cut),
        )
        yield Hit(message)


def stock_below_order(case: Case) -> Iterator[Hit]:
    """Enough wire on the spools for the lay, but not for its reserve."""
    spools, have = case.lay.spools, sum(case.plan.wire.spools)
    need = _to_order(case)
    if case.plan.wire.spools and spools.short_m <= LEAST_M and have < need - LEAST_M:
        laid = case.show.length(sum(loop.length_m for loop in case.lay.loops))
        have_m, need_m = case.show.lengths(have, need)
        facts = {"have": have_m, "need": need_m, "laid": laid}
        yield Hit(case.words("stock-without-reserve.found", **facts))


def no_stock(case: Case) -> Iterator[Hit]:
    """No spool stated."""
    if not case.plan.wire.spools and case.lay.loops and case.lay.spools.short_m <= LEAST_M:
        need = case.show.length(_to_order(case))
        yield Hit(case.words("spools-not-stated.found", need=need))


def _to_order(case: Case) -> float:
    """Metres of wire that the take-off orders: with the slack, and what slopes take."""
    return sum(loop.order_length_m + loop.slope_extra_m for loop in case.lay.loops)


def slack_short(case: Case) -> Iterator[Hit]:
    """Slopes that take up more wire than the slack."""
    for loop in case.lay.loops:
        slack = loop.order_length_m - loop.length_m
        if loop.slope_extra_m > slack + LEAST_M:
            message = case.words(
                "slack-too-small.found",
                extra=case.show.length(loop.slope_extra_m),
                loop=loop.name,
                percent=case.show.percent(case.plan.wire.slack_percent),
                slack=case.show.length(slack),
            )
            yield Hit(message, loop.start, loop.name)


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
            facts = {"least": case.show.ohms(least), "most": case.show.ohms(most)}
            length, ohms = case.show.length(spool.length), case.show.ohms(reads)
            yield Hit(case.words("spool-reading-odd.found", length=length, ohms=ohms, **facts))


RULES = (
    Rule(
        "spool-reading-odd",
        "warn",
        spool_reading_odd,
        "Every reading on the sheets goes by the measured spools.",
    ),
    Rule(
        "loop-too-long",
        "stop",
        loop_too_long,
        "The signal fades on more wire than the machine's maker allows.",
    ),
    Rule(
        "stock-short",
        "stop",
        stock_short,
        "A loop that cannot be closed cannot be tested.",
    ),
    Rule(
        "stock-without-reserve",
        "warn",
        stock_below_order,
        "Wire laid by hand is always a little longer than on the plan.",
    ),
    Rule(
        "slack-too-small",
        "warn",
        slack_short,
        "Wire on a slope is longer than its length on the plan.",
    ),
    Rule(
        "spools-not-stated",
        "note",
        no_stock,
        "Splices follow from the lengths of the spools.",
    ),
)
