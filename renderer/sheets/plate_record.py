"""What a crew measured on the garden of a fault plate, as it stands beside the drawing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from renderer.ground.strips import SERVICES
from renderer.sheets.readings import good_on
from renderer.sheets.sheet import Sheet

if TYPE_CHECKING:
    from renderer.ground.lay import LoopLay

DRY_OHM = 1.0  # that a joint without contact adds to the highest good reading at the least,
DRY_SHARE = 0.25  # or so much of it


def bands(sheet: Sheet) -> tuple[tuple[str, str], ...]:
    """Name and good readings of each loop."""
    words, ohms = sheet.words, sheet.measure.ohms
    found = []
    for loop in sheet.job.lay.loops:
        band = good_on(sheet, loop)
        span = words("lesson.from-to", one=ohms(band.low), two=ohms(band.high))
        found.append((words("lesson.plate.band", name=loop.name), span))
    return tuple(found)


def record(sheet: Sheet, mistake: str, of: str) -> str:
    """Readings of loops, what the machine shows, marks of services; with a mistake at ``of``."""
    words = sheet.words
    told = [
        words("lesson.plate.read", name=loop.name, ohm=sheet.measure.ohms(reading))
        for loop in sheet.job.lay.loops
        for reading in (_reading(sheet, loop, dry=mistake == "dry-splice" and loop.name == of),)
    ]
    for loop in sheet.job.lay.loops:
        where = "outside" if mistake == "terminals" and loop.name == of else "inside"
        told.append(words(f"lesson.plate.{where}", name=loop.name))
    told += _services(sheet, of if mistake == "not-located" else "")
    return "; ".join(told)


def _services(sheet: Sheet, unmarked: str) -> Iterator[str]:
    """Whether the marks of each cable and pipe were found before the first peg."""
    for feature in sheet.job.plan.features:
        if feature.kind in SERVICES:
            marked = feature.located and feature.name != unmarked
            key = "lesson.plate.located" if marked else "lesson.plate.not-located"
            yield sheet.words(key, name=feature.name)


def _reading(sheet: Sheet, loop: LoopLay, *, dry: bool) -> float:
    """The middle of what is good, or well over it."""
    band = good_on(sheet, loop)
    return band.high + max(DRY_OHM, DRY_SHARE * band.high) if dry else (band.low + band.high) / 2.0
