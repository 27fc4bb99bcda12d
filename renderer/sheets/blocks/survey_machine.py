"""The machine's figures on the survey form: what each is, its value, its page in the manual."""

from __future__ import annotations

from collections.abc import Iterator

from renderer.plan.kinds import SETBACK_KINDS
from renderer.sheets.compact import FINE, FINE_STRONG, rows_of
from renderer.sheets.kit import paragraph
from renderer.sheets.measure import Measure
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.survey import filled, yes_no
from renderer.sheets.table import Cell, Column, Keyed, Row, Write
from renderer.sheets.use import BlockUse

ROW_MM = 9.0
# Each figure's key in the machine's file, and the word that it is asked for by.
FIGURES = {
    "corner_radius": "machine.radius",
    "corner_angle_min": "given.corner-angle",
    "passage_min": "machine.passage",
    "loop_max": "machine.loop",
    "loop_gap": "survey.figure.loop-gap",
    "tail": "machine.tail",
    "peg_spacing.first": "machine.peg-first",
    "peg_spacing.final": "machine.peg-final",
    "peg_sag": "given.peg-sag",
    "slope_max_percent.inside": "machine.slope-inside",
    "slope_max_percent.at_wire": "machine.slope-wire",
    "dock.straight_before": "machine.dock-before",
    "dock.straight_after": "machine.dock-after",
    "dock.clear_of_corner": "machine.dock-corner",
    "dock.lead_max": "machine.dock-lead",
    "dock.level_max_percent": "machine.dock-level",
    "supply.current_a": "survey.figure.supply-current",
    "supply.voltage_v": "survey.figure.supply-voltage",
    "supply.conductor_mm2": "survey.figure.supply-size",
}
NO_LENGTH = frozenset(
    {
        "corner_angle_min", "slope_max_percent.inside", "slope_max_percent.at_wire",
        "dock.level_max_percent", "supply.current_a", "supply.voltage_v", "supply.conductor_mm2",
    }
)  # fmt: skip
WIRE = {
    "conductor_mm2": "survey.figure.wire-mm2",
    "conductor_awg": "survey.figure.wire-awg",
    "ohm_per_100m": "survey.figure.wire-ohm",
    "conductor": "survey.figure.wire-metal",
    "spools": "survey.figure.wire-spools",
}


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """Figures two a row; which of them the manual confirms is written beside each."""
    words = sheet.words
    half = (
        Column(words("machine.figure"), 52, style=FINE_STRONG),
        Column(words("survey.value"), 28, style=FINE, lined=True),
        Column(words("survey.manual-page"), 15, lined=True),
    )
    cells = list(_cells(sheet))
    left = (len(cells) + 1) // 2
    pairs = zip(cells[:left], [*cells[left:], ("", "", "")], strict=False)
    rows = [Row((*one, *other), ROW_MM) for one, other in pairs]
    return (
        sheet.heading(use),
        *paragraph(words("survey.how-machine"), sheet.width_mm, FINE, keep=True),
        *rows_of((*half, *half), rows, sheet.width_mm),
    )


def _cells(sheet: Sheet) -> Iterator[tuple[Cell, Cell, Cell]]:
    known = dict(_known(sheet))
    for key, name in _named(sheet):
        page = Write(sheet.field_name("survey", "machine", key, "page"))
        yield Keyed(name, key), _value(sheet, key, known.get(key, "")), page
    all_checked = sheet.words("survey.figure.from-manual")
    yield Keyed(all_checked, "from_manual"), yes_no(sheet, "", "machine", "from_manual"), ""


def _value(sheet: Sheet, key: str, known: str) -> Cell:
    """What is known, in words with the plan file's own word small beside it; or a space."""
    if known and key == "lay_direction":
        return Keyed(sheet.words(f"way.{known}"), known)
    if known and key == "wire.conductor":
        return Keyed(sheet.words(f"wire-kind.{known}"), known)
    return filled(sheet, known, "machine", key)


def _named(sheet: Sheet) -> Iterator[tuple[str, str]]:
    """Each figure's key, and what it is called."""
    words = sheet.words
    yield "machine.label", words("survey.figure.label")
    yield "lay_direction", words("machine.direction")
    for kind in SETBACK_KINDS:
        yield f"setback.{kind}", words("machine.setback", kind=words(f"kind.{kind}"))
    yield from ((key, words(word)) for key, word in FIGURES.items())
    yield from ((f"wire.{key}", words(word)) for key, word in WIRE.items())


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
    for key in WIRE:
        found = getattr(wire, key) if key != "spools" else None
        yield f"wire.{key}", "" if found is None else f"{found}"
    yield "wire.spools", ", ".join(measure.length(length) for length in wire.spools)


def _figure(measure: Measure, key: str, value: float) -> str:
    if "percent" in key:
        return measure.percent(value)
    return measure.numbers.plain(value) if key in NO_LENGTH else measure.length(value)
