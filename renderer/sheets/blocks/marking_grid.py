"""The marking grid: a hundred points in parts, and what fails whatever the points."""

from __future__ import annotations

from renderer.sheets.kit import paragraph, rule, subheading
from renderer.sheets.piece import Piece, held_together
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Styled, Ticks, Write, table
from renderer.sheets.tasks import section_points
from renderer.sheets.type import BODY, CELL_STRONG, WRITE_ROW_MM
from renderer.sheets.use import BlockUse
from renderer.teaching import practice

FAILURES = ("services", "water", "crossed")
VERDICTS = ("passed", "not-passed")
SIGNERS = (("trainee", 60), ("trainer", 90), ("day", 40))


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """All on one page: parts, failures, verdict, signature."""
    words = sheet.words
    return held_together(
        (
            sheet.heading(use),
            *paragraph(words("grid.intro", **{"pass": practice.PASS_POINTS}), sheet.width_mm, BODY),
            *_parts(sheet),
            *paragraph(words("lesson.plate.marked"), sheet.width_mm, BODY, gap_mm=3.0),
            subheading(words("grid.failed"), sheet.width_mm),
            *_failures(sheet),
            *_verdict(sheet),
        )
    )


def _parts(sheet: Sheet) -> tuple[Piece, ...]:
    words = sheet.words
    columns = (
        Column(words("grid.part"), 46, style=CELL_STRONG),
        Column(words("grid.looked"), 100),
        Column(words("grid.points"), 20, "end"),
        Column(words("grid.got"), 24, lined=True),
    )
    tie = sheet.measure.small(sheet.figures["tie_within"])
    rows = []
    for part, points in section_points(sheet).items():
        facts = {"tie": tie} if part == "set-out" else {}
        cells = (
            words(f"section.{part}"),
            words(f"look.{part}", **facts),
            str(points),
            Write(sheet.field_name("grid", part)),
        )
        rows.append(Row(cells, WRITE_ROW_MM))
    total = str(sum(practice.POINTS.values()))
    rows.append(
        Row(
            (words("grid.total"), "", Styled(total, CELL_STRONG), Write(sheet.field_name("total"))),
            strong=True,
        )
    )
    return table(columns, rows, sheet.width_mm)


def _failures(sheet: Sheet) -> tuple[Piece, ...]:
    words = sheet.words
    columns = (Column("", 170), Column("", 20, "middle"))
    rows = [
        Row((words(f"grid.{name}"), Ticks((sheet.field_name("failed", name),))))
        for name in FAILURES
    ]
    top = Piece(0.0, (rule(0.0, sheet.width_mm, 0.0),))
    return top, *table(columns, rows, sheet.width_mm)[1:]


def _verdict(sheet: Sheet) -> tuple[Piece, ...]:
    words = sheet.words
    columns = [Column(words(f"grid.{name}"), 95, "middle") for name in VERDICTS]
    ticks = tuple(Ticks((sheet.field_name("verdict", name),)) for name in VERDICTS)
    signed = [Column(words(f"grid.{name}"), share, lined=True) for name, share in SIGNERS]
    spaces = tuple(Write(sheet.field_name("signed", name)) for name, _ in SIGNERS)
    return (
        *table(columns, (Row(ticks),), sheet.width_mm),
        *table(signed, (Row(spaces),), sheet.width_mm),
    )
