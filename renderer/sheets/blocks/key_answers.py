"""The answers of an exercise as a list, with how near is right."""

from __future__ import annotations

from collections.abc import Iterator

from renderer.sheets.blocks.exercise import headed
from renderer.sheets.blocks.exercise_answers import NO_SPACE, answered, task_rows
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Styled, table
from renderer.sheets.tasks import Task
from renderer.sheets.type import CELL_STRONG
from renderer.sheets.use import BlockUse

TIGHT_MM = 0.5  # above and below a row, so that few pages hold much


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A row per answer, numbered as on the answer sheet."""
    words = sheet.words
    columns = (
        Column(words("answers.number"), 10, "end"),
        Column(words("answers.question"), 84),
        Column(words("key.answer"), 74),
        Column(words("key.within"), 22),
    )
    rows = list(task_rows(sheet, _task))
    return headed(sheet, use), *table(columns, rows, sheet.width_mm, pad_mm=TIGHT_MM)


def _task(sheet: Sheet, task: Task) -> Iterator[Row]:
    number = Styled(str(task.number), CELL_STRONG)
    named = any(answer.label for answer in task.answers)
    if named:
        yield Row((number, task.text, *NO_SPACE), held=True)
    for answer in task.answers:
        right = Styled(answer.text, CELL_STRONG), answer.within
        yield Row(("" if named else number, answered(sheet, task, answer), *right))
