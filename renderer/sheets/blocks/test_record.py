"""The test record: what a meter and the machine should show, and room for what they did."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from itertools import groupby, zip_longest
from operator import itemgetter
from typing import TYPE_CHECKING

from renderer.ground.parts import mown_parts, part_names, sides_along
from renderer.sheets.compact import FINE, rows_of
from renderer.sheets.kit import paragraph, subheading
from renderer.sheets.piece import Piece, held_together
from renderer.sheets.readings import (
    TEMPERATURES_C,
    good_of,
    good_on,
    islands_left_out,
    reads_without,
    short_span,
    span,
    tells,
    tolerance,
)
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Cell, Column, Group, Row, Styled, Ticks, Write, table, ticks_mm
from renderer.sheets.type import (
    CELL_STRONG,
    SMALL,
    SUBHEADING,
    TEXT_STRONG,
    WRITE_ROW_MM,
    Style,
)
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.ground.bands import Band
    from renderer.ground.lay import LawnGround

APART_MM = 8.0  # at least, between a heading and what is told on its line
# Shares of a table's columns where they stand close, without the loop's, by how many all are.
CLOSE_SHARES = {6: (16.5, 17, 20, 22, 22), 5: (28, 19, 21, 24)}


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """Readings, islands left out, checks, the test lap side by side.

    Where the document has the record of the carry sheet, only what that has no room for.
    """
    if sheet.has("carry-record"):
        own = use if use.title else use.model_copy(update={"title": sheet.words("test.rest")})
        worked, bypassed = _worked(sheet, close=True), _bypassed(sheet, close=True)
        return sheet.heading(own), *_limits(sheet), *worked, *bypassed
    return (
        sheet.heading(use),
        *_readings(sheet),
        *_bypassed(sheet),
        *_checks(sheet),
        *test_lap(sheet),
    )


def _limits(sheet: Sheet) -> tuple[Piece, ...]:
    """Where the wire's resistance is known from, and how far off a good reading may be."""
    told = f"{_source(sheet)} {_good(sheet)}"
    return held_together(paragraph(told, sheet.width_mm, _told(sheet)))


def _told(sheet: Sheet) -> Style:
    """The type of what is explained."""
    return FINE if sheet.page_mm else SMALL


def _readings(sheet: Sheet) -> tuple[Piece, ...]:
    """Full spools and closed loops: what is good at several temperatures, and what was measured."""
    words = sheet.words
    columns = (
        Column(words("test.what"), 38),
        *(Column(words("test.at", degrees=t), 23, "end") for t in TEMPERATURES_C),
        Column(words("test.measured"), 25, lined=True),
        Column(words("test.temperature"), 20, lined=True),
        Column(words("test.ok"), 15, "middle"),
    )
    rows = [
        _reading(sheet, text, [good(celsius) for celsius in TEMPERATURES_C], name)
        for text, good, name in to_measure(sheet)
    ]
    return (
        subheading(words("test.readings"), sheet.width_mm),
        *_limits(sheet),
        *table(columns, rows, sheet.width_mm),
        *_worked(sheet),
    )


def _source(sheet: Sheet) -> str:
    """Where the wire's resistance is known from."""
    return sheet.words(f"test.source.{sheet.job.readings.rate.source}", **_rates(sheet))


def _good(sheet: Sheet) -> str:
    return sheet.words("test.good", **tolerance(sheet))


def to_measure(sheet: Sheet) -> Iterator[tuple[str, Callable[[float], Band], str]]:
    """Full spools, then closed loops: text, what is good at a temperature in degC, field name."""
    words, measure, job = sheet.words, sheet.measure, sheet.job
    for number, length in job.spools:
        text = words("test.spool", spool=number, length=measure.length(length))
        yield text, partial(good_of, sheet, length), f"spool-{number}"
    for loop in job.lay.loops:
        text = words("test.loop", name=loop.name, length=measure.length(loop.length_m))
        yield text, partial(good_on, sheet, loop), f"loop-{loop.name}"


def _rates(sheet: Sheet) -> dict[str, str]:
    """Resistance of the wire by length: the least and the greatest of sound wire."""
    rate, measure = sheet.job.readings.rate, sheet.measure
    return {"low": measure.per_length(rate.low), "high": measure.per_length(rate.high)}


def _reading(sheet: Sheet, text: str, bands: Sequence[Band], name: str) -> Row:
    cells: tuple[Cell, ...] = (
        text,
        *(Styled(span(sheet, band), CELL_STRONG) for band in bands),
        Write(sheet.field_name("test", name), "Ω"),
        Write(sheet.field_name("test", name, "temperature"), "°C"),
        Ticks((sheet.field_name("test", name, "ok"),), text),
    )
    return Row(cells, WRITE_ROW_MM)


def _worked(sheet: Sheet, *, close: bool = False) -> tuple[Piece, ...]:
    """From the reading of the first spool to that of each loop, by pencil."""
    words, measure, job, figures = sheet.words, sheet.measure, sheet.job, sheet.figures
    if not job.spools:
        return ()
    number, spool_m = job.spools[0]
    share, off = figures["reading_percent"] / 100, measure.numbers.fixed(figures["reading_ohm"], 2)
    fixed, star = measure.numbers.fixed, tolerance(sheet)["star"]
    columns = (
        Column(words("test.what"), 42),
        Column(words("worked.spool", spool=number), 32, lined=True),
        Column(words("worked.times"), 20, "end"),
        Column(words("worked.expected"), 30, lined=True),
        Column(words("worked.low", times=fixed(1 - share, 2), off=off, star=star), 33, lined=True),
        Column(words("worked.high", times=fixed(1 + share, 2), off=off, star=star), 33, lined=True),
    )
    cells: list[tuple[Cell, ...]] = [
        (loop.name, Write(name("spool"), "Ω"),
         Styled(fixed(times, _decimals(times)), TEXT_STRONG if close else CELL_STRONG),
         *(Write(name(key), "Ω") for key in ("expected", "low", "high")))
        for loop in job.lay.loops
        for times in (loop.length_m / spool_m,)
        for name in (partial(sheet.field_name, "worked", loop.name),)
    ]  # fmt: skip
    text = words("worked.intro", spool=number, length=measure.length(spool_m))
    told = paragraph(text, sheet.width_mm, _told(sheet), keep=True)
    return *told, *_listed(sheet, columns, cells, WRITE_ROW_MM, close=close)


def _decimals(times: float) -> int:
    """How many decimals a factor takes: three, or up to five that keep three of its figures.

    Rounded further than that the factor alone would be off by more than a good reading may be.
    """
    return min(5, max(3, 2 - math.floor(math.log10(times))))


def _listed(
    sheet: Sheet,
    columns: Sequence[Column],
    cells: Sequence[tuple[Cell, ...]],
    low_mm: float,
    *,
    close: bool,
) -> tuple[Piece, ...]:
    """A table with a loop's name in its first column.

    Where it is ``close`` each of several loops has a line above its rows instead.
    """
    if not close:
        return table(columns, [Row(each, low_mm) for each in cells], sheet.width_mm)
    shares = CLOSE_SHARES[len(columns)]
    narrow = [
        replace(column, share=share, style=FINE)
        for column, share in zip(columns[1:], shares, strict=True)
    ]
    several = len(sheet.job.lay.loops) > 1
    rows: list[Row | Group] = []
    for name, some in groupby(cells, key=itemgetter(0)):
        rows += [Group(sheet.words("loop.named", name=name))] if several else []
        rows += [Row(each[1:], low_mm) for each in some]
    return rows_of(narrow, rows, sheet.width_mm)


def _bypassed(sheet: Sheet, *, close: bool = False) -> tuple[Piece, ...]:
    """How much an island left out takes off a loop's reading, and whether a meter can tell."""
    words = sheet.words
    columns = (
        Column(words("bypass.loop"), 28),
        Column(words("bypass.island"), 66),
        Column(words("bypass.less"), 28, "end"),
        Column(words("bypass.reads"), 32, "end"),
        Column(words("bypass.tells"), 36),
    )
    strong, told = (TEXT_STRONG, short_span) if close else (CELL_STRONG, span)
    cells: list[tuple[Cell, ...]] = [
        (loop.name, part_names(loop)[row.lead], told(sheet, row.less),
         Styled(reads_without(sheet, row, told), strong), tells(sheet, row))
        for loop, row in islands_left_out(sheet)
    ]  # fmt: skip
    if not cells:
        return ()
    return (
        subheading(words("bypass.heading"), sheet.width_mm),
        *paragraph(words("bypass.intro"), sheet.width_mm, _told(sheet), keep=True),
        *_listed(sheet, columns, cells, 0.0, close=close),
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
        for number, (text, expected, ticks) in enumerate(check_list(sheet), 1)
    ]
    head = subheading(words("check.heading"), sheet.width_mm)
    return head, *table(columns, rows, sheet.width_mm)


def check_list(sheet: Sheet) -> Iterator[tuple[str, str, int]]:
    """Each check: what, what is expected, how many ticks."""
    words, measure, job = sheet.words, sheet.measure, sheet.job
    machine = job.plan.machine
    insulation = words(
        "check.insulation-expected",
        least=measure.numbers.plain(sheet.figures["insulation_megohm"]),
        volts=measure.numbers.plain(sheet.figures["insulation_volt"]),
        star=sheet.figures.sign("insulation_megohm", "insulation_volt"),
    )
    yield words("check.insulation"), insulation, 1
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


def test_lap(sheet: Sheet) -> tuple[Piece, ...]:
    """Closest distance seen at each kind of side of each lawn."""
    words = sheet.words
    columns: tuple[Column, ...] = (
        Column(words("lap.side"), 76),
        Column(words("lap.wire"), 42, "end"),
        Column(words("lap.closest"), 50, lined=True),
        Column(words("lap.ok"), 22, "middle"),
    )
    cells = list(_lap_cells(sheet))
    if not cells:
        return ()
    if sheet.has("carry-record"):
        columns, rows = _halved(columns, cells)
    else:
        rows = [Row(cells, WRITE_ROW_MM) for cells in cells]
    heading, told = words("lap.heading"), words("lap.intro")
    if SUBHEADING.width_mm(heading) + FINE.width_mm(told) + APART_MM <= sheet.width_mm:
        return (
            subheading(heading, sheet.width_mm, told, FINE),
            *table(columns, rows, sheet.width_mm),
        )
    return (
        subheading(heading, sheet.width_mm),
        *paragraph(told, sheet.width_mm, _told(sheet), keep=True),
        *table(columns, rows, sheet.width_mm),
    )


def _halved(
    columns: tuple[Column, ...], cells: Sequence[tuple[Cell, ...]]
) -> tuple[tuple[Column, ...], list[Row]]:
    """The rows to write in in two columns, down the first one first."""
    half = -(-len(cells) // 2)
    blank: tuple[Cell, ...] = ("",) * len(columns)
    pairs = zip_longest(cells[:half], cells[half:], fillvalue=blank)
    narrow = tuple(replace(column, style=FINE) for column in columns)
    return narrow * 2, [Row((*one, *other), WRITE_ROW_MM) for one, other in pairs]


def _lap_cells(sheet: Sheet) -> Iterator[tuple[Cell, ...]]:
    measure = sheet.measure
    for lawn in sheet.job.lay.lawns:
        for name, kind, text in _sides(sheet, lawn):
            yield (
                text,
                Styled(measure.length(sheet.job.plan.machine.setback[kind]), TEXT_STRONG),
                Write(sheet.field_name("lap", name, kind), measure.write_unit, text),
                Ticks((sheet.field_name("lap", name, kind, "ok"),), text),
            )


def _sides(sheet: Sheet, lawn: LawnGround) -> Iterator[tuple[str, str, str]]:
    """Part, kind and text of each row: a lawn's sides by kind, or those of each of its parts."""
    for part, kinds in _kinds(sheet, lawn):
        for kind in dict.fromkeys(kinds):
            name = sheet.words(f"kind.{kind}")
            text = sheet.words.count("lap.of", kinds.count(kind), lawn=part, kind=name)
            yield part, kind, text


def _kinds(sheet: Sheet, lawn: LawnGround) -> Iterator[tuple[str, list[str]]]:
    """The kinds of the sides along each separately mown part; none where no wire is laid."""
    loop = next((each for each in sheet.job.lay.loops if each.name == lawn.loop), None)
    parts = [part for part in mown_parts(loop) if part.lawn == lawn.name] if loop else []
    if len(parts) == 1:
        yield lawn.name, [side.kind for side in lawn.sides]
        return
    if loop is None:
        return
    for part in parts:
        yield part.name, [side.kind for side in sides_along(sheet.job.plan, loop, part, lawn)]
