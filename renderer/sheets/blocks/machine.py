"""The machine and its figures, each marked where it is not confirmed against the manual."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import chain

from renderer.job.practice import SIGN
from renderer.plan.manual import Source, source
from renderer.sheets.compact import FINE, FINE_STRONG, rows_of
from renderer.sheets.kit import paragraph
from renderer.sheets.piece import Piece, held_together
from renderer.sheets.runs import run_texts, runs_height_mm
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Cell, Column, Styled, abreast
from renderer.sheets.use import BlockUse

DAGGER = "†"
ABREAST = 3  # the most figures in a row
MARKS: dict[Source, str] = {"manual": "", "stated": f"\u00a0{DAGGER}", "practice": SIGN}


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """Figures up to three in a row, and which of them come from the maker's manual."""
    words = sheet.words
    machine = sheet.job.plan.machine
    figures = [(text, value, source(machine, key)) for key, text, value in _figures(sheet)]
    sources = {of for _, _, of in figures}
    label = words("machine.label", label=machine.label, source=_source(sheet, sources))
    feet = [paragraph(foot, sheet.width_mm, FINE) for foot in _feet(sheet, sources)]
    *others, last = _listed(sheet, figures)
    told = (
        sheet.heading(use),
        *paragraph(label, sheet.width_mm, FINE, keep=True),
        *others,
        replace(last, keep=bool(feet)),
        *chain.from_iterable(feet),
    )
    return held_together(told) if sheet.page_mm else told  # no mark far from what explains it


def _listed(sheet: Sheet, figures: Sequence[tuple[str, str, Source]]) -> tuple[Piece, ...]:
    """The figures as a table; in a column of the page one after the other, each with its value."""
    if sheet.page_mm:
        parts = [
            part
            for text, value, of in figures
            for part in ((text, FINE), (f"{value}{MARKS[of]}", FINE_STRONG), ("·", FINE))
        ][:-1]
        texts = tuple(run_texts(parts, 0.0, 0.0, sheet.width_mm))
        return (Piece(runs_height_mm(parts, sheet.width_mm), texts, gap_mm=1.0, keep=True),)
    pairs: list[tuple[Cell, ...]] = [
        (text, Styled(value + MARKS[of], FINE_STRONG)) for text, value, of in figures
    ]
    names = (
        Column(sheet.words("machine.figure"), 42, style=FINE),
        Column(sheet.words("machine.value"), 21, style=FINE),
    )
    heads, rows = abreast(names, pairs, sheet.width_mm, ABREAST)
    return rows_of(heads, rows, sheet.width_mm)


def _source(sheet: Sheet, sources: set[Source]) -> str:
    """Whether the figures were compared with the manual: all, some, or none of them."""
    vouched = sheet.job.plan.machine.from_manual
    if not vouched:
        return sheet.words("machine.source.not-stated" if vouched is None else "machine.source.no")
    return sheet.words("machine.source.yes" if sources == {"manual"} else "machine.source.unmarked")


def _feet(sheet: Sheet, sources: set[Source]) -> Iterator[str]:
    if "stated" in sources:
        yield sheet.words("machine.unconfirmed", mark=DAGGER)
    if "practice" in sources:
        yield sheet.words("machine.unstated", mark=SIGN)


def _figures(sheet: Sheet) -> list[tuple[str, str, str]]:
    """Each figure: its keys in the plan file, its name, its value.

    Where they follow each other in lines, the setbacks after the first have their kinds alone.
    """
    words, measure, job = sheet.words, sheet.measure, sheet.job
    machine = job.plan.machine
    figures = [("lay_direction", words("machine.direction"), words(f"way.{machine.lay_direction}"))]
    figures += [
        (
            f"setback.{kind}",
            name if number and sheet.page_mm else words("machine.setback", kind=name),
            measure.length(machine.setback[kind]),
        )
        for number, kind in enumerate(each for each in job.kinds() if each in machine.setback)
        for name in (words(f"kind.{kind}"),)
    ]
    radius = machine.corner_radius
    bend = measure.length(radius) if radius else words("machine.sharp")
    slope = machine.slope_max_percent
    figures += [
        ("corner_radius", words("machine.radius"), bend),
        ("passage_min", words("machine.passage"), measure.length(machine.passage_min)),
        ("loop_max", words("machine.loop"), measure.length(machine.loop_max)),
        ("tail", words("machine.tail"), measure.length(machine.tail)),
    ]
    figures += [
        (f"peg_spacing.{key}", words(f"machine.peg-{key}"), measure.length(spacing))
        for key, spacing in machine.peg_spacing
    ]
    figures += [
        ("slope_max_percent.inside", words("machine.slope-inside"), measure.percent(slope.inside)),
        ("slope_max_percent.at_wire", words("machine.slope-wire"), measure.percent(slope.at_wire)),
    ]
    return [*figures, *_dock(sheet)] if any(loop.dock for loop in job.plan.loops) else figures


def _dock(sheet: Sheet) -> list[tuple[str, str, str]]:
    words, measure, dock = sheet.words, sheet.measure, sheet.job.plan.machine.dock
    lengths = (
        ("straight_before", "before", dock.straight_before),
        ("straight_after", "after", dock.straight_after),
        ("clear_of_corner", "corner", dock.clear_of_corner),
        ("lead_max", "lead", dock.lead_max),
    )
    figures = [
        (f"dock.{key}", words(f"machine.dock-{name}"), measure.length(length))
        for key, name, length in lengths
    ]
    level = measure.percent(dock.level_max_percent)
    return [*figures, ("dock.level_max_percent", words("machine.dock-level"), level)]
