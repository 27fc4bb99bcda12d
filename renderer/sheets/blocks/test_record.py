"""The test record: what a meter and the machine should show, and room for what they did."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from renderer.sheets.kit import paragraph, subheading
from renderer.sheets.layout import BlockUse
from renderer.sheets.piece import Piece
from renderer.sheets.readings import TEMPERATURES_C
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Cell, Column, Row, Styled, Ticks, Write, table, ticks_mm
from renderer.sheets.type import CELL_STRONG, SMALL, WRITE_ROW_MM

if TYPE_CHECKING:
    from renderer.ground.lay import LawnGround


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """Readings, islands left out, checks, the test lap side by side."""
    return (
        sheet.heading(use),
        *_readings(sheet),
        *_bypassed(sheet),
        *_checks(sheet),
        *_lap(sheet),
    )


def _readings(sheet: Sheet) -> tuple[Piece, ...]:
    """Full spools and closed loops: expected at several temperatures, and measured."""
    words, measure, job, figures = sheet.words, sheet.measure, sheet.job, sheet.figures
    columns = (
        Column(words("test.what"), 56),
        *(Column(words("test.at", degrees=t), 17, "end") for t in TEMPERATURES_C),
        Column(words("test.measured"), 27, lined=True),
        Column(words("test.temperature"), 22, lined=True),
        Column(words("test.ok"), 17, "middle"),
    )
    ohms = [
        (
            words("test.spool", spool=number, length=measure.length(length)),
            length,
            f"spool-{number}",
        )
        for number, length in job.spools
    ]
    ohms += [
        (words("test.loop", name=loop.name, length=measure.length(loop.length_m)), loop.length_m,
         f"loop-{loop.name}")
        for loop in job.lay.loops
    ]  # fmt: skip
    rows = [_reading(sheet, text, length, name) for text, length, name in ohms]
    off, least = measure.percent(figures["reading_percent"]), measure.ohms(figures["reading_ohm"])
    star = figures.sign("reading_percent", "reading_ohm")
    good = words("test.good", share=off, least=least, star=star)
    per = words("test.wire", ohms=measure.per_length(job.lay.ohm_per_m))
    return (
        subheading(words("test.readings"), sheet.width_mm),
        *paragraph(f"{per} {good}", sheet.width_mm, SMALL, keep=True),
        *table(columns, rows, sheet.width_mm),
    )


def _reading(sheet: Sheet, text: str, length_m: float, name: str) -> Row:
    from renderer.ground.electric import temperature_factor

    fixed = sheet.measure.numbers.fixed
    ohms = length_m * sheet.job.lay.ohm_per_m
    at = [fixed(ohms * temperature_factor(t), 2) for t in TEMPERATURES_C]
    cells: tuple[Cell, ...] = (
        text,
        *(Styled(each, CELL_STRONG) for each in at),
        Write(sheet.field_name("test", name), "Ω"),
        Write(sheet.field_name("test", name, "temperature"), "°C"),
        Ticks((sheet.field_name("test", name, "ok"),), text),
    )
    return Row(cells, WRITE_ROW_MM)


def _bypassed(sheet: Sheet) -> tuple[Piece, ...]:
    """What the meter would read if an island were left out of its loop."""
    from renderer.ground.electric import bypass_table

    words, measure, job = sheet.words, sheet.measure, sheet.job
    columns = (
        Column(words("bypass.loop"), 34),
        Column(words("bypass.island"), 76),
        Column(words("bypass.reads"), 40, "end"),
        Column(words("bypass.less"), 40, "end"),
    )
    rows = [
        Row((loop.name, row.of, Styled(measure.ohms(row.reading_ohm), CELL_STRONG),
             measure.ohms(row.deficit_ohm)))
        for loop in job.lay.loops
        for row in bypass_table(loop, job.lay.ohm_per_m)
    ]  # fmt: skip
    if not rows:
        return ()
    return (
        subheading(words("bypass.heading"), sheet.width_mm),
        *paragraph(words("bypass.intro"), sheet.width_mm, SMALL, keep=True),
        *table(columns, rows, sheet.width_mm),
    )


def _checks(sheet: Sheet) -> tuple[Piece, ...]:
    words = sheet.words
    ticks = max(28.0, ticks_mm(int(sheet.figures["dockings"])))
    columns = (
        Column(words("check.what"), 96 - ticks),
        Column(words("check.expected"), 52),
        Column(words("check.found"), 42, lined=True),
        Column(words("check.ok"), ticks, "middle"),
    )
    rows = [
        Row(
            (
                text,
                Styled(expected, CELL_STRONG),
                Write(sheet.field_name("check", number), tooltip=text),
                Ticks(tuple(sheet.field_name("check", number, n) for n in range(ticks)), text),
            ),
            WRITE_ROW_MM,
        )
        for number, (text, expected, ticks) in enumerate(_check_list(sheet), 1)
    ]
    head = subheading(words("check.heading"), sheet.width_mm)
    return head, *table(columns, rows, sheet.width_mm)


def _check_list(sheet: Sheet) -> Iterator[tuple[str, str, int]]:
    """Each check: what, what is expected, how many ticks."""
    words, measure, job = sheet.words, sheet.measure, sheet.job
    machine = job.plan.machine
    yield words("check.insulation"), words("check.insulation-expected"), 1
    for loop in job.plan.loops:
        yield words("check.signal", name=loop.name), words("check.signal-expected"), 1
    if machine.supply is not None:
        volts = machine.supply.voltage_v
        least = volts * (1 - machine.supply.drop_max_percent / 100)
        yield (
            words("check.volts"),
            words("check.volts-expected", least=measure.numbers.fixed(least, 1))
            + sheet.figures.machine_sign("supply.drop_max_percent"),
            1,
        )
    if any(loop.dock for loop in job.plan.loops):
        level = measure.percent(machine.dock.level_max_percent)
        level += sheet.figures.machine_sign("dock.level_max_percent")
        yield words("check.level"), words("check.level-expected", level=level), 1
        count = int(sheet.figures["dockings"])
        yield words.count("check.docking", count), words("check.docking-expected", n=count), count
    yield words("check.protection"), words("check.protection-expected"), 1
    yield words("check.stop"), words("check.stop-expected"), 2
    for island in job.islands:
        yield words("check.island", of=island.of), words("check.island-expected"), 2
    second = sum(peg.round == 2 for peg in job.pegs)
    yield words("check.round-2"), words.count("check.round-2-expected", second), 1
    yield words("check.photos"), _photos(sheet), 1


def _photos(sheet: Sheet) -> str:
    parts = [sheet.words("check.photo-dock")]
    parts += [splice.id for splice in sheet.job.splices]
    if sheet.job.crossings:
        parts.append(sheet.words.count("check.photo-crossings", len(sheet.job.crossings)))
    branches = len(sheet.job.leads) - len(sheet.job.crossings)
    if branches:
        parts.append(sheet.words.count("check.photo-branches", branches))
    return ", ".join(parts)


def _lap(sheet: Sheet) -> tuple[Piece, ...]:
    """Closest distance seen at each kind of side of each lawn."""
    words, measure = sheet.words, sheet.measure
    columns = (
        Column(words("lap.side"), 84),
        Column(words("lap.wire"), 34, "end"),
        Column(words("lap.closest"), 50, lined=True),
        Column(words("lap.ok"), 22, "middle"),
    )
    rows = [
        Row(
            (
                text,
                Styled(measure.length(sheet.job.plan.machine.setback[kind]), CELL_STRONG),
                Write(sheet.field_name("lap", lawn.name, kind), measure.write_unit, text),
                Ticks((sheet.field_name("lap", lawn.name, kind, "ok"),), text),
            ),
            WRITE_ROW_MM,
        )
        for lawn in sheet.job.lay.lawns
        for kind, text in _sides(sheet, lawn)
    ]
    return (
        subheading(words("lap.heading"), sheet.width_mm),
        *paragraph(words("lap.intro"), sheet.width_mm, SMALL, keep=True),
        *table(columns, rows, sheet.width_mm),
    )


def _sides(sheet: Sheet, lawn: LawnGround) -> Iterator[tuple[str, str]]:
    kinds = [side.kind for side in lawn.sides]
    for kind in dict.fromkeys(kinds):
        name = sheet.words(f"kind.{kind}")
        yield kind, sheet.words.count("lap.of", kinds.count(kind), lawn=lawn.name, kind=name)
