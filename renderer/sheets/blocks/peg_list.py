"""The peg list: control pegs with distance, offset, gauge and ties; those between as a number."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Annotated, Literal, NamedTuple

from renderer.plan.values import YesNo, word_of
from renderer.sheets.blocks.peg_rows import LEAST_PAD_MM, Stop, close_rows
from renderer.sheets.blocks.wire_list import loop_group
from renderer.sheets.cells import ROW_PAD_MM
from renderer.sheets.compact import FINE
from renderer.sheets.kit import paragraph
from renderer.sheets.piece import Piece
from renderer.sheets.setting_out import SetOut, pegs_mean, points_named, set_out, spread_head
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Box, Column, Group, Row, Styled, Write, table
from renderer.sheets.type import CELL_STRONG, SMALL, WRITE_ROW_MM, Style
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.ground.lay import LoopLay, Peg

TEXT = Style("condensed", 9.5)
CHAINED = Style("condensed_bold", 9.5)
Which = Literal["control", "all"]
NEAR_M = 0.001
EXAMPLE_M = 3.2  # of a distance from a control peg


class Widths(NamedTuple):
    """Shares of the columns; feet, inches and a column of spreads leave less to the others."""

    reason: float
    at: float
    chained: float
    between: float
    side: float
    tie: float
    hand: float
    spread: float
    as_built: float


# by the unit, and whether the list has a column of spreads
WIDTHS = {
    ("m", False): Widths(17, 19, 22, 18, 30, 23, 9, 0, 16),
    ("ft", False): Widths(17, 19, 27, 20, 28, 23, 9, 0, 15),
    ("m", True): Widths(16, 19, 21, 19, 30, 20, 8, 10, 14),
    ("ft", True): Widths(16, 18, 26, 19, 28, 22, 8, 8, 13),
}


class Station(NamedTuple):
    """A control peg as the wire comes to it, and the running distance there."""

    at_m: float
    peg: Peg


class PegListUse(BlockUse):
    """``pegs: all`` lists the pegs between the control pegs as well, ``brief`` explains little.

    A brief list has no column to write in: a peg that came to stand elsewhere has its row among
    the changes as built.
    """

    pegs: Annotated[Which, word_of(Which, "choice")] = "control"
    brief: YesNo = False


def build(sheet: Sheet, use: PegListUse) -> tuple[Piece, ...]:
    """The reference points, then the control pegs in the order of the walk, loop after loop.

    In a column a brief list has two lines a row, so that nearly twice as many stand on a page; what
    explains it may then stand at the foot of a column and the rows begin in the next.
    """
    words = sheet.words
    intro = words("peg.brief" if use.brief else "peg.intro", example=sheet.measure.bare(EXAMPLE_M))
    surveyed = _surveyed(sheet)
    if surveyed:
        intro = f"{intro} {words('peg.spread-means')}"
    if not any(loop.pegs for loop in sheet.job.lay.loops):
        return ()  # a draft of a garden that no wire can be laid in
    stops: list[Stop | Group] = []
    for loop in sheet.job.lay.loops:
        stops += _loop(sheet, loop, use)
    intro = " ".join([intro, *_boards(sheet, stops)])
    listed = close_rows if use.brief and sheet.page_mm else partial(_wide, brief=use.brief)
    head = sheet.heading(use)
    return (
        # the back of the leaf is theirs where the front is full enough without them
        replace(head, fresh=True) if use.brief else head,
        *paragraph(intro, sheet.width_mm, _told(use.brief), keep=not sheet.page_mm),
        *_references(sheet, use.brief),
        *listed(sheet, stops, surveyed=surveyed),
    )


def _boards(sheet: Sheet, stops: Sequence[Stop | Group]) -> Iterator[str]:
    """What the offsets of the pegs listed say of the boards, as far as they say it."""
    if any(gauge.marks_m for gauge in sheet.gauges):
        yield sheet.words("gauge.means")
    set_pegs = (stop.where for stop in stops if isinstance(stop, Stop) and stop.where is not None)
    if sheet.gauges and any(where.boardless for where in set_pegs):
        yield sheet.words("gauge.no-board")


def _wide(
    sheet: Sheet, stops: Sequence[Stop | Group], *, surveyed: bool, brief: bool
) -> tuple[Piece, ...]:
    """A row of one line for each stop, over the whole width."""
    words, unit = sheet.words, sheet.measure.unit
    widths = WIDTHS[sheet.measure.units, surveyed]
    side = widths.side + (widths.as_built if brief else 0.0)
    columns = (
        Column(words("peg.number"), 11, "end"),
        Column(words("peg.reason"), widths.reason, style=TEXT),
        Column(words("peg.at", unit=unit), widths.at, "end", TEXT),
        Column(words("peg.from", unit=unit), widths.chained, "end", TEXT),
        Column(words("peg.between"), widths.between, "middle", TEXT),
        Column(words("peg.side", unit=unit), side, style=TEXT),
        Column(words("peg.tie-1"), widths.tie, "end", TEXT),
        Column(words("peg.tie-2"), widths.tie, "end", TEXT),
        Column(words("peg.hand"), widths.hand, "middle", TEXT),
        *([Column(spread_head(sheet), widths.spread, "end", TEXT)] if surveyed else []),
        *([] if brief else [Column(words("peg.as-built"), widths.as_built, lined=True)]),
        Column(words("peg.done"), 12, "middle"),
    )
    rows = [
        each if isinstance(each, Group) else _row(each, surveyed=surveyed, brief=brief)
        for each in stops
    ]
    return table(columns, rows, sheet.width_mm, pad_mm=LEAST_PAD_MM if brief else ROW_PAD_MM)


def _row(stop: Stop, *, surveyed: bool, brief: bool) -> Row:
    """A control peg has a row high enough to write in where the list has a column for that."""
    new = stop.where is not None
    where = stop.where or SetOut("", ("", ""), "", "")
    return Row(
        (
            Styled(stop.peg, CELL_STRONG) if new else stop.peg,
            stop.reason,
            stop.along,
            Styled(stop.chained, CHAINED) if new else stop.chained,
            stop.between,
            where.side,
            *where.ties,
            where.hand,
            *([where.spread] if surveyed else []),
            *([] if brief else [stop.built]),
            stop.done,
        ),
        WRITE_ROW_MM if new and not brief else 0.0,
    )


def _surveyed(sheet: Sheet) -> bool:
    """Whether the plan states how sure its points are, and so how near its pegs are found."""
    return sheet.job.plan.survey.has_readings


def _told(brief: bool) -> Style:
    """The type of what is explained."""
    return FINE if brief else SMALL


def _references(sheet: Sheet, brief: bool) -> tuple[Piece, ...]:
    """Names of the points taped from, and what each is."""
    if not sheet.references:
        return ()
    text = sheet.words("peg.references", points=points_named(sheet))
    text += pegs_mean(sheet)
    return paragraph(text, sheet.width_mm, _told(brief), keep=not sheet.page_mm)


def _loop(sheet: Sheet, loop: LoopLay, use: PegListUse) -> Iterator[Stop | Group]:
    """A stop each time the wire comes to a control peg.

    It comes twice to a peg at the end of a lead pair and to the first, so that distances start
    anew there and the pegs of a ring are listed before the wire leaves it.
    """
    if len(sheet.job.lay.loops) > 1:
        yield loop_group(sheet, loop)
    controls = [peg for peg in loop.pegs if peg.control]
    found = dict(zip((peg.id for peg in controls), set_out(sheet, loop, controls), strict=True))
    before: Station | None = None
    order = sorted(range(len(loop.pegs)), key=lambda number: loop.pegs[number].at_m)
    for here in _stations(controls):
        between = _between(loop, order, before, here)
        if use.pegs == "all":
            yield from (_plain(sheet, each, before) for each in between)
        if here.at_m == here.peg.at_m:
            yield _first(sheet, here, before, between, found[here.peg.id])
        else:
            yield _again(sheet, loop, here, before, between)
        before = here


def _stations(controls: Sequence[Peg]) -> Sequence[Station]:
    passed = [Station(peg.at_m, peg) for peg in controls]
    passed += [Station(peg.also_at_m, peg) for peg in controls if peg.also_at_m is not None]
    return sorted(passed, key=lambda station: station.at_m)


def _between(
    loop: LoopLay, order: Sequence[int], before: Station | None, here: Station
) -> Sequence[Peg]:
    """The pegs between two stations; ``order`` are the numbers of all along the wire."""
    start = before.at_m if before else 0.0

    def at_m(number: int) -> float:
        return loop.pegs[number].at_m

    first = bisect_right(order, start + NEAR_M, key=at_m)
    last = bisect_left(order, here.at_m - NEAR_M, key=at_m)
    return [loop.pegs[number] for number in sorted(order[first:last])]


def _first(
    sheet: Sheet, here: Station, before: Station | None, between: Sequence[Peg], where: SetOut
) -> Stop:
    """The wire at a control peg that is set."""
    words, peg = sheet.words, here.peg
    return Stop(
        peg.id,
        words(f"reason.{peg.reason}"),
        sheet.measure.bare(peg.at_m),
        _chained(sheet, peg.at_m, before),
        _count(sheet, between),
        where,
        Write(sheet.field_name("peg", peg.id, "as-built"), tooltip=words("peg.as-built")),
        _set(sheet, peg),
    )


def _again(
    sheet: Sheet, loop: LoopLay, here: Station, before: Station | None, between: Sequence[Peg]
) -> Stop:
    """The wire back at a peg that stands already."""
    closed = here.peg.id == loop.pegs[0].id
    return Stop(
        here.peg.id,
        sheet.words("reason.close" if closed else "reason.again"),
        sheet.measure.bare(here.at_m),
        _chained(sheet, here.at_m, before),
        _count(sheet, between),
    )


def _plain(sheet: Sheet, peg: Peg, before: Station | None) -> Stop:
    """An ordinary peg: only its distances."""
    return Stop(
        peg.id,
        sheet.words(f"peg.round-{peg.round}"),
        sheet.measure.bare(peg.at_m),
        _chained(sheet, peg.at_m, before),
        done=_set(sheet, peg),
    )


def _set(sheet: Sheet, peg: Peg) -> Box:
    return Box(sheet.field_name("peg", peg.id), sheet.words("peg.done"))


def _chained(sheet: Sheet, at_m: float, before: Station | None) -> str:
    """A distance that starts at a control peg, as surveyors write it: ``14 + 3.20``."""
    if before is None:
        return "–"
    length = sheet.measure.bare(at_m - before.at_m)
    return sheet.words("peg.chained", peg=before.peg.id, length=length)


def _count(sheet: Sheet, between: Sequence[Peg]) -> str:
    first = sum(each.round == 1 for each in between)
    return sheet.words("peg.count", first=first, second=len(between) - first) if between else "–"
