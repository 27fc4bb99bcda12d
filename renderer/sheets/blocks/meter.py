"""Practice with a meter: what this garden's wire reads with a fault in it; and the key."""

from __future__ import annotations

from collections.abc import Iterator

from renderer.job.practice import SIGN
from renderer.language.numbers import NO_BREAK
from renderer.sheets.blocks.exercise import headed, listed, who
from renderer.sheets.blocks.exercise_answers import questions
from renderer.sheets.blocks.level import questions_head
from renderer.sheets.kit import note_lines, paragraph
from renderer.sheets.level_tasks import meter_tasks, practice_of, total
from renderer.sheets.piece import Piece
from renderer.sheets.readings import span
from renderer.sheets.sheet import Sheet
from renderer.sheets.type import BODY, CELL
from renderer.sheets.use import BlockUse


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """What is known of the loop, then a question a visit."""
    words, asked = sheet.words, meter_tasks(sheet)
    return (
        headed(sheet, use),
        *who(sheet),
        *paragraph(words("meter.intro"), sheet.width_mm, BODY, gap_mm=2.0),
        *note_lines(list(_known(sheet)), sheet.width_mm, CELL),
        questions_head(sheet, total(asked)),
        *questions(sheet, asked),
    )


def _known(sheet: Sheet) -> Iterator[str]:
    words, measure, given = sheet.words, sheet.measure, practice_of(sheet)
    unit = measure.units
    fixed = measure.numbers.fixed

    def length(value: float) -> str:
        return f"{fixed(value, 2)}{NO_BREAK}{unit}"

    rate = measure.per_100(fixed(given.rate.value, given.rate.decimals))
    wire = length(given.wire.value)
    yield words("meter.wire", name=given.loop.name, wire=wire, rate=rate)
    yield words("meter.good", good=span(sheet, given.good), star=SIGN)
    if given.islands:
        told = (words("meter.island", of=of, wire=length(n.value)) for of, n in given.islands)
        yield words("meter.islands", islands=listed(sheet, told))
    if given.splices:
        told = (words("meter.splice", of=of, at=length(n.value)) for of, n in given.splices)
        yield words("meter.splices", splices=words("list.join").join(told))
    others = ("island", given.islands), ("splice", given.splices)
    may_be = "".join(words(f"meter.other-{key}") for key, there in others if there)
    yield words("meter.faults", others=may_be)
    off = max(reading.off_m for reading in given.readings)
    yield words("meter.right", off=measure.small(off))
