"""What is said on every job, once for all jobs of a day."""

from __future__ import annotations

from renderer.sheets.blocks.cautions import everyday
from renderer.sheets.draft_notice import doubled_paragraph
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.type import TEXT
from renderer.sheets.use import BlockUse


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """The cautions of every job, worst first, and that local rules come before all sheets."""
    return (
        sheet.heading(use),
        *doubled_paragraph(sheet, lambda each: each.words("rules.first"), sheet.width_mm, TEXT),
        *everyday(sheet),
    )
