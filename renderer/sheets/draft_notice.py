"""The notice on a draft translation, and the English that stands beside its safety texts.

A language whose catalogue is a draft awaits a reader whose first language it is. Until then the
English text prevails where safety is concerned, so that it has to be on the sheet.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from renderer.language import load_words
from renderer.language.words import Words
from renderer.sheets.kit import box, paragraph
from renderer.sheets.piece import Flowing, Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Cell, Doubled
from renderer.sheets.type import BODY, SMALL_STRONG, Style

if TYPE_CHECKING:
    from renderer.sheets.layout import Layout

ITALIC = Style("italic", 9)
PAD_MM = 1.2
GAP_MM = 2.5  # to what follows
FORMS = ("survey-visit", "survey-services")  # blocks that warn in the language of the form alone


def notice(words: Words, width_mm: float, layout: Layout) -> Piece | None:
    """Says that the translation is a draft, in its language and in English; empty if it is not.

    On a form, and on sheets for a class, which hold no English, one is told where that is.
    """
    if not words.is_draft:
        return None
    room = width_mm - 2 * PAD_MM
    alone = layout.anonymous or any(use.block in FORMS for use in layout.uses)
    key = "draft-elsewhere" if alone else "draft"
    told, english = words(f"notice.{key}"), load_words()(f"notice.{key}")
    upper = SMALL_STRONG.lines(told, PAD_MM, PAD_MM, room)
    top = PAD_MM + SMALL_STRONG.height_mm(told, room)
    lower = ITALIC.lines(english, PAD_MM, top, room)
    height = top + ITALIC.height_mm(english, room) + PAD_MM
    return Piece(height, (box(0.0, 0.0, width_mm, height), *upper, *lower))


def notice_mm(words: Words, width_mm: float, layout: Layout) -> float:
    """What the notice takes of the first page, with the gap under it."""
    piece = notice(words, width_mm, layout)
    return piece.height_mm + GAP_MM if piece else 0.0


def noticed(sheet: Sheet, pieces: tuple[Flowing, ...]) -> tuple[Flowing, ...]:
    """The pieces of a document with the notice above the first of them."""
    piece = notice(sheet.words, sheet.width_mm, sheet.layout)
    if piece is None or not pieces:
        return pieces
    first = replace(pieces[0], gap_mm=GAP_MM, new_page=False)
    return (piece, first, *pieces[1:])


def english(sheet: Sheet) -> Sheet | None:
    """The sheet in English, where that has to stand beside what it says."""
    if not sheet.words.is_draft:
        return None
    words = load_words()
    return replace(sheet, words=words, measure=replace(sheet.measure, words=words))


def doubled(sheet: Sheet, tell: Callable[[Sheet], str]) -> Cell:
    """A cell with a text, and the English under it where that has to stand there."""
    other = beside(sheet, tell)
    return Doubled(tell(sheet), other) if other else tell(sheet)


def doubled_paragraph(
    sheet: Sheet, tell: Callable[[Sheet], str], width_mm: float, style: Style = BODY
) -> tuple[Piece, ...]:
    """A paragraph, and the English under it in italics where that has to stand there."""
    own = paragraph(tell(sheet), width_mm, style, keep=True)
    other = beside(sheet, tell)
    slanted = Style("italic", style.size_pt)
    return (*own, *paragraph(other, width_mm, slanted, gap_mm=0.4, keep=True)) if other else own


def beside(sheet: Sheet, tell: Callable[[Sheet], str]) -> str:
    """A text in English where that has to stand beside the sheet's own and is another."""
    plain = english(sheet)
    told = tell(plain) if plain else ""
    return "" if told == tell(sheet) else told
