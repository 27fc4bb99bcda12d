"""The answers of an exercise as a list, with how near is right."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from renderer.sheets.blocks.exercise import headed
from renderer.sheets.blocks.exercise_answers import NO_SPACE, answered, stays, task_rows
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Group, Row, Styled, table
from renderer.sheets.tasks import Task, tasks
from renderer.sheets.type import CELL_STRONG
from renderer.sheets.use import BlockUse

TIGHT_MM = 0.5  # above and below a row, so that few pages hold much


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A row per answer, numbered as on the answer sheet."""
    return headed(sheet, use), *_table(sheet, list(task_rows(sheet, tasks(sheet), _task)))


def answers_to(sheet: Sheet, asked: Sequence[Task]) -> tuple[Piece, ...]:
    """The answers to some questions without sections."""
    return _table(sheet, [row for task in asked for row in _task(sheet, task)])


def _table(sheet: Sheet, rows: Sequence[Row | Group]) -> tuple[Piece, ...]:
    words = sheet.words
    columns = (
        Column(words("answers.number"), 10, "end"),
        Column(words("answers.question"), 73),
        Column(words("key.answer"), 70),
        Column(words("key.within"), 22),
        Column(words("answers.marks"), 15, "end"),
    )
    return table(columns, rows, sheet.width_mm, pad_mm=TIGHT_MM)


def _task(sheet: Sheet, task: Task) -> Iterator[Row]:
    number = Styled(str(task.number), CELL_STRONG)
    named = any(answer.label for answer in task.answers)
    if named:
        yield Row((number, task.text, *NO_SPACE, str(task.points)), held=True)
    for index, answer in enumerate(task.answers):
        right = Styled(answer.text, CELL_STRONG), answer.within
        told = replace(answer, label=answer.known or answer.label)
        cells = ("" if named else number, answered(sheet, task, told), *right)
        yield Row((*cells, "" if named else str(task.points)), held=stays(task, index))
