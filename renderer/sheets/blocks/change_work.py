"""A later change as work: where to cut, what to lay and take up, what to measure afterwards."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from renderer.sheets.change_words import legs_between, numbers
from renderer.sheets.compact import FINE, abreast, listed
from renderer.sheets.draft_notice import doubled_paragraph
from renderer.sheets.kit import note_lines, paragraph, subheading
from renderer.sheets.piece import Piece, height_of, with_foot
from renderer.sheets.setting_out import along_means, tied
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, table
from renderer.sheets.type import CLOSE_PAD_MM, TEXT, TEXT_STRONG
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.compare import Work
    from renderer.compare.work import Piece as Laid
    from renderer.ground.lay import Peg, Splice
    from renderer.ground.tapes import Found
    from renderer.job import Job
    from renderer.sheets.compact import Build

STEPS_MOST = 20
ONE_CUT_M = 0.03  # two new splices no further apart than this are made at one cut


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """What is needed, the cuts with their tapes, the steps in order; or that there is nothing."""
    from renderer.compare import work

    task, found = work(sheet.difference), sheet.difference
    if not (task.laid or task.taken_up or task.joints or found.pegs_gained or found.pegs_lost):
        return sheet.heading(use), *paragraph(sheet.words("work.none"), sheet.width_mm, TEXT)
    cuts = tuple(_cuts(sheet, task))
    return (
        sheet.heading(use),
        *doubled_paragraph(
            sheet, lambda each: each.words("work.services"), sheet.width_mm, TEXT_STRONG
        ),
        *_needed(sheet, task),
        *_cut_table(sheet, cuts),
        subheading(sheet.words("work.order"), sheet.width_mm),
        *_steps(sheet, task),
    )


def _needed(sheet: Sheet, task: Work) -> tuple[Piece, ...]:
    texts = tuple(_needs(sheet, task))
    half = (len(texts) + 1) // 2

    def lines(part: Sequence[str]) -> Build:
        return lambda width_mm: note_lines(part, width_mm, TEXT)

    beside = abreast(sheet, lines(texts[:half]), lines(texts[half:]))
    return min(beside, lines(texts)(sheet.width_mm), key=height_of)


def _needs(sheet: Sheet, task: Work) -> Iterator[str]:
    """What the crew takes along that day, and what it leaves with."""
    found, words, measure = sheet.difference, sheet.words, sheet.measure
    wire = found.new.plan.wire
    taken = measure.length(task.taken_up_m)
    if task.laid:
        order_m = task.laid_m * (1.0 + wire.slack_percent / 100.0)
        laid = measure.length(task.laid_m)
        yield words("work.wire", laid=laid, ordered=measure.ordered(order_m), taken=taken)
        yield from _spare(sheet, order_m)
    else:
        yield words("work.only-up", taken=taken)
    yield words.count("work.connectors", len(task.joints))
    if task.ends_uncut:
        yield words.count("work.uncut", task.ends_uncut)
    if found.pegs_gained:
        count = len(found.pegs_gained)
        take = count + math.ceil(count * wire.peg_spare_percent / 100.0)
        pegs = numbers(sheet, found.pegs_gained)
        yield words.count("work.pegs", count, take=str(take), numbers=pegs)
    if found.pegs_lost:
        pegs = numbers(sheet, found.pegs_lost)
        yield words.count("diff.pegs-pulled", len(found.pegs_lost), numbers=pegs)
    yield from _setbacks(sheet)


def _spare(sheet: Sheet, order_m: float) -> Iterator[str]:
    """The shortest rest of the laying that is enough, as long as no change may have taken it."""
    old = sheet.difference.old
    if len(old.records) == 1:
        rests = [each.length_m for each in old.lay.spools.offcuts if each.length_m >= order_m]
        if rests:
            yield sheet.words("work.spare", length=sheet.measure.length(min(rests)))


def _setbacks(sheet: Sheet) -> Iterator[str]:
    """How far the wire keeps from what is new."""
    old, new = (job.plan for job in (sheet.difference.old, sheet.difference.new))
    there = {each.name for each in old.obstacles}
    setback = new.machine.setback
    told = [
        f"{each.name} {sheet.measure.length(setback[each.kind])}"
        for each in new.obstacles
        if each.name not in there and each.kind != "firm"
    ]
    if told:
        yield sheet.words("work.setbacks", setbacks=", ".join(told))


def _cuts(sheet: Sheet, task: Work) -> Iterator[tuple[str, tuple[Splice, ...]]]:
    """The places where the wire is cut, each with its loop and the splices that are made there."""
    left = list(task.joints)
    while left:
        loop, first = left.pop(0)
        same = [
            each
            for name, each in left
            if name == loop and math.dist((each.x, each.y), (first.x, first.y)) <= ONE_CUT_M
        ]
        left = [pair for pair in left if pair[1] not in same]
        yield loop, (first, *same)


def _cut_table(sheet: Sheet, cuts: tuple[tuple[str, tuple[Splice, ...]], ...]) -> tuple[Piece, ...]:
    """Each cut on the wire as it lies: leg, distance from START, nearest peg, tapes."""
    import numpy as np

    if not cuts:
        return ()
    words, unit = sheet.words, sheet.measure.unit
    columns = (
        Column(words("work.cut"), 26, style=TEXT_STRONG),
        Column(words("work.where"), 56, style=TEXT),
        Column(words("work.along", unit=unit), 24, "end", TEXT),
        Column(words("work.peg"), 30, style=TEXT),
        Column(words("point.tape-1"), 22, "end", TEXT),
        Column(words("point.tape-2"), 22, "end", TEXT),
        Column(words("point.hand"), 10, "middle", TEXT),
    )
    ways = sheet.tapes.found(np.array([(made[0].x, made[0].y) for _, made in cuts]))
    rows = [_cut(sheet, loop, made, way) for (loop, made), way in zip(cuts, ways, strict=True)]
    means = words("photo.hand") + along_means(sheet, ways)
    return (
        subheading(words("work.cuts"), sheet.width_mm),
        *with_foot(
            table(columns, rows, sheet.width_mm, pad_mm=CLOSE_PAD_MM),
            paragraph(means, sheet.width_mm, FINE),
        ),
    )


def _cut(sheet: Sheet, loop: str, made: tuple[Splice, ...], way: Found | None) -> Row:
    from renderer.compare.work import past

    old = sheet.difference.old
    laid = {each.name: each for each in old.lay.loops}
    tapes, hand = tied(sheet, way)
    name = sheet.words.listed([each.id for each in made])
    place = (made[0].x, made[0].y)
    at = past(laid[loop], place) if loop in laid else None
    where = along = ""
    if at is not None:
        where = legs_between(sheet, laid[loop], at - 0.1, at + 0.1)
        along = sheet.measure.bare(at)
    return Row((name, where, along, _nearest_peg(sheet, old, place), *tapes, hand))


def _nearest_peg(sheet: Sheet, job: Job, place: tuple[float, float]) -> str:
    def away(peg: Peg) -> float:
        return math.dist((peg.x, peg.y), place)

    if not job.pegs:
        return ""
    peg = min(job.pegs, key=away)
    return sheet.words("work.from-peg", peg=peg.id, away=sheet.measure.length(away(peg)))


def _steps(sheet: Sheet, task: Work) -> tuple[Piece, ...]:
    signs = map(str, range(1, STEPS_MOST))
    return listed(_said(sheet, task), sheet.width_mm, signs, TEXT)


def _said(sheet: Sheet, task: Work) -> Iterator[str]:
    words, found = sheet.words, sheet.difference
    yield words("work.before", reads=_bands(sheet, found.old))
    if task.joints:
        yield words("work.cut-there")
    if task.taken_up:
        yield words("work.take-up", legs=_legs(sheet, found.old, task.taken_up))
    if task.laid:
        legs = _legs(sheet, found.new, task.laid)
        yield words("work.lay", legs=legs, laid=sheet.measure.length(task.laid_m))
    if task.joints:
        yield words.count("work.join", len(task.joints))
    yield words("work.after", reads=_bands(sheet, found.new))
    yield words("work.lap")
    yield words("work.record")


def _legs(sheet: Sheet, job: Job, pieces: Sequence[Laid]) -> str:
    """The legs of each piece and its length, and where it is if others are of the same legs."""
    named = [legs_between(sheet, job.loop_of(each.loop), each.from_m, each.to_m) for each in pieces]
    times = Counter(named)
    told = []
    for legs, piece in zip(named, pieces, strict=True):
        length, ends = sheet.measure.length(piece.length_m), (piece.from_m, piece.to_m)
        first, last = map(sheet.measure.bare, ends)
        told.append(
            sheet.words(
                "work.stretch" if times[legs] == 1 else "work.stretch-at",
                legs=legs,
                length=length,
                first=first,
                last=last,
            )
        )
    return "; ".join(told)


def _bands(sheet: Sheet, job: Job) -> str:
    """What a meter should show on each loop of a job, closed, at 20 degC."""
    told = []
    for loop in job.lay.loops:
        band = job.readings.good(loop)
        fixed = sheet.measure.numbers.fixed
        reads = sheet.words("work.band", low=fixed(band.low, 2), high=fixed(band.high, 2))
        several = len(job.lay.loops) > 1
        told.append(f"{loop.name} {reads}" if several else reads)
    return ", ".join(told)
