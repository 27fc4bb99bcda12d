"""What stands round the plan of the wiring map: garden, wire, dates, points to tape from."""

from __future__ import annotations

import math
from collections.abc import Sequence

from renderer.primitives import Primitive
from renderer.sheets.compact import FINE, TEXT_STRONG
from renderer.sheets.kit import Entry, paragraph, rule, tick
from renderer.sheets.piece import Piece
from renderer.sheets.readings import rate_span
from renderer.sheets.setting_out import points_named
from renderer.sheets.sheet import Sheet
from renderer.sheets.type import LABEL, LIGHT, TICK_MM
from renderer.sheets.wire_words import wire_kind

GAP_MM = 5.0
SHARES = (0.29, 0.27, 0.22, 0.22)
WRITE_MM = 9.0


def map_head(sheet: Sheet, *, site: bool) -> Piece:
    """Four columns: place, wire, dates, state as laid; the address if ``site``."""
    items: list[Primitive] = []
    top = 0.0
    widths = [share * (sheet.width_mm - GAP_MM * (len(SHARES) - 1)) for share in SHARES]
    bottom, x = top, 0.0
    for entries, width in zip((_place(sheet, site), _wire(sheet)), widths, strict=False):
        y = top
        for entry in entries:
            items.extend(entry.items(x, y, width))
            y += entry.height_mm(width) + 0.8
        bottom = max(bottom, y)
        x += width + GAP_MM
    left = widths[0] + widths[1] + 2 * GAP_MM
    items.extend(_dates(sheet, left, top, widths[2]))
    items.extend(_state(sheet, left + widths[2] + GAP_MM, top, widths[3]))
    bottom = max(bottom, top + 2 * WRITE_MM + 1.5)
    items.append(rule(0.0, sheet.width_mm, bottom, LIGHT))
    return Piece(bottom + 1.5, tuple(items), keep=True)


def _place(sheet: Sheet, site: bool) -> Sequence[Entry]:
    job, words = sheet.job.plan.job, sheet.words
    if site and job.site:
        return (Entry(words("map.where"), "\n".join(job.site), TEXT_STRONG),)
    return (Entry(words("map.what"), job.title or job.number, TEXT_STRONG),)


def _wire(sheet: Sheet) -> Sequence[Entry]:
    words, measure = sheet.words, sheet.measure
    laid = words(
        "map.laid",
        length=measure.length(sheet.job.wire_m),
        ohms=rate_span(sheet),
    )
    kind = wire_kind(sheet)
    return Entry(words("map.wire"), kind, TEXT_STRONG), Entry(words("map.in-all"), laid, FINE)


def _dates(sheet: Sheet, x: float, top: float, width: float) -> list[Primitive]:
    """When it was planned for, and a line to write when it was laid."""
    words = sheet.words
    planned = Entry(
        words("map.planned"), sheet.measure.short_day(sheet.job.plan.job.planned_for), FINE
    )
    line = top + 2 * WRITE_MM
    return [
        *planned.items(x, top, width),
        LABEL.line(words("map.laid-on"), x, top + WRITE_MM),
        rule(x, x + width, line, LIGHT),
    ]


def _state(sheet: Sheet, x: float, top: float, width: float) -> list[Primitive]:
    """Boxes to tick: laid as planned, or changed."""
    items: list[Primitive] = []
    for number, key in enumerate(("as-planned", "changed")):
        y = top + number * (TICK_MM + 2.0)
        text = sheet.words(f"map.{key}")
        items.append(tick(x, y, sheet.field_name("map", key), text))
        room = width - TICK_MM - 2.0
        down = (TICK_MM - FINE.height_mm(text, room)) / 2
        items.extend(FINE.lines(text, x + TICK_MM + 2.0, y + down, room))
    return items


def points_to_tape_from(sheet: Sheet) -> tuple[Piece, ...]:
    """What each point to tape from is, and how far one tape goes to another, to be sure of both."""
    words = sheet.words
    apart = [
        words(
            "point.apart",
            first=first.name,
            second=second.name,
            length=sheet.measure.taped(math.dist(first.at, second.at)),
        )
        for first, second in sheet.tapes.checks()
    ]
    text = words("point.references", points=points_named(sheet), apart=", ".join(apart))
    return paragraph(text, sheet.width_mm, FINE, gap_mm=1.0) if apart else ()
