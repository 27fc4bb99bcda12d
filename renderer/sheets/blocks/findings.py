"""Findings: what the checks have to say, worst first, and who accepted which warning."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from renderer.sheets.cells import cell_height
from renderer.sheets.compact import rows_of
from renderer.sheets.draft_notice import english
from renderer.sheets.kit import paragraph
from renderer.sheets.piece import Piece
from renderer.sheets.runs import Part
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Runs
from renderer.sheets.type import LEAD, TEXT, Style
from renderer.sheets.type import TEXT_STRONG as STRONG
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.findings_text import FindingText

NUMBER_MM = 9.0
CURE = Style("italic", 10, LEAD)
TOLD_TWICE = ("stop", "warn")  # in English too, where the translation is a draft


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A row per finding, numbered as on the plan, or one line that says there are none.

    A stop says why it matters, and so does a warning where that makes its row no taller.
    """
    words = sheet.words
    findings = sheet.findings
    if not findings:
        return sheet.heading(use), *paragraph(words("findings.none"), sheet.width_mm)
    head = ", ".join(words(f"findings.{key}") for key in ("level", "message", "cure"))
    columns = (
        Column(words("findings.number"), NUMBER_MM, "end", STRONG),
        Column(head, sheet.width_mm - NUMBER_MM, style=TEXT),
    )
    plain = english(sheet)
    twice = [_english(plain, each) for each in plain.findings] if plain else [""] * len(findings)
    room_mm = sheet.width_mm - NUMBER_MM
    rows = [
        Row((str(number), _told(sheet, finding, both, room_mm)))
        for number, (finding, both) in enumerate(zip(findings, twice, strict=True), 1)
    ]
    told = rows_of(columns, rows, sheet.width_mm)
    if sheet.has("carry"):  # numbers, levels and what to do are known by their types
        told = tuple(replace(piece, head=None) for piece in told[1:])
    return sheet.heading(use, words("findings.limits")), *told


def _told(sheet: Sheet, finding: FindingText, other: str, room_mm: float) -> Runs:
    """A finding; its reason stands behind the message, of a warning only where there is room."""
    short, reasoned = (Runs(_parts(sheet, finding, why), other) for why in ("", finding.why))
    column = Column("", room_mm)
    fits = cell_height(reasoned, column, room_mm, 0.0) <= cell_height(short, column, room_mm, 0.0)
    full = finding.level == "stop" or (finding.level == "warn" and fits)
    return reasoned if full else short


def _english(plain: Sheet, finding: FindingText) -> str:
    """A finding's level, message and what to do in English where they have to stand there."""
    if finding.level not in TOLD_TWICE:
        return ""
    level = plain.words(f"level.{finding.level}")
    cure = "" if finding.acknowledged else finding.cure
    return " ".join(part for part in (f"{level}: {finding.message}", cure) if part)


def _parts(sheet: Sheet, finding: FindingText, why: str) -> tuple[Part, ...]:
    """Level, message and reason, and what to do about it, or who has accepted that nothing is."""
    words = sheet.words
    message = f"{finding.message} {why}" if why else finding.message
    if finding.at_m is not None:
        message += " " + words("findings.at", at=sheet.measure.length(finding.at_m))
    accepted = finding.acknowledged
    parts = (
        (words(f"level.{finding.level}"), STRONG),
        (message, TEXT),
        (words("findings.accepted", by=accepted), TEXT) if accepted else (finding.cure, CURE),
    )
    return tuple(part for part in parts if part[0])
