"""What lies elsewhere: wire laid anew and taken up, pegs set, moved and pulled, splices."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from renderer.sheets.change_words import legs_between, numbers
from renderer.sheets.kit import note_lines
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, table
from renderer.sheets.type import CLOSE_PAD_MM, TEXT
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.compare.work import Piece as Laid
    from renderer.job import Job

MOVED_MOST = 12  # moved pegs that are listed one by one


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A row per stretch of wire, then a line for each kind of other thing; nothing if all stays."""
    from renderer.compare import work

    found, words = sheet.difference, sheet.words
    task, unit = work(found), sheet.measure.unit
    columns = (
        Column(words("diff.done"), 28, style=TEXT),
        Column(words("diff.legs"), 98, style=TEXT),
        Column(words("diff.from", unit=unit), 22, "end", TEXT),
        Column(words("diff.to", unit=unit), 22, "end", TEXT),
        Column(words("diff.length", unit=unit), 20, "end", TEXT),
    )
    rows = [_row(sheet, found.new, "laid", piece) for piece in task.laid]
    rows += [_row(sheet, found.old, "taken-up", piece) for piece in task.taken_up]
    notes = tuple(_notes(sheet))
    if not rows and not notes:
        return ()
    return (
        sheet.heading(use),
        *(table(columns, rows, sheet.width_mm, pad_mm=CLOSE_PAD_MM) if rows else ()),
        *note_lines(notes, sheet.width_mm, TEXT),
    )


def _row(sheet: Sheet, job: Job, key: str, piece: Laid) -> Row:
    bare, loop = sheet.measure.bare, job.loop_of(piece.loop)
    legs = legs_between(sheet, loop, piece.from_m, piece.to_m)
    if len(job.lay.loops) > 1:
        legs = sheet.words("diff.of-loop", loop=piece.loop, what=legs)
    return Row(
        (
            sheet.words(f"diff.{key}"),
            legs,
            bare(piece.from_m),
            bare(piece.to_m),
            bare(piece.length_m),
        )
    )


def _notes(sheet: Sheet) -> Iterator[str]:
    found, words = sheet.difference, sheet.words
    for key, pegs in (
        ("pegs-set", found.pegs_gained),
        ("pegs-pulled", found.pegs_lost),
    ):
        if pegs:
            yield words.count(f"diff.{key}", len(pegs), numbers=numbers(sheet, pegs))
    if found.pegs_moved:
        moved = [
            words(
                "diff.peg-off",
                peg=new.id,
                off=sheet.measure.length(math.dist((old.x, old.y), (new.x, new.y))),
            )
            for old, new in found.pegs_moved
        ]
        yield words("diff.pegs-moved", pegs=words.listed(moved, MOVED_MOST))
    for key, splices in (
        ("splices-made", found.splices_gained),
        ("splices-gone", found.splices_lost),
    ):
        if splices:
            told = [
                words("diff.splice", splice=each.id, at=sheet.measure.length(each.at_m))
                for each in splices
            ]
            yield words(f"diff.{key}", splices=words.listed(told))
