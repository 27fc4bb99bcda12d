"""The peg list: control pegs with distance, offset, gauge and ties; those between as a number."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Annotated, Literal

from renderer.plan.values import word_of
from renderer.sheets.blocks.wire_list import loop_group
from renderer.sheets.kit import paragraph
from renderer.sheets.layout import BlockUse
from renderer.sheets.piece import Piece
from renderer.sheets.setting_out import SetOut, reference_name, set_out
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Group, Row, Styled, Ticks, Write, table
from renderer.sheets.type import CELL_STRONG, SMALL, WRITE_ROW_MM, Style

if TYPE_CHECKING:
    from renderer.ground.lay import LoopLay, Peg

TEXT = Style("condensed", 10)
CHAINED = Style("condensed_bold", 10)
Which = Literal["control", "all"]
Station = tuple[float, "Peg"]
NEAR_M = 0.001


class PegListUse(BlockUse):
    """``pegs: all`` lists the pegs between the control pegs as well."""

    pegs: Annotated[Which, word_of(Which, "choice")] = "control"


def build(sheet: Sheet, use: PegListUse) -> tuple[Piece, ...]:
    """The reference points, then a row a control peg, loop after loop."""
    words, unit = sheet.words, sheet.measure.unit
    columns = (
        Column(words("peg.number"), 11, "end"),
        Column(words("peg.reason"), 17, style=TEXT),
        Column(words("peg.at", unit=unit), 17, "end", TEXT),
        Column(words("peg.from", unit=unit), 25, "end"),
        Column(words("peg.between"), 18, "middle", TEXT),
        Column(words("peg.side", unit=unit), 33, style=TEXT),
        Column(words("peg.tie-1"), 20, "end", TEXT),
        Column(words("peg.tie-2"), 20, "end", TEXT),
        Column(words("peg.hand"), 9, "middle", TEXT),
        Column(words("peg.as-built"), 18, lined=True),
        Column(words("peg.done"), 12, "middle"),
    )
    rows = [row for loop in sheet.job.lay.loops for row in _loop(sheet, loop, use.pegs)]
    return (
        sheet.heading(use),
        *paragraph(words("peg.intro"), sheet.width_mm, SMALL, keep=True),
        *_references(sheet),
        *table(columns, rows, sheet.width_mm),
    )


def _references(sheet: Sheet) -> tuple[Piece, ...]:
    """Names of the points taped from, and what each is."""
    told = [reference_name(sheet, point) for point in sheet.references]
    text = sheet.words("peg.references", points="; ".join(told))
    return paragraph(text, sheet.width_mm, SMALL, keep=True) if told else ()


def _loop(sheet: Sheet, loop: LoopLay, which: Which) -> Iterator[Row | Group]:
    if len(sheet.job.lay.loops) > 1:
        yield loop_group(sheet, loop)
    controls = [peg for peg in loop.pegs if peg.control]
    for peg, where in zip(controls, set_out(sheet, controls), strict=True):
        before = _before(controls, peg.at_m)
        between = _between(loop, before, peg.at_m)
        if which == "all":
            yield from (_plain(sheet, each, before) for each in between)
        yield _row(sheet, peg, before, between, where)
    yield _closing(sheet, loop, controls)


def _before(controls: Sequence[Peg], at_m: float) -> Station | None:
    """The control peg that the wire passes last before a running distance.

    A peg at the start of a lead pair is passed twice: distances start anew there on the way back.
    """
    passed = [(at, peg) for peg in controls for at in (peg.at_m, peg.also_at_m) if at is not None]
    return max(
        ((at, peg) for at, peg in passed if at < at_m - NEAR_M), key=lambda s: s[0], default=None
    )


def _between(loop: LoopLay, before: Station | None, at_m: float) -> Sequence[Peg]:
    start = before[0] if before else 0.0
    return [peg for peg in loop.pegs if start + NEAR_M < peg.at_m < at_m - NEAR_M]


def _row(
    sheet: Sheet, peg: Peg, before: Station | None, between: Sequence[Peg], where: SetOut
) -> Row:
    words = sheet.words
    return Row(
        (
            Styled(peg.id, CELL_STRONG),
            words(f"reason.{peg.reason}"),
            sheet.measure.bare(peg.at_m),
            Styled(_chained(sheet, peg.at_m, before), CHAINED),
            _count(sheet, between),
            where.side,
            *where.ties,
            where.hand,
            Write(sheet.field_name("peg", peg.id, "as-built"), tooltip=words("peg.as-built")),
            Ticks((sheet.field_name("peg", peg.id),), words("peg.done")),
        ),
        WRITE_ROW_MM,
    )


def _closing(sheet: Sheet, loop: LoopLay, controls: Sequence[Peg]) -> Row:
    """The wire back at the first peg."""
    first = loop.pegs[0]
    end = loop.length_m - loop.tail_m
    before = _before(controls, end)
    return Row(
        (
            Styled(first.id, CELL_STRONG),
            sheet.words("reason.close"),
            sheet.measure.bare(end),
            Styled(_chained(sheet, end, before), CHAINED),
            _count(sheet, _between(loop, before, end)),
            *("",) * 4,
            Write(sheet.field_name("peg", loop.name, "close", "as-built")),
            Ticks((sheet.field_name("peg", loop.name, "close"),), sheet.words("peg.done")),
        ),
        WRITE_ROW_MM,
    )


def _plain(sheet: Sheet, peg: Peg, before: Station | None) -> Row:
    """An ordinary peg: only its distances."""
    words = sheet.words
    chained = _chained(sheet, peg.at_m, before)
    tick = Ticks((sheet.field_name("peg", peg.id),), words("peg.done"))
    return Row(
        (peg.id, words(f"peg.round-{peg.round}"), sheet.measure.bare(peg.at_m), chained,
         *("",) * 6, tick)
    )  # fmt: skip


def _chained(sheet: Sheet, at_m: float, before: Station | None) -> str:
    """A distance that starts at a control peg, as surveyors write it: ``14 + 3.20``."""
    if before is None:
        return "–"
    length = sheet.measure.bare(at_m - before[0])
    return sheet.words("peg.chained", peg=before[1].id, length=length)


def _count(sheet: Sheet, between: Sequence[Peg]) -> str:
    first = sum(each.round == 1 for each in between)
    return sheet.words("peg.count", first=first, second=len(between) - first) if between else "–"
