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
from renderer.sheets.table import Cell, Column, Row, Styled, Ticks, Write, abreast, table
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
    """A row per item: needed, to load in full packs, by job, a tick, what came back.

    What is the same for all jobs, as a crew's tools are, stands two abreast after the rest.
    """
    lines = list(enumerate(_lines(sheet), 1))
    told = [each for each in lines if each[1].by_job]
    common = [each for each in lines if not each[1].by_job]
    head = sheet.heading(use, sheet.words("load.practice", star=SIGN))
    return head, *_by_job(sheet, told), *_common(sheet, common)


Numbered = Sequence[tuple[int, Loaded]]


def _by_job(sheet: Sheet, lines: Numbered) -> tuple[Piece, ...]:
    """What jobs take, with the share of each."""
    words = sheet.words
    columns = (
        Column(words("pack-load.loaded"), 17, "middle"),
        Column(words("pack-load.item"), 57),
        Column(words("pack-load.needed"), 20, "end"),
        Column(words("pack-load.load"), 40, "end"),
        Column(words("pack-load.by-job"), 59, style=SMALL),
        Column(words("pack-load.back"), 22, "middle", lined=True),
    )
    rows = []
    for number, line in lines:
        tick, item, load, back = _cells(sheet, number, line)
        rows.append(Row((tick, item, line.needed, load, line.by_job, back)))
    return table(columns, rows, sheet.width_mm)


def _common(sheet: Sheet, lines: Numbered) -> tuple[Piece, ...]:
    """What is loaded once for all jobs, down the left half first."""
    words = sheet.words
    columns = (
        Column(words("pack-load.loaded"), 17, "middle"),
        Column(words("pack-load.item"), 42),
        Column(words("pack-load.load"), 16, "end"),
        Column(words("pack-load.back"), 20, "middle", lined=True),
    )
    cells = [_cells(sheet, number, line) for number, line in lines]
    heads, rows = abreast(columns, cells, sheet.width_mm, 2)
    return table(heads, rows, sheet.width_mm)


def _cells(sheet: Sheet, number: int, line: Loaded) -> tuple[Cell, ...]:
    """Tick, item, what to load, what came back."""
    words = sheet.words
    return (
        Ticks((sheet.field_name("load", number),), words("pack-load.loaded")),
        line.item,
        Styled(line.load, CELL_STRONG),
        Write(sheet.field_name("back", number), tooltip=words("pack-load.back")),
    )


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
