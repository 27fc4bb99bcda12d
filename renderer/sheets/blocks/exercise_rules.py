"""The rules that the answers of an exercise follow, with the figures that its key uses."""

from __future__ import annotations

from collections.abc import Iterator

from renderer import trade
from renderer.ground.parts import mown_parts
from renderer.sheets.kit import note_lines, paragraph
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.tasks import may_have_islands, may_have_pairs
from renderer.sheets.tolerance import Tolerance
from renderer.sheets.type import CELL, SMALL
from renderer.sheets.use import BlockUse
from renderer.units import M_PER_FOOT

CLOSED = frozenset({"merge", "bay", "pinch", "dead_end"})  # cuts across which the wire runs
RATE_DECIMALS = 3  # as in the key's sum


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """One rule per line; how near an answer has to be comes last."""
    return (
        sheet.heading(use),
        *note_lines(list(_rules(sheet)), sheet.width_mm, CELL),
        *paragraph(sheet.words("teach.practice"), sheet.width_mm, SMALL),
    )


def _rules(sheet: Sheet) -> Iterator[str]:
    from renderer.ground.limits import CORNER_DEG
    from renderer.ground.strips import SERVICES

    words, small = sheet.words, sheet.measure.small
    machine, several = sheet.job.plan.machine, len(sheet.job.lay.loops) > 1
    things = may_have_islands(sheet)
    pairs = may_have_pairs(sheet)
    yield setback_rule(sheet)
    radius = machine.corner_radius
    if any(machine.setback[kind] < radius for kind in sheet.job.kinds()):
        yield words("lesson.rule.wide", radius=sheet.measure.length(radius))
    if radius:
        yield words("lesson.rule.inner", radius=sheet.measure.length(radius))
    if things:
        yield words("rule.merge")
    yield from _closed(sheet)
    told = [words(f"rule.way.{'island' if things else 'lawn'}")]
    yield " ".join([*told, words("rule.pair")] if pairs else told)
    parts = [part for loop in sheet.job.lay.loops for part in mown_parts(loop)]
    named = [part for part in parts if part.name != part.lawn]
    if named:
        second = next(part for part in named if part.name.endswith("2"))
        yield words("rule.parts", second=second.name, lawn=second.lawn)
    if pairs:
        yield from _leads(sheet)
    yield words("rule.wire.pairs" if pairs else "rule.wire.rings")
    corner = sheet.measure.numbers.plain(CORNER_DEG)
    hold, short = small(trade.HOLD_AT_M), small(trade.SHORT_BEND_M)
    ends = f" {words('lesson.rule.pegs-pairs')}" if pairs else ""
    yield words("lesson.rule.pegs", corner=corner, short=short, hold=hold, pairs=ends)
    clear, least = (sheet.measure.length(m) for m in (machine.splice_clear, trade.SPLICED_LEAST_M))
    over = sheet.measure.length(2.0 * machine.splice_clear)
    key = "pairs" if pairs else "rings"
    yield words(f"lesson.rule.splice.{key}", clear=clear, least=least, corner=corner, over=over)
    if any(feature.kind in SERVICES for feature in sheet.job.plan.features):
        yield words("lesson.rule.splice-service", strip=small(trade.SERVICE_STRIP_M))
    yield words(f"lesson.rule.spools.{'loops' if several else 'loop'}")
    rate = sheet.measure.per_length(sheet.job.lay.ohm_per_m)
    facts = {"percent": _percent(sheet), "ohm": _ohm(sheet), "whose": _whose(sheet)}
    yield words("lesson.rule.ohm", rate=rate, **facts)
    yield _minutes(sheet)
    yield words(f"lesson.rule.work.{sheet.measure.units}")
    yield words("lesson.rule.right", **Tolerance(sheet.measure).facts())


def setback_rule(sheet: Sheet) -> str:
    """How far off the wire lies; of obstacles only where there are any."""
    return sheet.words(f"rule.setback.{'things' if sheet.job.plan.obstacles else 'sides'}")


def _closed(sheet: Sheet) -> Iterator[str]:
    """Where the wire crosses grass that is too narrow, for a garden where it does."""
    from renderer.ground.limits import DEAD_END_PASSAGES, PART_PASSAGES

    words, length = sheet.words, sheet.measure.length
    kinds = {cut.kind for cut in sheet.job.lay.cuts}
    passage_m = sheet.job.plan.machine.passage_min
    if kinds & CLOSED:
        deep = length(DEAD_END_PASSAGES * passage_m)
        yield words("rule.closed", passage=length(passage_m), deep=deep)
    if "left_out" in kinds:
        least = sheet.measure.area(PART_PASSAGES * passage_m**2)
        yield words("rule.left-out", passage=length(passage_m), least=least)


def _leads(sheet: Sheet) -> Iterator[str]:
    """Where lead pairs lie."""
    from renderer.ground.limits import DOCK_GAP_M, LEAD_GAP_M

    words, length, small = sheet.words, sheet.measure.length, sheet.measure.small
    yield words(
        "lesson.rule.lead",
        dock=small(DOCK_GAP_M),
        wide=length(trade.DOCK_OTHER_WIRE_M),
        cost=length(trade.LEAD_FOR_DOCK_M),
        pair=small(LEAD_GAP_M),
        saved=small(trade.LEAD_SAVED_M),
    )
    clear_m = sheet.job.plan.machine.lead_clear_of_corner
    if clear_m:
        yield words("lesson.rule.corner", corner=length(clear_m))


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
