"""The yard sheet: pegs set out from two stakes by their tapes, checked from peg to peg, scored."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from renderer.job.practice import SIGN
from renderer.sheets.blocks.exercise import headed, who
from renderer.sheets.blocks.level import practice_note
from renderer.sheets.kit import paragraph
from renderer.sheets.piece import Piece
from renderer.sheets.setting_out import NONE
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Styled, Write, table
from renderer.sheets.type import BODY, CELL_STRONG, WRITE_ROW_MM
from renderer.sheets.use import BlockUse
from renderer.teaching import practice
from renderer.teaching.levels import Yard, yard

if TYPE_CHECKING:
    from renderer.ground.lay import Peg


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """Nothing where no two points of the garden reach two pegs well."""
    found = yard_of(sheet)
    if found is None:
        return ()
    words, pair = sheet.words, found.pair
    facts = {"one": pair.one.name, "two": pair.two.name}
    apart = sheet.measure.length(pair.apart_m)
    long, wide = (sheet.measure.length(each) for each in found.room_m)
    intro = (
        f"{words('yard.intro', apart=apart, **facts)} {words('yard.room', long=long, wide=wide)}"
    )
    unit = sheet.measure.unit
    columns = (
        Column(words("yard.peg"), 22, style=CELL_STRONG),
        Column(words("task.tape", name=pair.one.name) + unit, 26, "end"),
        Column(words("task.tape", name=pair.two.name) + unit, 26, "end"),
        Column(words("yard.hand"), 24),
        Column(words("yard.check") + unit, 34, "end"),
        Column(words("yard.found") + unit, 24, lined=True),
        Column(words("yard.off"), 18, lined=True),
        Column(words("yard.score"), 16, lined=True),
    )
    most = practice.YARD_SCORES[0] * (len(found.pegs) - 1)
    return (
        headed(sheet, use),
        *who(sheet),
        *paragraph(intro, sheet.width_mm, BODY, gap_mm=2.0),
        *table(columns, list(_rows(sheet, found)), sheet.width_mm),
        *paragraph(_scores(sheet, most), sheet.width_mm, BODY, gap_mm=2.0),
        *practice_note(sheet),
    )


def yard_of(sheet: Sheet) -> Yard | None:
    """Stakes and pegs of the sheet's garden, in a yard of the usual size where they fit one."""
    return yard(sheet.job.lay, sheet.references, practice.YARD_M[sheet.measure.units])


def _rows(sheet: Sheet, found: Yard) -> Iterator[Row]:
    words, bare = sheet.words, sheet.measure.bare
    before: Peg | None = None
    for peg, hand in found.pegs:
        at = (peg.x, peg.y)
        check: str | Styled = NONE
        if before is not None:
            length = bare(math.dist(at, (before.x, before.y)))
            check = Styled(words("yard.to", peg=before.id, length=length), CELL_STRONG)
        tapes = (bare(math.dist(point.at, at)) for point in found.pair)
        spaces = [Write(sheet.field_name("yard", peg.id, key)) for key in ("found", "off", "score")]
        blank = spaces if before else ["", "", ""]
        yield Row((peg.id, *tapes, words(f"yard.{hand}"), check, *blank), WRITE_ROW_MM)
        before = peg


def _scores(sheet: Sheet, most: int) -> str:
    near = [sheet.measure.small(off) for off in practice.YARD_OFF_M[sheet.measure.units]]
    facts = {
        key: value
        for number, (off, score) in enumerate(zip(near, practice.YARD_SCORES, strict=True), 1)
        for key, value in ((f"off{number}", off), (f"score{number}", score))
    }
    return sheet.words("yard.scores", most=most, star=SIGN, **facts)
