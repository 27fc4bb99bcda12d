"""The answer sheet of an exercise: questions, room for working, spaces to fill."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby

from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Group, Row, Styled, Write, table
from renderer.sheets.tasks import Answer, Task, section_points, tasks
from renderer.sheets.type import CELL_STRONG
from renderer.sheets.use import BlockUse

PARTS = ("reckoning", "answer")
NO_SPACE = ("", "")  # of a question that is answered below
UNPARTED = 4  # answers of a question that stand on one page


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A row per space to fill, under the part of the marking grid that it counts for."""
    rows = list(task_rows(sheet, tasks(sheet), _task))
    return sheet.heading(use), *answer_table(sheet, rows)


def questions(sheet: Sheet, asked: Sequence[Task]) -> tuple[Piece, ...]:
    """The spaces for some questions without sections."""
    return answer_table(sheet, [row for task in asked for row in _task(sheet, task)])


def answer_table(sheet: Sheet, rows: Sequence[Row | Group]) -> tuple[Piece, ...]:
    """Rows of questions under their heads."""
    words = sheet.words
    columns = (
        Column(words("answers.number"), 10, "end"),
        Column(words("answers.question"), 78),
        Column(words("answers.reckoning"), 52, lined=True),
        Column(words("answers.answer"), 33, lined=True),
        Column(words("answers.marks"), 17, "end", lined=True),
    )
    return table(columns, rows, sheet.width_mm)


def task_rows(
    sheet: Sheet, asked: Sequence[Task], of_task: Callable[[Sheet, Task], Iterator[Row]]
) -> Iterator[Row | Group]:
    """The rows of some questions, each section under its own line."""
    for section, found in groupby(asked, key=lambda task: task.section):
        yield section_group(sheet, section)
        yield from (row for task in found for row in of_task(sheet, task))


def section_group(sheet: Sheet, section: str) -> Group:
    """The line above the questions of a section, with the points that they are worth."""
    name = sheet.words(f"section.{section}")
    text = sheet.words("section.named", name=name, points=section_points(sheet)[section])
    return Group(text, sheet.words("table.again", text=text))


def _task(sheet: Sheet, task: Task) -> Iterator[Row]:
    """The question, then its spaces, each below it where they have names of their own."""
    number = Styled(str(task.number), CELL_STRONG)
    marks = sheet.words("answers.out-of", points=task.points)
    named = any(answer.label for answer in task.answers)
    if named:
        yield Row((number, task.text, *NO_SPACE, marks), held=True)
    for index, answer in enumerate(task.answers):
        names = [sheet.field_name("task", task.section, task.number, index, part) for part in PARTS]
        spaces = Write(names[0]), Write(names[1], answer.unit)
        cells = ("" if named else number, answered(sheet, task, answer), *spaces)
        yield Row((*cells, "" if named else marks), held=stays(task, index))


def stays(task: Task, index: int) -> bool:
    """Whether an answer's row stands on the page of the next: a short question is never parted."""
    return len(task.answers) <= UNPARTED and index < len(task.answers) - 1


def answered(sheet: Sheet, task: Task, answer: Answer) -> str:
    """What stands beside an answer: its own name, or the question."""
    return sheet.words("answers.label", label=answer.label) if answer.label else task.text
