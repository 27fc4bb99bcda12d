"""Each computation of an exercise line by line: formula, numbers, result, the lay's own figure."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from renderer.language.numbers import NO_BREAK
from renderer.sheets.kit import paragraph
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Group, Row, table
from renderer.sheets.tasks import Task, tasks
from renderer.sheets.type import CELL_STRONG, SMALL, SMALL_STRONG, Style
from renderer.sheets.use import BlockUse
from renderer.teaching.arithmetic import number

if TYPE_CHECKING:
    from renderer.teaching.arithmetic import Step

TIGHT_MM = 0.6  # above and below a row, so that few pages hold much
ARITHMETIC = Style("condensed", 10)
FIGURES = frozenset({"length", "spools", "percent", "ohm"})  # facts that are numbers
FUNCTION = re.compile(r"\b(?:up|down|sin|cos|tan)(?=\()")


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """The steps of each question that has any, in the order of the answer sheet."""
    words = sheet.words
    units = sheet.job.plan.units
    intro = [words(f"key.intro-{units}"), words("key.intro")]
    return (
        sheet.heading(use),
        *(piece for text in intro for piece in paragraph(text, sheet.width_mm, SMALL, keep=True)),
        *worked_out(sheet, tasks(sheet)),
    )


def worked_out(sheet: Sheet, asked: Sequence[Task]) -> tuple[Piece, ...]:
    """The steps of some questions, as far as they have any."""
    words = sheet.words
    columns = (
        Column(words("key.step"), 36.3, style=SMALL_STRONG),
        Column(words("key.formula"), 65.2, style=ARITHMETIC),
        Column(words("key.result"), 24, "end", CELL_STRONG),
        Column(words("key.laid"), 16, "end", SMALL),
        Column(words("key.why"), 48.5, style=SMALL),
    )
    rows = [row for task in asked if task.steps for row in _task(sheet, task)]
    return table(columns, rows, sheet.width_mm, pad_mm=TIGHT_MM) if rows else ()


def _task(sheet: Sheet, task: Task) -> Iterator[Row | Group]:
    title = sheet.words("key.task", number=task.number, text=task.text)
    yield Group(title, sheet.words("table.again", text=title))
    yield from (_row(sheet, step) for step in task.steps)


def _row(sheet: Sheet, step: Step) -> Row:
    words = sheet.words
    facts = dict(step.facts)
    if "kind" in facts:
        facts["kind"] = words(f"kind.{facts['kind']}")
    for name in facts.keys() & FIGURES:
        facts[name] = words.numbers.signs(facts[name])
    what, why = words(f"step.{step.key}.what", **facts), words(f"step.{step.key}.why", **facts)
    return Row((what, _arithmetic(sheet, step), _result(sheet, step), _laid(sheet, step), why))


def _arithmetic(sheet: Sheet, step: Step) -> str:
    words = sheet.words
    if not step.formula:
        return words("key.none")
    if step.letters:
        letters = step.lettered
    else:  # the sides of an outline stand in no line above
        letters = words("key.sum-sides") if step.key == "ring.perimeter" else words("key.sum")
    return f"{_named(sheet, letters)}\n= {_named(sheet, words.numbers.signs(step.numbers))}"


def _named(sheet: Sheet, expression: str) -> str:
    """An expression with its functions under the names that the language has for them."""
    return FUNCTION.sub(lambda found: sheet.words(f"function.{found[0]}"), expression)


def _result(sheet: Sheet, step: Step) -> str:
    figure = sheet.measure.numbers.signs(step.result.text)
    return f"= {figure}{NO_BREAK}{step.unit}".rstrip(NO_BREAK)


def _laid(sheet: Sheet, step: Step) -> str:
    return sheet.measure.numbers.signs(number(step.laid, step.decimals).text)
