"""How a peg is found again: side, offset and gauge, and two tapes from fixed points."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, NamedTuple

from renderer.language.feet import inches_up

if TYPE_CHECKING:
    from renderer.ground.edges import SideOffset
    from renderer.ground.lay import LoopLay, Peg
    from renderer.ground.tapes import Found
    from renderer.ground.ties import Reference
    from renderer.sheets.sheet import Sheet

NONE = "–"
CM_PER_M = 100.0
BOARD_M = 0.025  # an offset further from its setback is not what the board sets
REACH_M = 0.10  # further than this beyond its setback a side says nothing about a peg


class SetOut(NamedTuple):
    """A peg's side with offset and gauge, its two ties, the hand of their line, their spread.

    ``boardless`` is set where an offset stands without a gauge.
    """

    side: str
    ties: tuple[str, str]
    hand: str
    spread: str
    boardless: bool = False


def set_out(sheet: Sheet, loop: LoopLay, pegs: Sequence[Peg]) -> tuple[SetOut, ...]:
    """How each of some pegs of a loop is found, in words of the sheet."""
    import numpy as np

    from renderer.ground.edges import offset_from_side
    from renderer.ground.tapes import found_by_pegs, found_within

    if not pegs:
        return ()
    points = np.array([(peg.x, peg.y) for peg in pegs])
    sides = offset_from_side(points, sheet.job.setting.edges)
    taped = found_by_pegs(sheet.tapes, loop, points, [peg.at_m for peg in pegs])
    named = {peg.id: way for peg, way in zip(pegs, taped, strict=True)}
    return tuple(
        _set_out(sheet, side, way, spread(sheet, found_within(named, peg.id)))
        for peg, side, way in zip(pegs, sides, taped, strict=True)
    )


def spread_head(sheet: Sheet) -> str:
    """The head of a column of ``spread``."""
    return sheet.words(f"peg.spread.{sheet.measure.units}")


def spread(sheet: Sheet, off_m: float | None) -> str:
    """How near a place is found, rounded up to whole centimetres, as the head says, or inches."""
    if off_m is None:
        return NONE
    if sheet.measure.units == "ft":
        return inches_up(off_m)
    return str(math.ceil(off_m * CM_PER_M))


def reference_name(sheet: Sheet, reference: Reference) -> str:
    """A reference point in words: its name, and what stands there."""
    words = sheet.words
    what = reference.what
    if reference.kinds and reference.kinds != ("building",):
        kinds = words("peg.and").join(words(f"kind.{kind}") for kind in reference.kinds)
        what = words("peg.corner", kinds=kinds)
    return words("peg.reference", name=reference.name, what=what) if what else reference.name


def points_named(sheet: Sheet) -> str:
    """The reference points in words; for corners of lawns also that they may move."""
    points = sheet.references
    named = "; ".join(reference_name(sheet, point) for point in points)
    corners = any(point.kinds and point.kinds != ("building",) for point in points)
    return sheet.words("peg.may-move", points=named) if corners else named


def along_means(sheet: Sheet, ways: Iterable[Found | None], told: str = "") -> str:
    """What stands in place of tapes, in words, where one of the places is found so.

    Nothing that has been ``told`` already.
    """
    from renderer.ground.tapes import Along, OnWire
    from renderer.ground.ties import Tie

    seen = list(ways)
    kinds = {type(way) for way in seen}
    linked = any(isinstance(way, Tie) and any(way.hops) for way in seen)
    means = [sheet.words("peg.tied-means")] if linked else []
    means += [sheet.words("peg.along-means")] if Along in kinds else []
    means += [sheet.words("peg.on-means")] if OnWire in kinds else []
    return "".join(f" {each}" for each in means if each not in told)


def pegs_mean(sheet: Sheet) -> str:
    """The same of the control pegs of all loops, of which a sheet asks in several places."""
    return sheet.whole.once("pegs-mean", lambda: _pegs_mean(sheet))


def _pegs_mean(sheet: Sheet) -> str:
    import numpy as np

    from renderer.ground.tapes import found_by_pegs

    ways: list[Found | None] = []
    for loop in sheet.job.lay.loops:
        controls = [peg for peg in loop.pegs if peg.control]
        at = np.array([(peg.x, peg.y) for peg in controls]).reshape(-1, 2)
        ways += found_by_pegs(sheet.tapes, loop, at, [peg.at_m for peg in controls])
    return along_means(sheet, ways)


def _set_out(sheet: Sheet, found: SideOffset | None, way: Found | None, near: str) -> SetOut:
    if found is None or found.offset_m > found.edge.setback_m + REACH_M:
        return SetOut(NONE, *tied(sheet, way), near)
    kind = found.edge.kind
    by_board = abs(found.offset_m - found.edge.setback_m) <= BOARD_M
    gauge = next((g.name for g in sheet.gauges if by_board and kind in g.kinds), "")
    side = sheet.words(
        "peg.offset",
        kind=sheet.words(f"kind.{kind}"),
        offset=sheet.measure.bare(found.offset_m),
        gauge=gauge,
    ).strip()
    return SetOut(side, *tied(sheet, way), near, boardless=not gauge)


def tied(sheet: Sheet, tie: Found | None) -> tuple[tuple[str, str], str]:
    """Both tapes with their lengths, and the hand of their line, marked where they cross badly.

    Where a place is found along its side instead: how far, and how far off it. Where it is found
    along the wire: from where, and how far on or back.
    """
    from renderer.ground.tapes import Along, OnWire

    if tie is None:
        return (NONE, NONE), NONE
    words, tape = sheet.words, sheet.measure.tape
    if isinstance(tie, Along):
        along = words("peg.along", name=tie.a, length=tape(tie.a_m))
        return (along, words("peg.off", length=tape(tie.offset_m))), NONE
    if isinstance(tie, OnWire):
        way = words("peg.further" if tie.on_m >= 0 else "peg.back", length=tape(abs(tie.on_m)))
        return (words("peg.on-from", name=tie.name), way), NONE
    tapes = tuple(
        words(_held(name, hops), name=name, length=tape(length, tie.inch_parts))
        for name, length, hops in zip((tie.a, tie.b), (tie.a_m, tie.b_m), tie.hops, strict=True)
    )
    mark = words("peg.poor") if tie.quality == "poor" else ""
    return (tapes[0], tapes[1]), words(f"hand.{tie.side}") + mark


def _held(name: str, hops: int) -> str:
    """The word for a tape held at a fixed point, a control peg or a place of the wiring map."""
    if not hops:
        return "peg.tape"
    return "peg.tape-peg" if name.isdecimal() else "peg.tape-place"
