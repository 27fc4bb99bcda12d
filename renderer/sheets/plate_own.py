"""What the check of the plan says of the garden itself: on every plate, and not to be found."""

from __future__ import annotations

from renderer.findings_text import in_words
from renderer.sheets.kit import note_lines, paragraph, subheading
from renderer.sheets.piece import Piece, held_together
from renderer.sheets.sheet import Sheet
from renderer.sheets.type import CELL


def own_findings(sheet: Sheet) -> tuple[str, ...]:
    """What stops the garden, and the warnings that have a place on it, each in a sentence.

    A class sees these on every plate, where it could take them for the mistake.
    """
    job = sheet.job
    found = [
        each
        for each in job.findings
        if each.level == "stop" or (each.level == "warn" and each.at is not None)
    ]
    told = in_words(found, job.plan.units, sheet.words.language)
    return tuple(dict.fromkeys(each.message for each in told))


def own(sheet: Sheet) -> tuple[Piece, ...]:
    """The same as a list under its own heading; nothing where there is none."""
    found = own_findings(sheet)
    if not found:
        return ()
    words, width = sheet.words, sheet.width_mm
    first, *more = note_lines(found, width, CELL)
    head = subheading(words("lesson.plate.own"), width)
    why = paragraph(words("lesson.plate.own-why"), width, CELL, keep=True)
    return (*held_together((head, *why, first)), *more)
