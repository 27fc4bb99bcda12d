"""The load list of a pack: all jobs' spools, pegs and parts once, rounded up to packs once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from renderer.frozen import dataclass
from renderer.job.pack import PackData
from renderer.job.practice import SIGN
from renderer.sheets.pack_words import number_of, pack_on, wire_words
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Styled, Ticks, Write, table
from renderer.sheets.type import CELL_STRONG, SMALL
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.ground.packload import LoadLine


Share = tuple[int, float]  # a job and what it takes of a thing
RUN_LEAST = 3  # jobs that are given as the first to the last


@dataclass(frozen=True, slots=True)
class Loaded:
    """A row of the list as texts."""

    item: str
    needed: str
    load: str
    by_job: str = ""


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A row per item: needed, to load in full packs, by job, a tick, what came back."""
    words = sheet.words
    columns = (
        Column(words("pack-load.loaded"), 17, "middle"),
        Column(words("pack-load.item"), 61),
        Column(words("pack-load.needed"), 20, "end"),
        Column(words("pack-load.load"), 34, "end"),
        Column(words("pack-load.by-job"), 61, style=SMALL),
        Column(words("pack-load.back"), 22, "middle", lined=True),
    )
    rows = [
        Row(
            (
                Ticks((sheet.field_name("load", number),), words("pack-load.loaded")),
                line.item,
                line.needed,
                Styled(line.load, CELL_STRONG),
                line.by_job,
                Write(sheet.field_name("back", number), tooltip=words("pack-load.back")),
            )
        )
        for number, line in enumerate(_lines(sheet), 1)
    ]
    head = sheet.heading(use, words("load.practice", star=SIGN))
    return head, *table(columns, rows, sheet.width_mm)


def _lines(sheet: Sheet) -> Iterator[Loaded]:
    from renderer.ground.packload import pack_load

    pack = pack_on(sheet)
    yield from _spools(sheet, pack)
    lines = pack_load([each.taken for each in pack.told])
    yield from (_line(sheet, pack, line) for line in lines)


def _spools(sheet: Sheet, pack: PackData) -> Iterator[Loaded]:
    words, measure = sheet.words, sheet.measure
    for cutting in pack.cuttings:
        kind = wire_words(sheet, cutting.kind)
        lengths = {each.piece.spool: each.piece.spool_length_m for each in cutting.pieces}
        for spool, length in sorted(lengths.items()):
            jobs = dict.fromkeys(
                number_of(pack, each.job) for each in cutting.pieces if each.piece.spool == spool
            )
            item = words("pack-load.spool", spool=spool, kind=kind)
            told = measure.length(length)
            yield Loaded(item, "", told, words("pack-load.join").join(jobs))


def _line(sheet: Sheet, pack: PackData, line: LoadLine) -> Loaded:
    words = sheet.words
    load = _quantity(sheet, line.load, line.unit)
    if line.pack and line.pack > 1:
        load = words(
            "pack-load.packs", load=load, packs=round(line.load / line.pack), pack=line.pack
        )
    if line.item == "gauge":
        shares = [number_of(pack, job) for job, _ in line.by_job]
    else:
        shares = [_share(sheet, pack, run, line.unit) for run in _runs(line.by_job)]
    if line.item.startswith("tool."):
        load += SIGN  # how many a crew carries
    item = words(f"item.{line.item}", of=line.of)
    needed = "" if line.needed == line.load else _quantity(sheet, line.needed, line.unit)
    return Loaded(item, needed, load, words("pack-load.join").join(shares))


def _runs(by_job: Iterable[Share]) -> Iterator[Sequence[Share]]:
    """The shares in order; jobs that follow each other and take the same come as one run."""
    for _, run in groupby(enumerate(by_job), key=lambda at: (at[1][0] - at[0], at[1][1])):
        shares = [share for _, share in run]
        yield from [shares] if len(shares) >= RUN_LEAST else [[share] for share in shares]


def _share(sheet: Sheet, pack: PackData, run: Sequence[Share], unit: str) -> str:
    words = sheet.words
    (first, one), (last, _) = run[0], run[-1]
    share = _quantity(sheet, one, unit)
    job = number_of(pack, first)
    if len(run) == 1:
        return words("pack-load.share", job=job, share=share)
    return words("pack-load.run", first=job, last=number_of(pack, last), share=share)


def _quantity(sheet: Sheet, quantity: float, unit: str) -> str:
    return (
        sheet.measure.length(quantity) if unit == "m" else sheet.measure.numbers.grouped(quantity)
    )
