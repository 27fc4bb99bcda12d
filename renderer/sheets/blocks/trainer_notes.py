"""Notes for the trainer: how hard the exercise is, how near is right, how the sheets are used."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.job.practice import SIGN
from renderer.sheets.kit import note_lines, paragraph, subheading
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Styled, table
from renderer.sheets.tolerance import Tolerance
from renderer.sheets.type import BODY, CELL, CELL_STRONG
from renderer.sheets.use import BlockUse
from renderer.teaching import practice

if TYPE_CHECKING:
    from renderer.job import Job

LEVELS = range(1, 7)
PASSAGE_CUTS = ("merge", "overlap", "bay", "pinch", "dead_end")
NEAR = ("lengths", "sums", "counts", "order", "ohms")
USES = ("sheets", "scale", "yard", "marks", "faults")


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """The ladder with this exercise's level, the tolerances, and hints."""
    words, measure = sheet.words, sheet.measure
    long, wide = (measure.length(length) for length in practice.YARD_M[measure.units])
    facts = {"yard": {"long": long, "wide": wide}}
    hints = [words(f"notes.use.{name}", **facts.get(name, {})) for name in USES]
    return (
        sheet.heading(use),
        *note_lines(hints, sheet.width_mm, BODY),
        *_ladder(sheet),
        *_tolerances(sheet),
    )


def level(job: Job) -> int:
    """How far up the ladder an exercise stands, by the hardest thing in it; 1 to 3 are easier."""
    if len(job.plan.lawns) > 1:
        return 6
    if len(job.islands) > 1 or any(cut.kind in PASSAGE_CUTS for cut in job.lay.cuts):
        return 5
    return 4


def _ladder(sheet: Sheet) -> tuple[Piece, ...]:
    words = sheet.words
    here = level(sheet.job)
    columns = (Column(words("ladder.level"), 20, "end"), Column(words("ladder.what"), 170))
    rows = [
        Row((Styled(str(n), style), Styled(words(f"ladder.{n}"), style)))
        for n in LEVELS
        for style in (CELL_STRONG if n == here else CELL,)
    ]
    return (
        subheading(words("ladder.title"), sheet.width_mm, words("ladder.this", level=here)),
        *table(columns, rows, sheet.width_mm),
    )


def _tolerances(sheet: Sheet) -> tuple[Piece, ...]:
    words = sheet.words
    facts = Tolerance(sheet.measure).facts()
    told = tuple((name, words(f"lesson.near.{name}", **facts) + SIGN) for name in NEAR)
    columns = (Column(words("notes.what"), 120), Column(words("notes.within"), 70))
    rows = [Row((words(f"lesson.of.{name}"), Styled(near, CELL_STRONG))) for name, near in told]
    return (
        subheading(words("notes.tolerances"), sheet.width_mm),
        *table(columns, rows, sheet.width_mm),
        *paragraph(words("teach.practice"), sheet.width_mm, CELL),
    )
