"""Every place that matters, found with two tapes from the house, and what a meter reads there."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from renderer.sheets.blocks.wire_list import loop_group
from renderer.sheets.compact import CLOSE, CLOSE_STRONG, FINE, fitted, head, rows_of, under_head
from renderer.sheets.kit import paragraph
from renderer.sheets.piece import Piece
from renderer.sheets.places import NEAR_M, LoopPlaces, Place, places_of
from renderer.sheets.readings import good_of, short_span
from renderer.sheets.setting_out import NONE, along_means, spread, spread_head, tied
from renderer.sheets.sheet import Sheet
from renderer.sheets.shots import shots
from renderer.sheets.table import Column, Group, Row, Styled
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.ground.edges import SideOffset
    from renderer.ground.tapes import Found


REACH_M = 0.10  # an edge further than this beyond its setback says nothing about a place


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A row per place in the order of the wire, loop after loop; nothing where there is no wire."""
    if not sheet.job.lay.loops:
        return ()
    words, unit = sheet.words, sheet.measure.unit
    columns = (
        Column(words("point.name"), 0, style=CLOSE_STRONG),
        Column(words("point.photo"), 0, "middle", CLOSE),
        Column(words("point.what"), 1, style=CLOSE),
        Column(words("point.edge"), 0, style=CLOSE),
        Column(words("point.tape-1"), 0, "end", CLOSE),
        Column(words("point.tape-2"), 0, "end", CLOSE),
        Column(words("point.hand"), 0, "middle", CLOSE),
        Column(spread_head(sheet), 0, "end", CLOSE),
        Column(words("point.at", unit=unit), 0, "end", CLOSE),
        Column(words("point.from-start"), 0, "end", CLOSE),
        Column(words("point.from-finish"), 0, "end", CLOSE),
        Column(words("point.whole"), 0, style=CLOSE),
        Column(words("point.open"), 0, style=CLOSE),
    )
    from renderer.ground.faces import has_house_corners

    loops = places_of(sheet)
    rows = [row for loop in loops for row in _loop(sheet, loop)]
    ways = [way for loop in loops for way in found_of(sheet, loop)[1]]
    intro = words("point.intro") + along_means(sheet, ways)
    if not use.title and not has_house_corners(sheet.job.plan):
        use = use.model_copy(update={"title": words("point.from-lawn")})
    return (
        head(sheet, use),
        *paragraph(intro, sheet.width_mm, FINE, keep=True),
        *under_head(rows_of(fitted(columns, rows, sheet.width_mm), rows, sheet.width_mm)),
    )


def _loop(sheet: Sheet, loop: LoopPlaces) -> Iterator[Row | Group]:
    from renderer.ground.tapes import found_within

    if len(sheet.job.lay.loops) > 1:
        yield loop_group(sheet, loop.loop)
    sides, ways = found_of(sheet, loop)
    named = {place.name: way for place, way in zip(loop.places, ways, strict=True)}
    for place, side, way in zip(loop.places, sides, ways, strict=True):
        within = spread(sheet, found_within(named, place.name))
        yield _row(sheet, loop, place, side, way, within)


def found_of(
    sheet: Sheet, loop: LoopPlaces
) -> tuple[Sequence[SideOffset | None], Sequence[Found | None]]:
    """The edge that each place lies at, and its tapes, or the nearest place that has tapes."""
    import numpy as np

    from renderer.ground.edges import offset_from_side
    from renderer.ground.tapes import marks_of, measured_on

    at = np.array([place.at for place in loop.places])
    first, last = float(loop.loop.at_m[0]), float(loop.loop.at_m[-1])  # without the tails
    on = [min(max(place.at_m, first), last) for place in loop.places]
    sides = offset_from_side(at, sheet.job.setting.edges)
    names = [place.name for place in loop.places]
    ways = sheet.tapes.hopped(at, names, sheet.tapes.found(at))
    passed = [(name, (m,)) for name, m in zip(names, on, strict=True)]
    return sides, measured_on(ways, on, marks_of(ways, passed))


def _row(
    sheet: Sheet,
    loop: LoopPlaces,
    place: Place,
    side: SideOffset | None,
    tie: Found | None,
    within: str,
) -> Row:
    again = place.kind == "finish"  # it lies where START lies
    tapes, hand = tied(sheet, tie)
    start, finish = _ohms(sheet, loop, place)
    return Row(
        (
            place.name,
            _photo(sheet, loop, place),
            place.what,
            "" if again else _edge(sheet, side),
            *(("", "") if again else tapes),
            "" if again else hand,
            "" if again else within,
            sheet.measure.bare(place.at_m),
            start,
            finish,
            _next(sheet, loop, place, whole=True),
            _next(sheet, loop, place, whole=False),
        )
    )


def _photo(sheet: Sheet, loop: LoopPlaces, place: Place) -> str:
    """The number of the crew's photograph of a place; an end of a pair counts by its branch."""
    if place.kind == "finish":
        return ""
    taken = (
        number
        for number, shot in enumerate(shots(sheet), 1)
        if shot.loop is loop.loop and shot.at is not None and shot.at_m is not None
        if abs(shot.at_m - place.at_m) <= NEAR_M and math.dist(shot.at, place.at) <= NEAR_M
    )
    return str(next(taken, ""))


def _edge(sheet: Sheet, side: SideOffset | None) -> str:
    if side is None or side.offset_m > side.edge.setback_m + REACH_M:
        return NONE
    kind = sheet.words(f"point.kind.{side.edge.kind}")
    return sheet.words("point.offset", kind=kind, offset=sheet.measure.bare(side.offset_m))


def _ohms(sheet: Sheet, loop: LoopPlaces, place: Place) -> tuple[str | Styled, str | Styled]:
    """What a meter may read of sound wire to both its ends; none where two wires lie together."""
    if place.kind in ("pair", "start"):
        return "", ""
    start, finish = (
        short_span(sheet, good_of(sheet, length_m))
        for length_m in (place.at_m, loop.loop.length_m - place.at_m)
    )
    return Styled(start, CLOSE_STRONG), "" if place.kind == "finish" else finish


def _next(sheet: Sheet, loop: LoopPlaces, place: Place, *, whole: bool) -> str:
    """Where to test next, or the two places between which the break then lies."""
    if place.order is None:
        return ""
    following = place.order.if_whole if whole else place.order.if_open
    if following is not None:
        return loop.tested[following - 1].name
    words = sheet.words
    ends = (words("point.start"), *(each.name for each in loop.tested), words("point.end"))
    first = place.order.place if whole else place.order.place - 1
    return words("point.between", first=ends[first], last=ends[first + 1])
