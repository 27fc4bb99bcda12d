"""The key of an easier sheet: its answers with their marks, and each sum."""

from __future__ import annotations

from renderer.sheets.blocks.key_answers import answers_to
from renderer.sheets.blocks.level import LevelUse, level_head, plan_share
from renderer.sheets.blocks.worked import worked_out
from renderer.sheets.level_tasks import level_tasks, total
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet

__all__ = ["LevelUse", "build"]


def build(sheet: Sheet, use: LevelUse) -> tuple[Piece, ...]:
    """Answers, then the sums that lead to them; nothing where the sheet itself is left out."""
    if not level_tasks(sheet, use.level):
        return ()
    asked = level_tasks(sheet, use.level, plan_share(sheet, use))
    return (
        level_head(sheet, use, use.level, sheet.words.count("level.questions", total(asked))),
        *answers_to(sheet, asked),
        *worked_out(sheet, asked),
    )
