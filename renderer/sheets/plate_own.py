"""What the check of the plan says of the garden itself: on every plate, and not to be found."""

from __future__ import annotations

from renderer.sheets.kit import note_lines, paragraph, subheading
from renderer.sheets.piece import Piece, held_together
from renderer.sheets.sheet import Sheet
from renderer.sheets.type import CELL


def own_findings(sheet: Sheet) -> tuple[str, ...]:
    """What stops the garden, and the warnings that have a place on it, each in a sentence.

    A class sees these on every plate, where it could take them for the mistake.
    """
    told = (
        each.message
        for each in sheet.findings
        if each.level == "stop" or (each.level == "warn" and each.at is not None)
    )
    return tuple(dict.fromkeys(told))


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
