"""Findings: what the checks have to say, worst first, and who accepted which warning."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.sheets.cells import ROW_PAD_MM, cell_height
from renderer.sheets.draft_notice import english
from renderer.sheets.kit import paragraph
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Cell, Column, Doubled, Row, Styled, table
from renderer.sheets.type import CELL_STRONG, TEXT
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.findings_text import FindingText

TOLD_TWICE = ("stop", "warn")  # in English too, where the translation is a draft


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A row per finding, numbered as on the plan, or one line that says there are none.

    A stop says why it matters, and so does a warning where that makes its row no taller.
    """
    words = sheet.words
    head = sheet.heading(use)
    findings = sheet.findings
    if not findings:
        return head, *paragraph(words("findings.none"), sheet.width_mm)
    columns = (
        Column(words("findings.number"), 10, "end"),
        Column(words("findings.level"), 22),
        Column(words("findings.message"), 82, style=TEXT),
        Column(words("findings.cure"), 76, style=TEXT),
    )
    plain = english(sheet)
    twice = (
        [_english(plain, each) for each in plain.findings] if plain else [("", "")] * len(findings)
    )
    rows = [
        _row(sheet, columns, number, finding, both)
        for number, (finding, both) in enumerate(zip(findings, twice, strict=True), 1)
    ]
    head = sheet.heading(use, words("findings.limits"))
    return head, *table(columns, rows, sheet.width_mm)


def _row(
    sheet: Sheet,
    columns: tuple[Column, ...],
    number: int,
    finding: FindingText,
    twice: tuple[str, str],
) -> Row:
    """A finding; its reason stands behind the message, of a warning only where there is room."""
    level, message, cure = _cells(sheet, finding, twice)
    reasoned = _cells(sheet, finding, twice, finding.why)[1]
    mm = sheet.width_mm / sum(column.share for column in columns)

    def height_mm(cell: Cell, column: Column) -> float:
        return cell_height(cell, column, column.share * mm, ROW_PAD_MM)

    *_, says, does = columns
    room_mm = max(height_mm(message, says), height_mm(cure, does))
    fits = height_mm(reasoned, says) <= room_mm
    if finding.level == "stop" or (finding.level == "warn" and fits):
        message = reasoned
    return Row((str(number), level, message, cure))


def _english(plain: Sheet, finding: FindingText) -> tuple[str, str]:
    """A finding's level and message, and its cure, in English where they have to stand there."""
    if finding.level not in TOLD_TWICE:
        return "", ""
    level = plain.words(f"level.{finding.level}")
    return f"{level}: {finding.message}", finding.cure


def _cells(
    sheet: Sheet, finding: FindingText, twice: tuple[str, str], why: str = ""
) -> tuple[Cell, Cell, Cell]:
    words = sheet.words
    message = f"{finding.message} {why}" if why else finding.message
    if finding.at_m is not None:
        message += " " + words("findings.at", at=sheet.measure.length(finding.at_m))
    cure = finding.cure
    if finding.acknowledged:
        accepted = words("findings.accepted", by=finding.acknowledged)
        cure = f"{cure}\n{accepted}" if cure else accepted
    level = Styled(words(f"level.{finding.level}"), CELL_STRONG)
    if not twice[0]:
        return level, message, cure
    return level, Doubled(message, twice[0]), Doubled(cure, twice[1])
