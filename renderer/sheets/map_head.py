"""What stands round the plan of the wiring map: garden, wire, dates, points to tape from."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from renderer.primitives import Primitive
from renderer.sheets.compact import CLOSE, FINE, TEXT, TEXT_STRONG
from renderer.sheets.kit import Entry, paragraph, rule, tick
from renderer.sheets.piece import Piece
from renderer.sheets.readings import rate_span
from renderer.sheets.setting_out import points_named
from renderer.sheets.sheet import Sheet
from renderer.sheets.type import LABEL, LIGHT, TICK_MM, Style
from renderer.sheets.wire_words import wire_kind

GAP_MM = 5.0
SHARES = (0.4, 0.42, 0.18)  # of the width: place, wire, day
LAID_SHARES = (0.22, 0.3, 0.2, 0.28)  # day laid, by whom, laid as shown, laid otherwise
ROW_MM = 9.0
ASIDE_MM = 1.5  # from the label to what stands beside it


def map_head(sheet: Sheet, *, site: bool, laid: bool = True) -> Piece:
    """Place, wire and day in a row; under it when and by whom it was ``laid``, as shown or not."""
    items: list[Primitive] = []
    entries = [_place(sheet, site), _wire(sheet)]
    entries += [] if sheet.job.is_built else [_planned(sheet)]  # that day is past
    bottom = 0.0
    for entry, (x, width) in zip(entries, _spans(sheet.width_mm, SHARES), strict=False):
        items.extend(entry.items(x, 0.0, width))
        bottom = max(bottom, entry.height_mm(width))
    if laid:
        height = _laid_mm(sheet)
        items.extend(_laid(sheet, bottom + GAP_MM / 5, height))
        bottom += GAP_MM / 5 + height
    items.append(rule(0.0, sheet.width_mm, bottom, LIGHT))
    return Piece(bottom + 1.5, tuple(items), keep=True)


def _spans(width_mm: float, shares: Sequence[float]) -> Iterator[tuple[float, float]]:
    """Where each column begins, and its width; mm."""
    room = width_mm - GAP_MM * (len(shares) - 1)
    x = 0.0
    for share in shares:
        yield x, share * room
        x += share * room + GAP_MM


def _place(sheet: Sheet, site: bool) -> Entry:
    job, words = sheet.job.plan.job, sheet.words
    if site and job.site:
        return Entry(words("map.where"), ", ".join(job.site), TEXT_STRONG)
    return Entry(words("map.what"), job.title or job.number, TEXT_STRONG)


def _wire(sheet: Sheet) -> Entry:
    """The wire and how much of it lies in all."""
    words, measure = sheet.words, sheet.measure
    laid = words("map.laid", length=measure.length(sheet.job.wire_m), ohms=rate_span(sheet))
    text = words("map.kind-and-laid", kind=wire_kind(sheet), laid=laid)
    return Entry(words("map.wire"), text, TEXT_STRONG)


def _planned(sheet: Sheet) -> Entry:
    day = sheet.measure.short_day(sheet.job.plan.job.planned_for)
    return Entry(sheet.words("map.planned"), day, TEXT)


def _laid_mm(sheet: Sheet) -> float:
    """How high the row must be for who laid it, who may be many; ``ROW_MM`` for most."""
    told = _known(sheet).get("laid-by", "")
    text = sheet.words("map.laid-by")
    _, (_, width), *_ = _spans(sheet.width_mm, LAID_SHARES)
    room = width - LABEL.width_mm(text) - ASIDE_MM
    style = _style_in(room, told)
    return max(ROW_MM, style.height_mm(told, room) + 1.0)


def _style_in(room_mm: float, told: str) -> Style:
    """The type of what is known in the row: finer, in several lines, where it is long."""
    return TEXT_STRONG if TEXT_STRONG.width_mm(told) <= room_mm else FINE


def _laid(sheet: Sheet, top: float, height: float) -> Iterator[Primitive]:
    """Lines to write when and by whom it was laid; boxes to tick: as this shows, or changed."""
    on, by, *ticked = _spans(sheet.width_mm, LAID_SHARES)
    foot = top + height - 1.0
    known = _known(sheet)
    for key, (x, width) in (("laid-on", on), ("laid-by", by)):
        text, told = sheet.words(f"map.{key}"), known.get(key, "")
        yield LABEL.line(text, x, foot - LABEL.pitch_mm)
        aside = x + LABEL.width_mm(text) + ASIDE_MM
        room = x + width - aside
        style = _style_in(room, told)
        if told:
            yield from style.lines(told, aside, foot - style.height_mm(told, room), room)
        else:
            yield rule(aside, x + width, foot, LIGHT)
    if sheet.job.is_built:
        (x, width), (end, last) = ticked
        text = sheet.words("map.as-built")
        down = 1.0 + (TICK_MM - FINE.height_mm(text, end + last - x)) / 2
        yield from FINE.lines(text, x, top + down, end + last - x)
        return
    for key, (x, width) in zip(("as-planned", "changed"), ticked, strict=True):
        text = sheet.words(f"map.{key}")
        yield tick(x, top + 1.0, sheet.field_name("map", key), text)
        room = width - TICK_MM - 2.0
        down = 1.0 + (TICK_MM - FINE.height_mm(text, room)) / 2
        yield from FINE.lines(text, x + TICK_MM + 2.0, top + down, room)


def _known(sheet: Sheet) -> dict[str, str]:
    """When and by whom it was laid, where that is recorded."""
    if not sheet.job.records:
        return {}
    first, _ = sheet.job.records[0]
    return {"laid-on": sheet.measure.short_day(first.date), "laid-by": first.by}


def points_to_tape_from(sheet: Sheet) -> tuple[Piece, ...]:
    """What each point to tape from is, and how far one tape goes to another, to be sure of both."""
    from renderer.ground.faces import has_house_corners

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
    asked = any(use.block == "map-house" for use in sheet.layout.uses)
    if asked and not has_house_corners(sheet.job.plan):
        text = words("house.none", points=text)
    return paragraph(text, sheet.width_mm, CLOSE, gap_mm=1.0) if apart else ()
