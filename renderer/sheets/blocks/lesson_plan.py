"""The lesson plan of a garden: what is done in which order, how long it takes, what to bring."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from renderer.job.practice import SIGN
from renderer.sheets.blocks.exercise import headed
from renderer.sheets.blocks.level import practice_note
from renderer.sheets.blocks.trainer_notes import level as level_of
from renderer.sheets.blocks.yard import yard_of
from renderer.sheets.kit import note_lines, paragraph
from renderer.sheets.level_tasks import LEVELS, level_tasks, meter_tasks
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Styled, table
from renderer.sheets.tasks import Task, ground_of, tasks
from renderer.sheets.type import BODY, CELL_STRONG
from renderer.sheets.use import BlockUse
from renderer.teaching import practice

GAUGED = 3  # the level that asks which gauges are cut


class Step(NamedTuple):
    """A part of the lesson: its name, its minutes, what is done."""

    name: str
    minutes: int
    text: str


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """The parts with their minutes, then what to bring and what to mind; one page."""
    words, measure = sheet.words, sheet.measure
    steps = list(lesson(sheet))
    columns = (
        Column(words("lesson-plan.part"), 44, style=CELL_STRONG),
        Column(words("lesson-plan.minutes") + SIGN, 24, "end"),
        Column(words("lesson-plan.what"), 122),
    )
    rows = [Row((step.name, str(step.minutes), step.text)) for step in steps]
    whole = measure.minutes(sum(step.minutes for step in steps))
    rows.append(Row((words("grid.total"), Styled(whole, CELL_STRONG), ""), strong=True))
    return (
        headed(sheet, use),
        *paragraph(words("lesson-plan.intro"), sheet.width_mm, BODY),
        *table(columns, rows, sheet.width_mm),
        *note_lines(list(_bring(sheet)), sheet.width_mm, BODY),
        *practice_note(sheet),
    )


def lesson(sheet: Sheet) -> Iterator[Step]:
    """The parts in their order; minutes by the figures of common practice and the crew's own."""
    words = sheet.words

    def part(key: str, minutes: float, **facts: object) -> Step:
        text = words(f"lesson-plan.{key}.do", **facts)
        return Step(words(f"lesson-plan.{key}.name"), round(minutes), text)

    yield part("open", practice.OPENING_MINUTES)
    levels = {n: level_tasks(sheet, n) for n in LEVELS}
    yield from (_level(sheet, n, levels[n]) for n in (1, 2) if levels[n])
    found = yard_of(sheet)
    if found is not None:
        pegs = len(found.pegs)
        facts = {"pegs": pegs, "one": found.pair.one.name, "two": found.pair.two.name}
        yield part("yard", pegs * practice.YARD_PEG_MINUTES, **facts)
    if levels[3]:
        yield _level(sheet, 3, levels[3])
    asked = len(tasks(sheet))
    name = words("lesson-plan.level", level=level_of(sheet.job), name=words("level.name.4"))
    yield Step(name, asked * practice.QUESTION_MINUTES, words("lesson-plan.level-4", count=asked))
    lay = sheet.job.lay
    corners, things = len(ground_of(sheet).sides), len(sheet.job.plan.obstacles)
    points, minutes = len(sheet.references), practice.MARK_MINUTES
    facts = {"corners": corners, "things": things, "points": points}
    yield part("mark-out", (corners + things + points) * minutes, **facts)
    yield part(
        "lay",
        sheet.job.work_minutes,
        wire=sheet.measure.ordered(sheet.job.wire_m),
        pegs=sum(len(loop.pegs) for loop in lay.loops),
        islands=len(sheet.job.islands),
        splices=len(sheet.job.splices),
    )
    visits = len(meter_tasks(sheet))
    yield part("meter", visits * practice.READING_MINUTES, count=visits)
    yield part("close", practice.CLOSING_MINUTES)


def _level(sheet: Sheet, level: int, asked: Sequence[Task]) -> Step:
    words = sheet.words
    name = words("lesson-plan.level", level=level, name=words(f"level.name.{level}"))
    minutes = sum(len(task.answers) for task in asked) * practice.ANSWER_MINUTES
    text = words(f"lesson-plan.level-{level}", count=len(asked))
    if level == GAUGED and sheet.gauges:
        text = f"{text} {words('lesson-plan.gauges')}"
    return Step(name, minutes, text)


def _bring(sheet: Sheet) -> Iterator[str]:
    words, measure, job = sheet.words, sheet.measure, sheet.job
    pegs = [peg for loop in job.lay.loops for peg in loop.pegs]
    joined = "connectors" if job.splices else "spares"
    yield words("lesson-plan.pair")
    yield words(
        "lesson-plan.class",
        wire=measure.ordered(sum(i.quantity for i in job.lay.takeoff if i.item == "wire.order")),
        first=sum(peg.round == 1 for peg in pegs),
        pegs=len(pegs),
        connectors=words(f"lesson-plan.{joined}", count=len(job.splices)),
    )
    long, wide = _size(sheet)
    yard_long, yard_wide = practice.YARD_M[measure.units]
    facts = {
        "long": measure.length(long),
        "wide": measure.length(wide),
        "most": measure.length(yard_long),
        "across": measure.length(yard_wide),
    }
    fits = long <= yard_long and wide <= yard_wide
    yield words("lesson-plan.fits" if fits else "lesson-plan.large", **facts)


def _size(sheet: Sheet) -> tuple[float, float]:
    """How long and how wide the lawns are together, metres."""
    points = [at for side in ground_of(sheet).sides for at in side.points.tolist()]
    spans = [max(values) - min(values) for values in zip(*points, strict=True)]
    return max(spans), min(spans)
