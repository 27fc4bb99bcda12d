"""The machine and its figures, each marked where it is not confirmed against the manual."""

from __future__ import annotations

from renderer.sheets.kit import paragraph
from renderer.sheets.layout import BlockUse
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Styled, table
from renderer.sheets.type import CELL_STRONG, SMALL

DAGGER = "†"
SOURCES = {True: "yes", False: "no", None: "not-stated"}


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """Figures two in a row, and whether they come from the maker's manual."""
    words = sheet.words
    machine = sheet.job.plan.machine
    source = words(f"machine.source.{SOURCES[machine.from_manual]}")
    label = words("machine.label", label=machine.label, source=source)
    mark = "" if machine.from_manual else f"\u00a0{DAGGER}"
    pairs = [(text, Styled(value + mark, CELL_STRONG)) for text, value in _figures(sheet)]
    half = (len(pairs) + 1) // 2
    rows = []
    for number, left in enumerate(pairs[:half]):
        right = pairs[half + number] if half + number < len(pairs) else ("", "")
        rows.append(Row((*left, *right)))
    title = words("machine.figure"), words("machine.value")
    columns = [Column(text, share) for text, share in zip(title * 2, (62, 33) * 2, strict=True)]
    foot = "" if machine.from_manual else words("machine.unconfirmed", mark=DAGGER)
    return (
        sheet.heading(use),
        *paragraph(label, sheet.width_mm, keep=True),
        *table(columns, rows, sheet.width_mm),
        *(paragraph(foot, sheet.width_mm, SMALL) if foot else ()),
    )


def _figures(sheet: Sheet) -> list[tuple[str, str]]:
    words, measure, job = sheet.words, sheet.measure, sheet.job
    machine = job.plan.machine
    figures = [(words("machine.direction"), words(f"way.{machine.lay_direction}"))]
    figures += [
        (
            words("machine.setback", kind=words(f"kind.{kind}")),
            measure.length(machine.setback[kind]),
        )
        for kind in job.kinds()
        if kind in machine.setback
    ]
    sharp = words("machine.sharp")
    radius = machine.corner_radius
    figures += [
        (words("machine.radius"), measure.length(radius) if radius else sharp),
        (words("machine.passage"), measure.length(machine.passage_min)),
        (words("machine.loop"), measure.length(machine.loop_max)),
        (words("machine.tail"), measure.length(machine.tail)),
        (words("machine.peg-first"), measure.length(machine.peg_spacing.first)),
        (words("machine.peg-final"), measure.length(machine.peg_spacing.final)),
        (words("machine.slope-inside"), measure.percent(machine.slope_max_percent.inside)),
        (words("machine.slope-wire"), measure.percent(machine.slope_max_percent.at_wire)),
    ]
    if any(loop.dock for loop in job.plan.loops):
        dock = machine.dock
        figures += [
            (words("machine.dock-before"), measure.length(dock.straight_before)),
            (words("machine.dock-after"), measure.length(dock.straight_after)),
            (words("machine.dock-corner"), measure.length(dock.clear_of_corner)),
            (words("machine.dock-lead"), measure.length(dock.lead_max)),
            (words("machine.dock-level"), measure.percent(dock.level_max_percent)),
        ]
    return figures
