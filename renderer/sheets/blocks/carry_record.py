"""The record on the back of the carry sheet: readings and checks, with room to write."""

from __future__ import annotations

from renderer.job.practice import SIGN
from renderer.sheets.blocks.test_record import check_list, test_lap, to_measure
from renderer.sheets.compact import FINE
from renderer.sheets.piece import Piece
from renderer.sheets.readings import TEMPERATURES_C, span
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Cell, Column, Row, Styled, Ticks, Write, table, ticks_mm
from renderer.sheets.type import CLOSE_PAD_MM, TEXT, TEXT_STRONG, WRITE_ROW_MM
from renderer.sheets.use import BlockUse

FOUND_MM = 29.0  # three boxes beside each other,
FOUND_MOST_MM = 46.5  # and five; for more tries there is a space to write in


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A row for each spool, loop and check: what is good, what was found, a box.

    In a work order the test lap too, which the crew writes down on the lawn.
    """
    lap = test_lap(sheet) if sheet.has("test-record") else ()
    starred = any(SIGN in expected for _, expected, _ in check_list(sheet))
    aside = sheet.words("load.practice", star=SIGN) if starred else ""
    return (sheet.heading(use, aside), *_readings(sheet), *_checks(sheet), *lap)


def _readings(sheet: Sheet) -> tuple[Piece, ...]:
    words = sheet.words
    columns = (
        Column(words("test.what"), 37, style=TEXT),
        *(Column(words("test.at", degrees=t), 22.5, "end", TEXT) for t in TEMPERATURES_C),
        Column(words("test.measured"), 26, lined=True),
        Column(words("test.temperature"), 24, lined=True),
        Column(words("test.ok"), 13, "middle"),
    )
    rows = [
        Row(
            (
                text,
                *(Styled(span(sheet, good(celsius)), TEXT_STRONG) for celsius in TEMPERATURES_C),
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
    """The checks in two columns; one that is tried several times has a box for each time."""
    words = sheet.words
    cells = [
        (
            words("carry.check", what=text, expected=expected),
            _found(sheet, number, text, times),
            Ticks((sheet.field_name("carry", "check", number, "ok"),), text),
        )
        for number, (text, expected, times) in enumerate(check_list(sheet), 1)
    ]
    half = -(-len(cells) // 2)
    most = max(times for _, _, times in check_list(sheet))
    found = max(FOUND_MM, min(ticks_mm(most), FOUND_MOST_MM))
    columns = 2 * (
        Column(words("check.what"), 82 - found, style=FINE),
        Column(words("check.found"), found, "middle", lined=True),
        Column(words("check.ok"), 13, "middle"),
    )
    blank = ("", "", "")
    rows = [
        Row((*cells[n], *(cells[half + n] if half + n < len(cells) else blank)), WRITE_ROW_MM)
        for n in range(half)
    ]
    return table(columns, rows, sheet.width_mm, pad_mm=CLOSE_PAD_MM)


def _found(sheet: Sheet, number: int, text: str, times: int) -> Cell:
    """A space to write in, or a box each time."""
    name = ("carry", "check", number)
    if times == 1 or ticks_mm(times) > FOUND_MOST_MM:
        return Write(sheet.field_name(*name), tooltip=text)
    return Ticks(tuple(sheet.field_name(*name, n) for n in range(times)), text)
