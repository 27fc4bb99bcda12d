"""The machine's figures on the survey form: key, value, page of the manual."""

from __future__ import annotations

from collections.abc import Iterator

from renderer.plan.kinds import SETBACK_KINDS
from renderer.sheets.compact import FINE, FINE_STRONG
from renderer.sheets.kit import paragraph
from renderer.sheets.layout import BlockUse
from renderer.sheets.measure import Measure
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.survey import filled
from renderer.sheets.table import Cell, Column, Row, Write, table

ROW_MM = 9.0
FIGURES = (
    "corner_radius", "corner_angle_min", "passage_min", "loop_max", "loop_gap", "tail",
    "peg_spacing.first", "peg_spacing.final", "peg_sag", "slope_max_percent.inside",
    "slope_max_percent.at_wire", "dock.straight_before", "dock.straight_after",
    "dock.clear_of_corner", "dock.lead_max", "dock.level_max_percent", "supply.current_a",
    "supply.voltage_v", "supply.conductor_mm2",
)  # fmt: skip
NO_LENGTH = frozenset(
    {
        "corner_angle_min", "slope_max_percent.inside", "slope_max_percent.at_wire",
        "dock.level_max_percent", "supply.current_a", "supply.voltage_v", "supply.conductor_mm2",
    }
)  # fmt: skip
WIRE = ("conductor_mm2", "conductor_awg", "ohm_per_100m", "conductor", "spools")


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """Figures two a row; which of them the manual confirms is written beside each."""
    words = sheet.words
    half = (
        Column(words("survey.key"), 44, style=FINE_STRONG),
        Column(words("survey.value"), 27, style=FINE, lined=True),
        Column(words("survey.manual-page"), 24, lined=True),
    )
    cells = list(_cells(sheet))
    left = (len(cells) + 1) // 2
    pairs = zip(cells[:left], [*cells[left:], ("", "", "")], strict=False)
    rows = [Row((*one, *other), ROW_MM) for one, other in pairs]
    return (
        sheet.heading(use),
        *paragraph(words("survey.how-machine"), sheet.width_mm, FINE, keep=True),
        *table((*half, *half), rows, sheet.width_mm),
    )


def _cells(sheet: Sheet) -> Iterator[tuple[Cell, Cell, Cell]]:
    known = dict(_known(sheet))
    keys = ["machine.label", "lay_direction", *(f"setback.{kind}" for kind in SETBACK_KINDS)]
    keys += [*FIGURES, *(f"wire.{key}" for key in WIRE)]
    for key in keys:
        page = Write(sheet.field_name("survey", "machine", key, "page"))
        yield key, filled(sheet, known.get(key, ""), "machine", key), page


def _known(sheet: Sheet) -> Iterator[tuple[str, str]]:
    if sheet.known is None:
        return
    machine, wire, measure = sheet.known.plan.machine, sheet.known.plan.wire, sheet.measure.as_typed
    yield "machine.label", machine.label
    yield "lay_direction", machine.lay_direction
    for kind, setback in machine.setback.items():
        yield f"setback.{kind}", measure.length(setback)
    for key in FIGURES:
        found: object = machine
        for part in key.split("."):
            found = getattr(found, part, None)
        if isinstance(found, int | float):
            yield key, _figure(measure, key, found)
    for key in WIRE[:-1]:
        found = getattr(wire, key)
        yield f"wire.{key}", "" if found is None else f"{found}"
    yield "wire.spools", ", ".join(measure.length(length) for length in wire.spools)


def _figure(measure: Measure, key: str, value: float) -> str:
    return measure.numbers.plain(value) if key in NO_LENGTH else measure.length(value)
