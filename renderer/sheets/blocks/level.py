"""An easier sheet from the same garden: the task, what is given, a small plan, questions."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from renderer.job.practice import SIGN
from renderer.primitives import Mark
from renderer.sheets.blocks.exercise import listed, point_given, sides_given, things_given, who
from renderer.sheets.blocks.exercise_answers import questions
from renderer.sheets.blocks.exercise_rules import setback_rule
from renderer.sheets.blocks.furniture import (
    GAP_MM,
    bars,
    beneath,
    drawing_words,
    keyed,
    moved,
    scale_aside,
)
from renderer.sheets.flow import flow
from renderer.sheets.kit import heading, note_lines, paragraph, subheading
from renderer.sheets.layout import Level
from renderer.sheets.level_tasks import PLAN_SHARES, level_tasks, plan_box, points_of, total
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.tasks import ground_of, may_have_islands
from renderer.sheets.tolerance import Tolerance
from renderer.sheets.type import BODY, CELL, SMALL, STRONG
from renderer.sheets.use import BlockUse

LITTLE = 0.25  # of a page, on a last one that a smaller plan may spare


class LevelUse(BlockUse):
    """``level`` is 1 to read the plan, 2 to measure and set out, 3 for setbacks."""

    level: Level


def build(sheet: Sheet, use: LevelUse) -> tuple[Piece, ...]:
    """The sheet of one level; nothing where the garden gives too few questions of it."""
    if not level_tasks(sheet, use.level):
        return ()
    return _sheet(sheet, use, plan_share(sheet, use))


def plan_share(sheet: Sheet, use: LevelUse) -> float:
    """What the plan of a level takes of the page: less than usual where that takes a page less."""
    first, *others = PLAN_SHARES
    pages = flow(_sheet(sheet, use, first), sheet.height_mm)
    low = max(placed.y_mm + placed.piece.height_mm for placed in pages[-1])
    if len(pages) == 1 or low > LITTLE * sheet.height_mm:
        return first
    fewer = (s for s in others if len(flow(_sheet(sheet, use, s), sheet.height_mm)) < len(pages))
    return next(fewer, first)


@lru_cache(maxsize=16)
def _sheet(sheet: Sheet, use: LevelUse, share: float) -> tuple[Piece, ...]:
    words, level = sheet.words, use.level
    asked = level_tasks(sheet, level, share)
    return (
        level_head(sheet, use, level),
        *who(sheet),
        *paragraph(words("teach.only"), sheet.width_mm, STRONG, gap_mm=2.0),
        *paragraph(words(f"level.task.{level}"), sheet.width_mm, BODY),
        *_plan(sheet, share),
        *sides_given(sheet),
        *(things_given(sheet) if level != 2 else ()),  # tapes go from points to corners
        *note_lines(list(_given(sheet, level)), sheet.width_mm, CELL),
        questions_head(sheet, total(asked)),
        *_right(sheet),
        *questions(sheet, asked),
    )


def level_head(sheet: Sheet, use: BlockUse, level: int, aside: str = "") -> Piece:
    """The heading: level, what it is about, the exercise's number; its own bookmark.

    That of a key has a remark at its right, ``aside``.
    """
    words = sheet.words
    name = use.title or words(f"level.name.{level}")
    facts = {"level": level, "name": name, "number": sheet.job.plan.job.number}
    title = words("level.key-head" if aside else "level.head", **facts)
    mark = Mark(sheet.anchor(f"{use.block}-{level}"), 0.0, title, 1)
    return replace(heading(title, sheet.width_mm, "", aside), marks=(mark,))


def _given(sheet: Sheet, level: int) -> Iterator[str]:
    """What the questions of a level need besides the tables."""
    words = sheet.words
    if level == 2:
        pair = points_of(sheet, ground_of(sheet))
        if pair is not None:
            told = (
                words("given.reference", name=each.name, at=point_given(sheet, each.at))
                for each in pair
            )
            yield words("level.points", points=listed(sheet, told))
        yield words("level.root")
    else:
        yield _setbacks(sheet)
        if level == 3:
            yield from _wire_rules(sheet)
            return
        machine = sheet.job.plan.machine
        hand = "left" if machine.lay_direction == "anticlockwise" else "right"
        key = "level.hand.island" if may_have_islands(sheet) else "level.hand.lawn"
        yield words(key, hand=words(f"given.{hand}"))


def _right(sheet: Sheet) -> tuple[Piece, ...]:
    """How near an answer has to be, above the questions and never apart from them."""
    facts = Tolerance(sheet.measure).facts()
    text = sheet.words("level.right", length=facts["length"], sum=facts["sum"])
    return paragraph(text, sheet.width_mm, CELL, keep=True)


def _setbacks(sheet: Sheet) -> str:
    words, setback = sheet.words, sheet.job.plan.machine.setback
    told = (
        words("level.setback", kind=words(f"kind.{kind}"), at=sheet.measure.length(setback[kind]))
        for kind in sheet.job.kinds()
    )
    return words("level.setbacks", kinds=words("list.join").join(told))


def _wire_rules(sheet: Sheet) -> Iterator[str]:
    words, machine = sheet.words, sheet.job.plan.machine
    things = may_have_islands(sheet)
    if things:
        yield words("level.passage", passage=sheet.measure.length(machine.passage_min))
    yield setback_rule(sheet)
    radius = machine.corner_radius
    if any(machine.setback[kind] < radius for kind in sheet.job.kinds()):
        yield words("lesson.rule.wide", radius=sheet.measure.length(radius))
    if things:
        yield words("rule.merge")
        yield words("level.round")


def _plan(sheet: Sheet, share: float) -> tuple[Piece, ...]:
    """The garden without its wire, no larger than leaves room for questions."""
    from renderer.drawing import legend, plan_drawing
    from renderer.drawing.lessons import UNLAID, unlaid, unnumbered

    job = sheet.job
    drawn = plan_drawing(
        job.plan,
        job.lay,
        (),
        box_mm=plan_box(sheet, share),
        inch_paper=sheet.inch_paper,
        words=drawing_words(sheet),
        scale=sheet.scale,
        show=UNLAID,
        extra=unlaid,
        setting=job.setting,
    )
    told = drawing_words(sheet).altered({"legend.side.note": sheet.words("teach.side-note")})
    missed = unnumbered(job.lay, drawn)
    under = legend(drawn.used, sheet.width_mm, told, keyed(drawn), missed)
    foot = beneath((bars(sheet, drawn, row=True, reckoned=True), under))
    top = drawn.drawing.height_mm + GAP_MM
    items = (*drawn.drawing.items, *moved(foot.items, 0.0, top))
    title = sheet.words("heading.exercise-plan")
    head = subheading(title, sheet.width_mm, scale_aside(sheet, drawn.scale))
    return head, Piece(top + foot.height_mm, items)


def questions_head(sheet: Sheet, marks: int) -> Piece:
    """The line above some questions, with their marks and what the asterisk means."""
    aside = sheet.words("load.practice", star=SIGN)
    return subheading(sheet.words.count("level.questions", marks), sheet.width_mm, aside)


def practice_note(sheet: Sheet) -> tuple[Piece, ...]:
    """What the asterisk means on these sheets."""
    return paragraph(sheet.words("teach.practice"), sheet.width_mm, SMALL)
