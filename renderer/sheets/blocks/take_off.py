"""The take-off as sums: wire by kind of leg, slack and slope, pegs by pass, small parts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.job.practice import SIGN
from renderer.sheets.compact import FINE, FINE_STRONG, summed
from renderer.sheets.piece import Piece, held_together
from renderer.sheets.runs import Part
from renderer.sheets.sheet import Sheet
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from renderer.ground.lay import Item

FAMILIES = ("wire.", "peg.", "connector.", "terminal.")
SUMS = ("wire.laid", "wire.order", "peg.order", "connector.order", "terminal.order")


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A paragraph per kind of material: its parts added up, each sum in bold, and its note."""
    paragraphs = list(_sums(sheet))
    return held_together((sheet.heading(use), *paragraphs)) if paragraphs else ()


def _sums(sheet: Sheet) -> Iterator[Piece]:
    items = [item for item in sheet.job.lay.takeoff if item.item.startswith(FAMILIES)]
    for family in FAMILIES:
        own = [item for item in items if item.item.startswith(family) and item.quantity]
        if own:
            yield summed(tuple(_parts(sheet, own)), sheet.width_mm)


def _parts(sheet: Sheet, items: Sequence[Item]) -> Iterator[Part]:
    """Items with the sign before each: plus, or equals where it is what those before it give."""
    for number, item in enumerate(items):
        total = item.item in SUMS
        sign = "" if not number else "= " if total else "+ "
        name = sheet.words(f"item.{item.item}", of=item.of)
        quantity = sheet.measure.quantity(item.quantity, item.unit)
        note = _note(sheet, item)
        told = f"{sign}{name}\u00a0{quantity}"
        yield f"{told} ({note})" if note else told, FINE_STRONG if total else FINE


def _note(sheet: Sheet, item: Item) -> str:
    wire = sheet.job.plan.wire
    if item.item == "wire.slack":
        return sheet.words("take-off.slack", percent=_percent(sheet, "slack_percent"))
    if item.item == "wire.order":
        return sheet.words("take-off.order", length=sheet.measure.ordered(item.quantity))
    if item.item == "peg.spare":
        return sheet.words("take-off.spare", percent=_percent(sheet, "peg_spare_percent"))
    pack = {"peg.order": wire.packs.pegs, "connector.order": wire.packs.connectors}.get(item.item)
    return sheet.words("take-off.pack", count=pack) if pack else ""


def _percent(sheet: Sheet, key: str) -> str:
    """A share of the plan's, with the asterisk where it is common practice, not stated."""
    wire = sheet.job.plan.wire
    share: float = getattr(wire, key)
    return sheet.measure.percent(share) + ("" if key in wire.model_fields_set else SIGN)
