"""How the pack's own pages name jobs, wires, crew and day."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.job.pack import PackData
from renderer.sheets.errors import no_pack
from renderer.sheets.sheet import Sheet
from renderer.sheets.wire_words import metal

if TYPE_CHECKING:
    from datetime import date

    from renderer.plan.wire import WireKind


def pack_on(sheet: Sheet) -> PackData:
    """The pack that a block of a pack is built from. Raises SheetError where there is none."""
    if sheet.pack is None:
        raise no_pack(sheet.layout.document)
    return sheet.pack


def number_of(pack: PackData, job: int) -> str:
    """The job's number, with its place in the day where two jobs have the same."""
    number = pack.told[job].job.number
    same = sum(each.job.number == number for each in pack.told)
    return number if same == 1 else f"{number} ({job + 1})"


def wire_words(sheet: Sheet, kind: WireKind) -> str:
    """A kind of wire by its size, or its resistance where that is stated instead."""
    stuff, mm2, awg, ohm = kind
    words = sheet.words
    conductor = metal(words, stuff)
    if mm2 is not None:
        return words("pack-wire.mm2", size=words.numbers.plain(mm2), conductor=conductor)
    if awg is not None:
        return words("pack-wire.awg", size=awg, conductor=conductor)
    stated = sheet.measure.per_length((ohm or 0.0) / 100.0)
    return words("pack-wire.ohm", conductor=conductor, ohms=stated)


def crew_of(sheet: Sheet) -> str:
    """The day's crew, or the one that all jobs name."""
    pack = pack_on(sheet)
    crews = {each.job.crew for each in pack.told}
    stated = pack.day.crew if pack.day else ""
    return stated or (crews.pop() if len(crews) == 1 else "")


def date_of(sheet: Sheet) -> date | None:
    """The day, or the one that all jobs are planned for."""
    pack = pack_on(sheet)
    days = {each.job.planned_for for each in pack.told}
    stated = pack.day.date if pack.day else None
    return stated or (days.pop() if len(days) == 1 else None)


def day_line(sheet: Sheet) -> str:
    """Crew and date in one line."""
    parts = (crew_of(sheet), sheet.measure.short_day(date_of(sheet)))
    return " · ".join(part for part in parts if part)
