"""The code list of the survey form: kinds of side, obstacle and feature, as in the plan file."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from typing import get_args

from renderer.plan.kinds import FeatureKind, ObstacleKind, SideKind
from renderer.sheets.compact import FINE, FINE_STRONG, rows_of
from renderer.sheets.layout import BlockUse
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row

SIDES: tuple[str, ...] = get_args(SideKind)
ONLY_OBSTACLES = tuple(kind for kind in get_args(ObstacleKind) if kind not in SIDES)
FEATURES: tuple[str, ...] = get_args(FeatureKind)


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """Key and meaning of each kind, sides at the left, the others at the right."""
    words = sheet.words
    half = (
        Column(words("survey.kind"), 24, style=FINE_STRONG),
        Column(words("survey.meaning"), 69, style=FINE),
    )
    left = _entries(sheet, SIDES)
    right = [*_entries(sheet, ONLY_OBSTACLES), *_entries(sheet, FEATURES)]
    rows = [Row((*one, *other)) for one, other in zip_longest(left, right, fillvalue=("", ""))]
    return sheet.heading(use), *rows_of((*half, *half), rows, sheet.width_mm)


def _entries(sheet: Sheet, kinds: Sequence[str]) -> list[tuple[str, str]]:
    return [(kind, sheet.words(f"survey.means.{kind}")) for kind in kinds]
