"""The code list of the survey form: kinds of side, obstacle and feature, as in the plan file."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from typing import get_args

from renderer.plan.kinds import FeatureKind, ObstacleKind, SideKind
from renderer.sheets.compact import FINE, FINE_STRONG, rows_of
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Cell, Column, Keyed, Row
from renderer.sheets.use import BlockUse

SIDES: tuple[str, ...] = get_args(SideKind)
ONLY_OBSTACLES = tuple(kind for kind in get_args(ObstacleKind) if kind not in SIDES)
FEATURES: tuple[str, ...] = get_args(FeatureKind)


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """Word, key and meaning of each kind, features at the right of sides and obstacles."""
    words = sheet.words
    half = (
        Column(words("survey.column.kind"), 40, style=FINE_STRONG),
        Column(words("survey.meaning"), 53, style=FINE),
    )
    left = _entries(sheet, (*SIDES, *ONLY_OBSTACLES))
    right = _entries(sheet, FEATURES)
    rows = [Row((*one, *other)) for one, other in zip_longest(left, right, fillvalue=("", ""))]
    return sheet.heading(use), *rows_of((*half, *half), rows, sheet.width_mm)


def _entries(sheet: Sheet, kinds: Sequence[str]) -> list[tuple[Cell, Cell]]:
    words = sheet.words
    return [(Keyed(words(f"kind.{kind}"), kind), words(f"survey.means.{kind}")) for kind in kinds]
