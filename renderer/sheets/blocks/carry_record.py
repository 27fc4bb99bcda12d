"""The record on the back of the carry sheet: readings and checks, with room to write."""

from __future__ import annotations

from renderer.sheets.blocks.test_record import check_list, to_measure
from renderer.sheets.kit import subheading
from renderer.sheets.piece import Piece
from renderer.sheets.readings import span
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Styled, Ticks, Write, table
from renderer.sheets.type import TEXT, TEXT_STRONG, WRITE_ROW_MM
from renderer.sheets.use import BlockUse

CELSIUS = 20.0
COUNTED = 2  # pegs of the second pass and photographs, the last checks, are counted in the order


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A row for each spool, loop and check: what is good, what was found, a box."""
    title = use.title or sheet.words("heading.carry-record")
    return (subheading(title, sheet.width_mm), *_readings(sheet), *_checks(sheet))


def _readings(sheet: Sheet) -> tuple[Piece, ...]:
    words = sheet.words
    columns = (
        Column(words("test.what"), 70),
        Column(words("test.at", degrees=int(CELSIUS)), 40, "end"),
        Column(words("test.measured"), 35, lined=True),
        Column(words("test.temperature"), 30, lined=True),
        Column(words("test.ok"), 15, "middle"),
    )
    rows = [
        Row(
            (
                text,
                Styled(span(sheet, good(CELSIUS)), TEXT_STRONG),
                Write(sheet.field_name("carry", name), "Ω"),
                Write(sheet.field_name("carry", name, "temperature"), "°C"),
                Ticks((sheet.field_name("carry", name, "ok"),), text),
            ),
            WRITE_ROW_MM,
        )
        for text, good, name in to_measure(sheet)
    ]
    return table(columns, rows, sheet.width_mm)


def _checks(sheet: Sheet) -> tuple[Piece, ...]:
    """The checks in two columns; those of which only a tick is asked stand as hold points too."""
    words = sheet.words
    cells = [
        (
            words("carry.check", what=text, expected=expected),
            Write(sheet.field_name("carry", "check", number), tooltip=text),
            Ticks((sheet.field_name("carry", "check", number, "ok"),), text),
        )
        for number, (text, expected, _) in enumerate([*check_list(sheet)][:-COUNTED], 1)
    ]
    half = -(-len(cells) // 2)
    columns = 2 * (
        Column(words("check.what"), 58, style=TEXT),
        Column(words("check.found"), 24, lined=True),
        Column(words("check.ok"), 13, "middle"),
    )
    blank = ("", "", "")
    rows = [
        Row((*cells[n], *(cells[half + n] if half + n < len(cells) else blank)), WRITE_ROW_MM)
        for n in range(half)
    ]
    return table(columns, rows, sheet.width_mm)
