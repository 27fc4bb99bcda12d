"""The spools: where each is used and cut, drawn as bars and listed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from renderer.primitives import Primitive
from renderer.sheets.compact import FINE, FINE_STRONG, fitted, rows_of
from renderer.sheets.kit import box, paragraph
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Box, Column, Row, Styled
from renderer.sheets.type import CELL_STRONG, DASHED, RULE, SMALL, STRONG
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from collections.abc import Sequence

    from renderer.ground.lay import SpoolPiece

LABEL_MM = 46.0
BAR_MM = 7.0
BAR_GAP_MM = 2.5
NEAR_M = 0.001
LENGTH_AT, LOOP_AT = 4, 1  # the places of a piece's length and loop in its row
T = TypeVar("T")


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """Bars to one scale, a row per piece of wire, and what stock is missing."""
    plan = sheet.job.lay.spools
    if not plan.pieces:
        return ()
    words, measure = sheet.words, sheet.measure
    short = words("spools.short", length=measure.length(plan.short_m)) if plan.short_m else ""
    unused = words(
        "spools.unused", lengths=", ".join(measure.length(length) for length in plan.unused)
    )
    return (
        sheet.heading(use),
        *(paragraph(short, sheet.width_mm, STRONG) if short else ()),
        *(() if _are_plain(sheet) else _bars(sheet)),
        *_table(sheet),
        *(paragraph(unused, sheet.width_mm, SMALL) if plan.unused else ()),
    )


def _are_plain(sheet: Sheet) -> bool:
    """Whether bars would say no more than the rows, in a column: each spool is used in one go."""
    used = [piece.spool for piece in sheet.job.lay.spools.pieces]
    return bool(sheet.page_mm) and len(set(used)) == len(used)


def _bars(sheet: Sheet) -> tuple[Piece, ...]:
    pieces = sheet.job.lay.spools.pieces
    lengths = {piece.spool: piece.spool_length_m for piece in pieces}
    label_mm = min(LABEL_MM, 0.4 * sheet.width_mm)
    mm_per_m = (sheet.width_mm - label_mm) / max(lengths.values())
    return tuple(
        _bar(sheet, spool, lengths[spool], mm_per_m, label_mm) for spool in sorted(lengths)
    )


def _bar(sheet: Sheet, spool: int, length_m: float, mm_per_m: float, label_mm: float) -> Piece:
    words, measure = sheet.words, sheet.measure
    stretches = []
    for piece in sheet.job.lay.spools.pieces:
        if piece.spool == spool:
            used = piece.to_m - piece.from_m
            text = words("spools.stretch", length=measure.length(used), loop=piece.loop)
            stretches.append((used * mm_per_m, (text,)))
    label = words("spools.bar", spool=spool, length=measure.length(length_m))
    return spool_bar(label, stretches, length_m * mm_per_m, label_mm)


def spool_bar(
    label: str,
    stretches: Sequence[tuple[float, tuple[str, ...]]],
    length_mm: float,
    label_mm: float = LABEL_MM,
) -> Piece:
    """A bar for one spool: its stretches in mm with the first text that fits, and what is over."""
    items: list[Primitive] = [CELL_STRONG.line(label, 0.0, (BAR_MM - CELL_STRONG.pitch_mm) / 2)]
    x = label_mm
    for used_mm, texts in stretches:
        items.append(box(x, 0.0, used_mm, BAR_MM, RULE))
        fitting = next((text for text in texts if SMALL.width_mm(text) < used_mm - 2), "")
        if fitting:
            middle = x + used_mm / 2
            items.append(SMALL.line(fitting, middle, (BAR_MM - SMALL.pitch_mm) / 2, "middle"))
        x += used_mm
    rest = label_mm + length_mm - x
    if rest > 0.2:
        items.append(box(x, 0.0, rest, BAR_MM, DASHED))
    return Piece(BAR_MM, tuple(items), gap_mm=BAR_GAP_MM)


def _table(sheet: Sheet) -> tuple[Piece, ...]:
    """A row per piece of wire; in a column of the page length and loop stand on the bar only."""
    words = sheet.words
    unit = sheet.measure.unit
    columns: tuple[Column, ...] = (
        Column(words("spools.spool"), 0, style=FINE),
        Column(words("spools.loop"), 0, style=FINE),
        Column(words("spools.from", unit=unit), 0, "end", FINE),
        Column(words("spools.to", unit=unit), 0, "end", FINE),
        Column(words("spools.length", unit=unit), 0, "end", FINE),
        Column(words("spools.then"), 1, style=FINE),
        Column(words("spools.done"), 0, "middle"),
    )
    pieces = sheet.job.lay.spools.pieces
    rows = [_row(sheet, number, piece) for number, piece in enumerate(pieces)]
    if sheet.page_mm:
        for place in (LENGTH_AT, LOOP_AT)[: 1 if len(sheet.job.lay.loops) > 1 else 2]:
            columns = _without(columns, place)
            rows = [replace(row, cells=_without(row.cells, place)) for row in rows]
    return rows_of(fitted(columns, rows, sheet.width_mm), rows, sheet.width_mm)


def _without(each: tuple[T, ...], place: int) -> tuple[T, ...]:
    return (*each[:place], *each[place + 1 :])


def _row(sheet: Sheet, number: int, piece: SpoolPiece) -> Row:
    bare = sheet.measure.bare
    return Row(
        (
            Styled(str(piece.spool), FINE_STRONG),
            piece.loop,
            bare(piece.from_m),
            bare(piece.to_m),
            bare(piece.to_m - piece.from_m),
            _then(sheet, number, piece),
            Box(sheet.field_name("spool", number + 1), sheet.words("spools.done")),
        )
    )


def _then(sheet: Sheet, number: int, piece: SpoolPiece) -> str:
    """What comes at the end of a piece: a splice, the loop's end, and what is left over."""
    words, plan = sheet.words, sheet.job.lay.spools
    loop = sheet.job.loop_of(piece.loop)
    splice = next((s for s in loop.splices if abs(s.at_m - piece.to_m) < NEAR_M), None)
    end = words("spools.splice", splice=splice.id) if splice else words("spools.end")
    last = all(other.spool != piece.spool for other in plan.pieces[number + 1 :])
    over = next((cut.length_m for cut in plan.offcuts if cut.spool == piece.spool), 0.0)
    if not last or over < NEAR_M:
        return end
    return words("spools.over", end=end, length=sheet.measure.length(over))
