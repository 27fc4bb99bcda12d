"""The spools over all jobs: what one plan saves, bars, and where each piece goes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from renderer.job.pack import PackData
from renderer.job.practice import Figures
from renderer.job.summary import Summary
from renderer.sheets.blocks.spools import LABEL_MM, spool_bar
from renderer.sheets.kit import paragraph, subheading
from renderer.sheets.pack_words import number_of, pack_on, wire_words
from renderer.sheets.piece import Piece, with_foot
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Styled, Ticks, table
from renderer.sheets.type import CELL_STRONG, SMALL, STRONG
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.ground.pack import Cutting, PackPiece, Tally

NEAR_M = 1e-3


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """For each kind of wire the gain in numbers, a bar per spool, and a row per piece."""
    pack = pack_on(sheet)
    if not pack.cuttings:
        return ()
    words = sheet.words
    why = paragraph(words("pack-spools.why"), sheet.width_mm, SMALL, keep=True)
    pieces = [sheet.heading(use), *why]
    for cutting in pack.cuttings:
        pieces += _cutting(sheet, pack, cutting)
    if any(_figures(sheet, job).sign("repair_stock") for job in pack.told):
        return with_foot(pieces, paragraph(words("pack.practice"), sheet.width_mm, SMALL))
    return tuple(pieces)


def _cutting(sheet: Sheet, pack: PackData, cutting: Cutting) -> Iterator[Piece]:
    words, measure, width = sheet.words, sheet.measure, sheet.width_mm
    yield subheading(words("pack-spools.of", kind=wire_words(sheet, cutting.kind)), width)
    yield from _gain(sheet, cutting)
    if not cutting.proven:
        yield from paragraph(words("pack-spools.searched"), width, SMALL)
    if cutting.together.short_m:
        short = measure.length(cutting.together.short_m)
        yield from paragraph(words("pack-spools.short-of", length=short), width, STRONG)
    yield from _bars(sheet, pack, cutting)
    unused: tuple[Piece, ...] = ()
    if cutting.unused:
        lengths = words("pack-load.join").join(map(measure.length, cutting.unused))
        unused = paragraph(words("pack-spools.unused", lengths=lengths), width, SMALL)
    yield from with_foot(_table(sheet, pack, cutting), unused)


def _gain(sheet: Sheet, cutting: Cutting) -> tuple[Piece, ...]:
    """Each job by itself, all by one plan, and the difference."""
    words, unit = sheet.words, sheet.measure.unit
    short = bool(cutting.alone.short_m or cutting.together.short_m)
    columns = [
        Column(words("pack-spools.way"), 70),
        Column(words("pack-spools.splices"), 30, "end"),
        Column(words("pack-spools.spools"), 30, "end"),
        Column(words("pack-spools.over", unit=unit), 34, "end"),
    ]
    columns += [Column(words("pack-spools.short", unit=unit), 26, "end")] if short else []
    alone, together = cutting.alone, cutting.together
    rows = [
        _tally(sheet, "alone", alone, short),
        _tally(sheet, "together", together, short),
    ]
    if not short:
        rows.append(_saved(sheet, alone, together))
    return table(columns, rows, sheet.width_mm)


def _tally(sheet: Sheet, way: str, tally: Tally, short: bool) -> Row:
    bare = sheet.measure.bare
    texts = [
        sheet.words(f"pack-spools.{way}"),
        str(tally.splices),
        str(tally.spools),
        bare(tally.over_m),
    ]
    return Row((*texts, bare(tally.short_m)) if short else tuple(texts))


def _saved(sheet: Sheet, alone: Tally, together: Tally) -> Row:
    figures = (
        f"{alone.splices - together.splices:d}",
        f"{alone.spools - together.spools:d}",
        sheet.measure.bare(alone.over_m - together.over_m),
    )
    texts = (sheet.words("pack-spools.gain"), *figures)
    return Row(tuple(Styled(text, CELL_STRONG) for text in texts), strong=True)


def _bars(sheet: Sheet, pack: PackData, cutting: Cutting) -> Iterator[Piece]:
    lengths = {each.piece.spool: each.piece.spool_length_m for each in cutting.pieces}
    if not lengths:
        return
    mm_per_m = (sheet.width_mm - LABEL_MM) / max(lengths.values())
    for spool, length in sorted(lengths.items()):
        own = [each for each in cutting.pieces if each.piece.spool == spool]
        yield _bar(sheet, pack, own, length, mm_per_m)


def _bar(
    sheet: Sheet, pack: PackData, own: Sequence[PackPiece], length_m: float, mm_per_m: float
) -> Piece:
    words, measure = sheet.words, sheet.measure
    stretches = []
    for each in own:
        used, job = each.piece.to_m - each.piece.from_m, number_of(pack, each.job)
        text = words("pack-spools.stretch", job=job, length=measure.length(used))
        stretches.append((used * mm_per_m, (text, job)))
    label = words("spools.bar", spool=own[0].piece.spool, length=measure.length(length_m))
    return spool_bar(label, stretches, length_m * mm_per_m)


def _table(sheet: Sheet, pack: PackData, cutting: Cutting) -> tuple[Piece, ...]:
    words, unit = sheet.words, sheet.measure.unit
    columns = (
        Column(words("pack-spools.spool"), 15),
        Column(words("pack-spools.job"), 30),
        Column(words("pack-spools.loop"), 24),
        Column(words("pack-spools.from", unit=unit), 22, "end"),
        Column(words("pack-spools.to", unit=unit), 22, "end"),
        Column(words("pack-spools.length", unit=unit), 22, "end"),
        Column(words("pack-spools.then"), 52),
        Column(words("pack-spools.done"), 14, "middle"),
    )
    rows = [_row(sheet, pack, cutting, number) for number in range(len(cutting.pieces))]
    return table(columns, rows, sheet.width_mm)


def _row(sheet: Sheet, pack: PackData, cutting: Cutting, number: int) -> Row:
    bare, each = sheet.measure.bare, cutting.pieces[number]
    piece = each.piece
    name = sheet.field_name("piece", piece.spool, number + 1)
    return Row(
        (
            Styled(str(piece.spool), CELL_STRONG),
            number_of(pack, each.job),
            piece.loop,
            bare(piece.from_m),
            bare(piece.to_m),
            bare(piece.to_m - piece.from_m),
            "; ".join(_then(sheet, pack, cutting, number)),
            Ticks((name,), sheet.words("pack-spools.done")),
        )
    )


def _then(sheet: Sheet, pack: PackData, cutting: Cutting, number: int) -> Iterator[str]:
    """What comes at the end of a piece: a splice or the loop's end, then where the rest goes."""
    words, measure = sheet.words, sheet.measure
    each = cutting.pieces[number]
    told = pack.told[each.job]
    own = (splice for loop, splice in told.splices if loop == each.piece.loop)
    splice = next((s for s in own if abs(s.at_m - each.piece.to_m) < NEAR_M), None)
    yield words("pack-spools.splice", splice=splice.id) if splice else words("pack-spools.complete")
    later = cutting.pieces[number + 1 :]
    following = next((p for p in later if p.piece.spool == each.piece.spool), None)
    if following is not None:
        yield words("pack-spools.next", job=number_of(pack, following.job))
        return
    left = next((c for c in cutting.offcuts if c.spool == each.piece.spool), None)
    if left is not None and left.length_m > NEAR_M:
        figures = _figures(sheet, told)
        key = "keep" if left.length_m >= figures["repair_stock"] else "end"
        star = figures.sign("repair_stock")
        yield words(f"pack-spools.{key}", length=measure.length(left.length_m), star=star)


def _figures(sheet: Sheet, job: Summary) -> Figures:
    return Figures(job.machine, sheet.measure.units)
