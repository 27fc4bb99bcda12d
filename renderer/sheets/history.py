"""What a plan tells of its past: revisions, the day it was laid, later changes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from renderer.frozen import dataclass
from renderer.sheets.sheet import Sheet

if TYPE_CHECKING:
    from datetime import date

    from renderer.plan.records import Reading


@dataclass(frozen=True, slots=True)
class Past:
    """A line of the history; ``wire`` is how much wire a change added, as text."""

    date: date | None
    revision: str
    what: str
    wire: str = ""


def history(sheet: Sheet) -> tuple[Past, ...]:
    """The revisions that the file tells of, then what was built and changed."""
    revisions = (
        Past(each.date, each.revision, _said(sheet, each.what, each.by))
        for each in sheet.job.plan.revisions
    )
    return *revisions, *_built(sheet)


def _built(sheet: Sheet) -> Iterator[Past]:
    before: float | None = None
    revision = sheet.job.as_planned.plan.job.revision
    for record, wire_m in sheet.job.records:
        revision = record.revision or revision
        laid = sheet.words("log.laid") if before is None else ""
        what = _said(sheet, record.what or laid, record.by)
        if before is None:
            code = sheet.job.design_code
            what = _and(what, sheet.words("log.built", code=code))
        reads = ", ".join(_read(sheet, each) for each in record.readings)
        added = 0.0 if before is None else wire_m - before
        wire = sheet.measure.length(added) if added > 0.0 else ""
        yield Past(record.date, revision, _and(what, reads), wire)
        before = wire_m


def _said(sheet: Sheet, what: str, by: str) -> str:
    return sheet.words("log.by", what=what, by=by) if what and by else what or by


def _and(one: str, other: str) -> str:
    return "; ".join(part for part in (one, other) if part)


def _read(sheet: Sheet, reading: Reading) -> str:
    measure = sheet.measure
    plain = measure.numbers.plain
    told = ""
    if reading.ohm is not None:
        facts = {"ohms": measure.ohms(reading.ohm), "celsius": plain(reading.temperature)}
        told = sheet.words("log.reads", what=reading.what, **facts)
    if reading.insulation_megohm is None:
        return told
    megohms = plain(reading.insulation_megohm)
    return _and(told, sheet.words("log.insulation", what=reading.what, megohms=megohms))
