"""Findings that a change brings, and those that it does away with."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.sheets.kit import note_lines, subheading
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.type import TEXT
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from collections.abc import Sequence

    from renderer.findings_text import FindingText


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """New ones, then those that are gone, in the language of the sheet; nothing if none."""
    found = sheet.difference
    language = sheet.words.language
    after, before = found.new.findings_in(language), found.old.findings_in(language)
    new = _as_told(found.findings_new, after)
    gone = _as_told(found.findings_gone, before)
    if not new and not gone:
        return ()
    pieces: list[Piece] = [sheet.heading(use)]
    for key, told in (("findings-new", new), ("findings-gone", gone)):
        if told:
            pieces.append(subheading(sheet.words(f"diff.{key}"), sheet.width_mm))
            lines = [f"{sheet.words(f'level.{each.level}')}: {each.message}" for each in told]
            pieces.extend(note_lines(lines, sheet.width_mm, TEXT))
    return tuple(pieces)


def _as_told(some: Sequence[FindingText], told: Sequence[FindingText]) -> list[FindingText]:
    """The same findings in the language in which all of their job are told."""
    left = [(each.rule, each.about, each.at) for each in some]
    found = []
    for each in told:
        if (each.rule, each.about, each.at) in left:
            left.remove((each.rule, each.about, each.at))
            found.append(each)
    return found
