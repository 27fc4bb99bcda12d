"""Settings, spare wire, and what a new patio or bed asks of the wire."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from renderer.ground.parts import mown_parts
from renderer.sheets.compact import (
    FINE,
    FINE_STRONG,
    abreast,
    dashes,
    fitted,
    head,
    listed,
    rows_of,
)
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Write
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.ground.lay import LoopLay

RULES = ("stretch", "patio", "bed", "splice")
WORTH_KEEPING_M = 1.0


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """Settings and spare wire at the left, how to work out and join a change at the right."""
    rules = [_rule(sheet, rule) for rule in RULES]
    return head(sheet, use), *abreast(
        sheet,
        lambda width: _settings(sheet, width),
        lambda width: listed((*rules, _spare(sheet)), width, dashes(), FINE),
    )


def _settings(sheet: Sheet, width: float) -> tuple[Piece, ...]:
    """The area of each loop, for the weekly setting."""
    words, measure = sheet.words, sheet.measure
    parted = any(len(mown_parts(loop)) > 1 for loop in sheet.job.lay.loops)
    columns = (
        Column(words("settings.parts" if parted else "settings.loop"), 1, style=FINE),
        Column(words("settings.area"), 0, "end", FINE_STRONG),
        Column(words("settings.hours"), 0, lined=True),
    )
    rows = [
        Row(
            (
                text,
                measure.area(area_m2),
                Write(sheet.field_name("hours", *of), tooltip=words("settings.hours")),
            )
        )
        for loop in sheet.job.lay.loops
        for of, text, area_m2 in _mown(sheet, loop)
    ]
    return rows_of(fitted(columns, rows, width), rows, width)


def _mown(sheet: Sheet, loop: LoopLay) -> Iterator[tuple[tuple[str, ...], str, float]]:
    """What hours are set for: a loop, or each part that the machine has to be carried to."""
    parts = mown_parts(loop)
    if len(parts) < 2:
        yield (loop.name,), loop.name, loop.working_area_m2
        return
    for part in parts:
        key = "part.start" if part.at_start else "part.carried"
        share = sheet.measure.percent(round(100 * part.share))
        yield (
            (loop.name, part.name),
            sheet.words(f"settings.{key}", name=part.name, share=share),
            part.area_m2,
        )


def _spare(sheet: Sheet) -> str:
    """What was over of the spools that were planned for."""
    lengths = ", ".join(sheet.measure.length(length) for length in _over(sheet))
    return sheet.words("change.spare" if lengths else "change.no-spare", lengths=lengths)


def _over(sheet: Sheet) -> Iterator[float]:
    spools = sheet.job.lay.spools
    yield from (cut.length_m for cut in spools.offcuts if cut.length_m >= WORTH_KEEPING_M)


def _rule(sheet: Sheet, rule: str) -> str:
    measure, machine = sheet.measure, sheet.job.plan.machine
    bed = machine.setback.get("bed", max(machine.setback.values(), default=0.0))
    clear = measure.length(machine.splice_clear) + sheet.figures.machine_sign("splice_clear")
    facts = {"setback": measure.length(bed), "clear": clear}
    return sheet.words(f"change.{rule}", **facts)
