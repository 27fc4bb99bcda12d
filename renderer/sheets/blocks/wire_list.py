"""The wire list: leg by leg with running distances from the first terminal."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import replace
from operator import itemgetter
from typing import TYPE_CHECKING, NamedTuple

from renderer.ground.parts import part_names
from renderer.language.numbers import NO_BREAK
from renderer.sheets.compact import FINE, FINE_STRONG, fitted, rows_of
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Box, Column, Group, Row, Runs, Styled
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.ground.lay import Lead, Leg, LoopLay

NEAR_M = 0.001
END_AT = 4  # the place of where a leg ends in its row


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A row per leg; a group and a total per loop.

    In a column of the page the pegs stand behind the leg, and a leg begins where the one above it
    ends.
    """
    words, unit = sheet.words, sheet.measure.unit
    loops = sheet.job.lay.loops
    if not loops:
        return ()
    columns: tuple[Column, ...] = (
        Column(words("wire.number"), 0, "end", FINE),
        Column(words("wire.leg"), 1, style=FINE),
        Column(words("wire.pegs"), 0, style=FINE),
        Column(words("wire.from", unit=unit), 0, "end", FINE),
        Column(words("wire.to", unit=unit), 0, "end", FINE),
        Column(words("wire.length", unit=unit), 0, "end", FINE),
        Column(words("wire.laid"), 0, "middle"),
    )
    if sheet.page_mm:
        head = f"{words('wire.leg')} · {words('wire.pegs')}"
        columns = (columns[0], Column(head, 1, style=FINE), *columns[END_AT:])
    rows: list[Row | Group] = []
    for loop in loops:
        if len(loops) > 1:
            rows.append(loop_group(sheet, loop))
        own = [*_legs(sheet, loop), _total(sheet, loop)]
        rows.extend(map(_narrow, own) if sheet.page_mm else own)
    columns = fitted(columns, rows, sheet.width_mm)
    return sheet.heading(use), *rows_of(columns, rows, sheet.width_mm)


def _narrow(row: Row) -> Row:
    """The row of a leg with its pegs behind its name, without where it begins."""
    number, leg, pegs, _, *others = row.cells
    if isinstance(leg, str) and isinstance(pegs, str) and pegs:
        leg = Runs(((leg, FINE), (pegs.replace(" ", NO_BREAK), FINE_STRONG)))
    return replace(row, cells=(number, leg, *others))


def loop_group(sheet: Sheet, loop: LoopLay) -> Group:
    """The line that names a loop above its rows."""
    name = sheet.words("loop.named", name=loop.name)
    return Group(name, sheet.words("table.again", text=name))


def _legs(sheet: Sheet, loop: LoopLay) -> list[Row]:
    bare = sheet.measure.bare
    passed = _passed(loop)
    names = LegNames.of(loop)
    return [
        Row(
            (
                str(number),
                leg_name(sheet, names, leg),
                _pegs(sheet, passed, leg),
                bare(leg.from_m),
                bare(leg.to_m),
                bare(leg.length_m),
                Box(sheet.field_name("leg", loop.name, number), sheet.words("wire.laid")),
            )
        )
        for number, leg in enumerate(loop.legs, 1)
    ]


class LegNames(NamedTuple):
    """What the legs of a loop are named by: its parts, and its lead pairs, by their ids."""

    parts: Mapping[str, str]
    leads: Mapping[str, Lead]

    @classmethod
    def of(cls, loop: LoopLay) -> LegNames:
        return cls(part_names(loop), {lead.id: lead for lead in loop.leads})


def leg_name(sheet: Sheet, names: LegNames, leg: Leg) -> str:
    """A leg in words: which ring, which lead pair, out or back."""
    words = sheet.words
    if leg.kind == "tail":
        return words("leg.tail-first" if leg.from_m < NEAR_M else "leg.tail-last")
    of = names.parts.get(leg.part, leg.of)
    if leg.kind in ("outer", "island"):
        return words(f"leg.{leg.kind}", of=of)
    way = "back" if leg.back else "out"
    if leg.kind == "lead":
        return words(f"leg.lead-{way}", of=of)
    lead = names.leads.get(leg.part)
    under = words("leg.under", under=lead.under) if lead is not None and lead.under else ""
    return words(f"leg.crossing-{way}", of=of, under=under)


def _passed(loop: LoopLay) -> list[tuple[float, str]]:
    """Running distance and number of each peg as the wire passes it."""
    both = ((at, peg.id) for peg in loop.pegs for at in (peg.at_m, peg.also_at_m))
    return sorted((at, number) for at, number in both if at is not None)


def _pegs(sheet: Sheet, passed: Sequence[tuple[float, str]], leg: Leg) -> str:
    """The pegs that the wire passes first and last on a leg, by number."""
    start = bisect_left(passed, leg.from_m - NEAR_M, key=itemgetter(0))
    end = bisect_right(passed, leg.to_m + NEAR_M, key=itemgetter(0))
    if leg.kind == "tail" or start == end:
        return ""
    first, last = passed[start][1], passed[end - 1][1]
    key = "wire.peg-range" if first != last else "wire.peg-round"
    return sheet.words(key, first=first, last=last)


def _total(sheet: Sheet, loop: LoopLay) -> Row:
    total = Styled(sheet.measure.bare(loop.length_m), FINE_STRONG)
    return Row(
        ("", Styled(sheet.words("wire.total"), FINE_STRONG), "", "", "", total, ""), strong=True
    )
