"""Detail plates: enlarged drawings of what the plan is too small for."""

from __future__ import annotations

from renderer.sheets.layout import BlockUse
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """Nothing while the drawing room has no plates."""
    return ()
