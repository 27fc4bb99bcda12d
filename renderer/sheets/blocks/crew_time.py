"""How long the job takes two people: each count times its rate, and the sum."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.sheets.compact import FINE, FINE_STRONG, summed
from renderer.sheets.kit import paragraph
from renderer.sheets.piece import Piece, held_together
from renderer.sheets.sheet import Sheet
from renderer.sheets.use import BlockUse
from renderer.units import M_PER_FOOT

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.ground.minutes import Minutes
    from renderer.sheets.runs import Part

FOOT_DECIMALS = 4  # of the minutes of a foot, so that the product comes out
COUNTED = frozenset({"per_control", "per_island", "per_splice", "per_crossing", "dock"})


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """The parts of the estimate added up, each with its count and rate; whence the rates are."""
    note = paragraph(sheet.words("time.note"), sheet.width_mm, FINE)
    return held_together((sheet.heading(use), summed(tuple(_parts(sheet)), sheet.width_mm), *note))


def _parts(sheet: Sheet) -> Iterator[Part]:
    for number, row in enumerate(sheet.job.minutes):
        yield f"{'+ ' if number else ''}{_part(sheet, row)}", FINE
    total = sheet.measure.minutes(sheet.job.work_minutes)
    yield f"= {sheet.words('time.total')}\u00a0{total}", FINE_STRONG


def _part(sheet: Sheet, row: Minutes) -> str:
    """What is counted, times minutes for each, and the product; wire in the plan's unit."""
    numbers = sheet.measure.numbers
    name, minutes = sheet.words(f"time.{row.key}"), numbers.fixed(row.minutes, 0)
    if row.key == "per_m":
        unit, decimals = (M_PER_FOOT, FOOT_DECIMALS) if sheet.measure.units == "ft" else (1.0, 2)
        count, rate = sheet.measure.length(row.count), numbers.fixed(row.rate * unit, decimals)
    elif row.key in COUNTED:
        count, rate = numbers.plain(row.count), numbers.plain(row.rate)
    else:
        return sheet.words("time.part", name=name, sum=minutes)
    product = f"{count}\u00a0×\u00a0{rate}\u00a0=\u00a0{minutes}"
    return sheet.words("time.part", name=name, sum=product)
