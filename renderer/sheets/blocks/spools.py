"""The spools: where each is used and cut, drawn as bars and listed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.primitives import Primitive
from renderer.sheets.kit import box, paragraph
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Styled, Ticks, table
from renderer.sheets.type import CELL, CELL_STRONG, DASHED, RULE, SMALL, STRONG
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from collections.abc import Sequence

    from renderer.ground.lay import SpoolPiece

LABEL_MM = 46.0
BAR_MM = 7.0
BAR_GAP_MM = 2.5
NEAR_M = 0.001


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
        *_bars(sheet),
        *_table(sheet),
        *(paragraph(unused, sheet.width_mm, SMALL) if plan.unused else ()),
    )


def _bars(sheet: Sheet) -> tuple[Piece, ...]:
    pieces = sheet.job.lay.spools.pieces
    lengths = {piece.spool: piece.spool_length_m for piece in pieces}
    label_mm = min(LABEL_MM, 0.4 * sheet.width_mm)
    mm_per_m = (sheet.width_mm - label_mm) / max(lengths.values())
    return tuple(_bar(sheet, spool, lengths[spool], mm_per_m) for spool in sorted(lengths))


def _bar(sheet: Sheet, spool: int, length_m: float, mm_per_m: float) -> Piece:
    words, measure = sheet.words, sheet.measure
    stretches = []
    for piece in sheet.job.lay.spools.pieces:
        if piece.spool == spool:
            used = piece.to_m - piece.from_m
            text = words("spools.stretch", length=measure.length(used), loop=piece.loop)
            stretches.append((used * mm_per_m, (text,)))
    label = words("spools.bar", spool=spool, length=measure.length(length_m))
    return spool_bar(label, stretches, length_m * mm_per_m)


def spool_bar(
    label: str, stretches: Sequence[tuple[float, tuple[str, ...]]], length_mm: float
) -> Piece:
    """A bar for one spool: its stretches in mm with the first text that fits, and what is over."""
    items: list[Primitive] = [CELL_STRONG.line(label, 0.0, (BAR_MM - CELL_STRONG.pitch_mm) / 2)]
    x = LABEL_MM
    for used_mm, texts in stretches:
        items.append(box(x, 0.0, used_mm, BAR_MM, RULE))
        fitting = next((text for text in texts if SMALL.width_mm(text) < used_mm - 2), "")
        if fitting:
            middle = x + used_mm / 2
            items.append(SMALL.line(fitting, middle, (BAR_MM - SMALL.pitch_mm) / 2, "middle"))
        x += used_mm
    rest = LABEL_MM + length_mm - x
    if rest > 0.2:
        items.append(box(x, 0.0, rest, BAR_MM, DASHED))
    return Piece(BAR_MM, tuple(items), gap_mm=BAR_GAP_MM)


def _table(sheet: Sheet) -> tuple[Piece, ...]:
    words = sheet.words
    unit = sheet.measure.unit
    columns = (
        Column(words("spools.spool"), 18),
        Column(words("spools.loop"), 30),
        Column(words("spools.from", unit=unit), 24, "end"),
        Column(words("spools.to", unit=unit), 24, "end"),
        Column(words("spools.length", unit=unit), 24, "end"),
        Column(words("spools.then"), 54),
        Column(words("spools.done"), 16, "middle"),
    )
    pieces = sheet.job.lay.spools.pieces
    rows = [_row(sheet, number, piece) for number, piece in enumerate(pieces)]
    return table(columns, rows, sheet.width_mm)


def _row(sheet: Sheet, number: int, piece: SpoolPiece) -> Row:
    bare = sheet.measure.bare
    return Row(
        (
            Styled(str(piece.spool), CELL_STRONG),
            piece.loop,
            bare(piece.from_m),
            bare(piece.to_m),
            bare(piece.to_m - piece.from_m),
            Styled(_then(sheet, number, piece), CELL),
            Ticks((sheet.field_name("spool", number + 1),), sheet.words("spools.done")),
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
