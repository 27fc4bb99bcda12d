"""The rules that an exercise is reckoned by."""

from __future__ import annotations

from renderer.sheets.kit import note_lines, paragraph
from renderer.sheets.layout import BlockUse
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.type import CELL, SMALL

RULES = ("setback", "merge", "way", "lead", "wire", "pegs", "splice", "ohm")


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A rule a line, the crew's times from the machine's figures last."""
    words, rates = sheet.words, sheet.job.plan.machine.minutes
    facts = {name: words.numbers.plain(value) for name, value in rates.model_dump().items()}
    told = [*(words(f"rule.{name}") for name in RULES), words("rule.minutes", **facts)]
    return (
        sheet.heading(use),
        *note_lines(told, sheet.width_mm, CELL),
        *paragraph(words("teach.practice"), sheet.width_mm, SMALL),
    )
