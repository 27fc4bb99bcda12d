"""The take-off: wire by kind of leg, slack and slope, pegs by pass, and how each sum is made."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.job.practice import SIGN
from renderer.sheets.compact import FINE, FINE_STRONG, fitted, rows_of
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Cell, Column, Row, Styled
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.ground.lay import Item

FAMILIES = ("wire.", "peg.", "connector.", "terminal.")
SUMS = ("wire.laid", "wire.order", "peg.order", "connector.order", "terminal.order")


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A row per line of the take-off, sums set apart."""
    words = sheet.words
    columns = (
        Column(words("take-off.item"), 88, style=FINE),
        Column(words("take-off.quantity"), 0, "end", FINE),
        Column(words("take-off.note"), 62, style=FINE),
    )
    items = [item for item in sheet.job.lay.takeoff if item.item.startswith(FAMILIES)]
    rows = [_row(sheet, item) for item in items if item.quantity]
    return (
        (sheet.heading(use), *rows_of(fitted(columns, rows, sheet.width_mm), rows, sheet.width_mm))
        if rows
        else ()
    )


def _row(sheet: Sheet, item: Item) -> Row:
    strong = item.item in SUMS
    style = FINE_STRONG if strong else FINE
    quantity = sheet.measure.quantity(item.quantity, item.unit)
    cells: tuple[Cell, ...] = (
        Styled(sheet.words(f"item.{item.item}", of=item.of), style),
        Styled(quantity, style),
        _note(sheet, item),
    )
    return Row(cells, strong=strong)


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
