"""The key of the practice with a meter: each fault, where it is, and the sum that shows it."""

from __future__ import annotations

from renderer.sheets.blocks.exercise import headed
from renderer.sheets.blocks.key_answers import answers_to
from renderer.sheets.blocks.worked import worked_out
from renderer.sheets.level_tasks import meter_tasks
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.use import BlockUse


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """Answers, then the sums."""
    asked = meter_tasks(sheet)
    return headed(sheet, use), *answers_to(sheet, asked), *worked_out(sheet, asked)
