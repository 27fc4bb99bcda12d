"""A record of competence: what a trainee has shown, when, and who saw it."""

from __future__ import annotations

from renderer.sheets.blocks.exercise import headed, who
from renderer.sheets.blocks.level import practice_note
from renderer.sheets.blocks.marking_grid import SIGNERS
from renderer.sheets.kit import paragraph, subheading
from renderer.sheets.level_tasks import LEVELS, level_tasks, meter_tasks, total
from renderer.sheets.piece import Piece, held_together
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Write, table
from renderer.sheets.type import BODY, WRITE_ROW_MM
from renderer.sheets.use import BlockUse
from renderer.teaching import practice

SHOWN = (
    "plan", "services", "tape", "setback", "pegs", "pair", "splice", "meter", "fault", "lap",
    "dock", "map",
)  # fmt: skip


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """What was shown line by line, the scores of the sheets, signatures; one page."""
    words = sheet.words
    columns = (
        Column(words("competence.what"), 104),
        Column(words("competence.day"), 36, lined=True),
        Column(words("competence.by"), 50, lined=True),
    )
    rows = [
        Row(
            (
                words(f"competence.{key}"),
                Write(sheet.field_name("competence", key, "day")),
                Write(sheet.field_name("competence", key, "by")),
            ),
            WRITE_ROW_MM,
        )
        for key in SHOWN
    ]
    signed = [Column(words(f"grid.{name}"), share, lined=True) for name, share in SIGNERS]
    spaces = tuple(Write(sheet.field_name("competence", name)) for name, _ in SIGNERS)
    return held_together(
        (
            headed(sheet, use),
            *who(sheet),
            *paragraph(words("competence.intro"), sheet.width_mm, BODY, gap_mm=2.0),
            *table(columns, rows, sheet.width_mm),
            *_scores(sheet),
            *table(signed, (Row(spaces),), sheet.width_mm),
            *practice_note(sheet),
        )
    )


def _scores(sheet: Sheet) -> tuple[Piece, ...]:
    """A space for the score of each sheet."""
    words = sheet.words
    asked = {n: total(level_tasks(sheet, n)) for n in LEVELS}
    out_of = [(words(f"level.name.{n}"), points) for n, points in asked.items() if points]
    out_of.append((words("level.name.4"), sum(practice.POINTS.values())))
    out_of.append((words("lesson-plan.meter.name"), total(meter_tasks(sheet))))
    columns = [
        Column(words("competence.of", name=name, points=points), 38, lined=True)
        for name, points in out_of
    ]
    spaces = tuple(
        Write(sheet.field_name("competence", "score", number)) for number in range(len(out_of))
    )
    head = subheading(words("competence.scores"), sheet.width_mm)
    return head, *table([*columns], (Row(spaces, WRITE_ROW_MM),), sheet.width_mm)
