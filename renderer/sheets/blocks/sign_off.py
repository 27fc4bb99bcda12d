"""Sign-off: times, what was handed over, and signatures of crew and customer."""

from __future__ import annotations

from dataclasses import replace

from renderer.primitives import Field, Primitive
from renderer.sheets.blocks.built_scale import signed_beside
from renderer.sheets.blocks.furniture import moved
from renderer.sheets.compact import TEXT, stacked
from renderer.sheets.draft_notice import ITALIC, beside
from renderer.sheets.kit import box, note_lines, paragraph
from renderer.sheets.piece import Piece, held_together
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Write, table
from renderer.sheets.type import LABEL, RULE
from renderer.sheets.use import BlockUse

SIGNERS = ("lead", "customer")
SIGN_MM = 16.0
GAP_MM = 6.0
BETWEEN_MM = 2.0
STATEMENTS = ("manual", "cautions", "map", "dead")


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """All on one page, so that nobody signs a leaf that lacks what was signed for.

    Nothing where it stands beside the drawing as built.
    """
    if signed_beside(sheet):
        return ()
    dead = beside(sheet, lambda each: each.words("sign.statement.dead"))
    return held_together(
        (
            sheet.heading(use),
            *_confirmed(sheet),
            *(paragraph(dead, sheet.width_mm, ITALIC, gap_mm=0.4) if dead else ()),
            _boxes(sheet),
        )
    )


def _confirmed(sheet: Sheet) -> tuple[Piece, ...]:
    """The times and what is confirmed; at the width of a page beside each other."""
    if sheet.page_mm:
        return *_times(sheet, sheet.width_mm), *_statements(sheet, sheet.width_mm)
    width = (sheet.width_mm - GAP_MM) / 2
    left, right = stacked(_times(sheet, width)), stacked(_statements(sheet, width))
    items = (*left.items, *moved(right.items, width + GAP_MM, 0.0))
    return (Piece(max(left.height_mm, right.height_mm), items, gap_mm=1.0),)


def _statements(sheet: Sheet, width_mm: float) -> tuple[Piece, ...]:
    texts = [sheet.words(f"sign.statement.{each}") for each in STATEMENTS]
    listed = replace(stacked(note_lines(texts, width_mm, TEXT)), gap_mm=0.8)
    return *paragraph(sheet.words("sign.intro"), width_mm, TEXT), listed


def _times(sheet: Sheet, width_mm: float) -> tuple[Piece, ...]:
    names = ("date", "arrived", "left", "people")
    columns = [Column(sheet.words(f"sign.{name}"), 47.5, lined=True) for name in names]
    cells = tuple(Write(sheet.field_name("sign", name)) for name in names)
    return table(columns, (Row(cells),), width_mm)


def _boxes(sheet: Sheet) -> Piece:
    """A box to sign in for each: beside each other, in a column one under the other."""
    abreast = 1 if sheet.page_mm else len(SIGNERS)
    width = (sheet.width_mm - GAP_MM * (abreast - 1)) / abreast
    items: list[Primitive] = []
    low = 0.0
    for number, signer in enumerate(SIGNERS):
        x = number % abreast * (width + GAP_MM)
        y = number // abreast * (SIGN_MM + BETWEEN_MM)
        items.append(box(x, y, width, SIGN_MM, RULE))
        items.append(LABEL.line(sheet.words(f"sign.{signer}"), x + 1.5, y + 0.8))
        name = sheet.field_name("sign", signer)
        items.append(Field((x, y + SIGN_MM - 9.0), width, 9.0, "text", name))
        low = y + SIGN_MM
    return Piece(low, tuple(items), gap_mm=2.0)
