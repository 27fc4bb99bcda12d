"""Findings: what the checks have to say, worst first, and who accepted which warning."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.sheets.kit import paragraph
from renderer.sheets.layout import BlockUse
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Styled, table
from renderer.sheets.type import CELL_STRONG

if TYPE_CHECKING:
    from renderer.checks.finding import Finding


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A row a finding, numbered as on the plan, or one line that says that there is none."""
    words = sheet.words
    head = sheet.heading(use)
    findings = sheet.job.findings
    if not findings:
        return head, *paragraph(words("findings.none"), sheet.width_mm)
    columns = (
        Column(words("findings.number"), 10, "end"),
        Column(words("findings.level"), 26),
        Column(words("findings.message"), 92),
        Column(words("findings.cure"), 62),
    )
    rows = [Row((str(n), *_cells(sheet, each))) for n, each in enumerate(findings, 1)]
    return head, *table(columns, rows, sheet.width_mm)


def _cells(sheet: Sheet, finding: Finding) -> tuple[Styled | str, ...]:
    words = sheet.words
    message = finding.message
    if finding.at_m is not None:
        message += " " + words("findings.at", at=sheet.measure.length(finding.at_m))
    cure = finding.cure
    if finding.acknowledged:
        accepted = words("findings.accepted", by=finding.acknowledged)
        cure = f"{cure}\n{accepted}" if cure else accepted
    return Styled(words(f"level.{finding.level}"), CELL_STRONG), message, cure
