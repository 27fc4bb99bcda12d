"""The rules that the answers of an exercise follow, with the figures that its key uses."""

from __future__ import annotations

from collections.abc import Iterator

from renderer import trade
from renderer.ground.parts import mown_parts
from renderer.sheets.kit import note_lines, paragraph
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.tolerance import Tolerance
from renderer.sheets.type import CELL, SMALL
from renderer.sheets.use import BlockUse
from renderer.units import M_PER_FOOT

RATE_DECIMALS = 3  # as in the key's sum


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """One rule per line; how near an answer has to be comes last."""
    return (
        sheet.heading(use),
        *note_lines(list(_rules(sheet)), sheet.width_mm, CELL),
        *paragraph(sheet.words("teach.practice"), sheet.width_mm, SMALL),
    )


def _rules(sheet: Sheet) -> Iterator[str]:
    from renderer.ground.limits import CORNER_DEG, DOCK_GAP_M, LEAD_GAP_M
    from renderer.ground.strips import SERVICES

    words, small = sheet.words, sheet.measure.small
    machine, several = sheet.job.plan.machine, len(sheet.job.lay.loops) > 1
    yield words("rule.setback")
    radius = machine.corner_radius
    if any(machine.setback[kind] < radius for kind in sheet.job.kinds()):
        yield words("lesson.rule.wide", radius=sheet.measure.length(radius))
    if radius:
        yield words("lesson.rule.inner", radius=sheet.measure.length(radius))
    yield words("rule.merge")
    yield words("rule.way")
    parts = [part for loop in sheet.job.lay.loops for part in mown_parts(loop)]
    named = [part for part in parts if part.name != part.lawn]
    if named:
        second = next(part for part in named if part.name.endswith("2"))
        yield words("rule.parts", second=second.name, lawn=second.lawn)
    yield words(
        "lesson.rule.lead",
        dock=small(DOCK_GAP_M),
        wide=sheet.measure.length(trade.DOCK_OTHER_WIRE_M),
        cost=sheet.measure.length(trade.LEAD_FOR_DOCK_M),
        pair=small(LEAD_GAP_M),
        saved=small(trade.LEAD_SAVED_M),
    )
    if machine.lead_clear_of_corner:
        away = sheet.measure.length(machine.lead_clear_of_corner)
        yield words("lesson.rule.corner", corner=away)
    yield words("rule.wire")
    corner = sheet.measure.numbers.plain(CORNER_DEG)
    hold, short = small(trade.HOLD_AT_M), small(trade.SHORT_BEND_M)
    yield words("lesson.rule.pegs", corner=corner, short=short, hold=hold)
    clear, least = (sheet.measure.length(m) for m in (machine.splice_clear, trade.SPLICED_LEAST_M))
    over = sheet.measure.length(2.0 * machine.splice_clear)
    yield words("lesson.rule.splice", clear=clear, least=least, corner=corner, over=over)
    if any(feature.kind in SERVICES for feature in sheet.job.plan.features):
        yield words("lesson.rule.splice-service", strip=small(trade.SERVICE_STRIP_M))
    yield words(f"lesson.rule.spools.{'loops' if several else 'loop'}")
    rate = sheet.measure.per_length(sheet.job.lay.ohm_per_m)
    facts = {"percent": _percent(sheet), "ohm": _ohm(sheet), "whose": _whose(sheet)}
    yield words("lesson.rule.ohm", rate=rate, **facts)
    yield _minutes(sheet)
    yield words(f"lesson.rule.work.{sheet.measure.units}")
    yield words("lesson.rule.right", **Tolerance(sheet.measure).facts())


def _minutes(sheet: Sheet) -> str:
    """The crew's rates, by the unit of the sheet."""
    feet = sheet.measure.units == "ft"
    rates = sheet.job.plan.machine.minutes.model_dump()
    rates["per_m"] = round(rates["per_m"] * (M_PER_FOOT if feet else 1.0), RATE_DECIMALS)
    facts = {name: sheet.measure.numbers.plain(value) for name, value in rates.items()}
    return sheet.words(f"lesson.rule.minutes.{sheet.measure.units}", **facts)


def _whose(sheet: Sheet) -> str:
    """Which resistance the expected reading is worked out with, where the wire's own is unknown."""
    rate = sheet.job.readings.rate
    return "" if rate.known else sheet.words(f"lesson.rule.whose.{rate.source}")


def _percent(sheet: Sheet) -> str:
    return sheet.measure.percent(sheet.figures["reading_percent"])


def _ohm(sheet: Sheet) -> str:
    return sheet.measure.ohms(sheet.figures["reading_ohm"])
