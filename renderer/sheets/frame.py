"""The page around the content: draft band, one line of title block with the code at the foot."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from renderer.frozen import dataclass
from renderer.primitives import Link, Primitive
from renderer.sheets.code import CODE_MM, code_area
from renderer.sheets.kit import Entry, box, upright
from renderer.sheets.logo import Logo
from renderer.sheets.piece import Piece
from renderer.sheets.type import HEADING, HEAVY, LABEL, RULE, SMALL_STRONG, STRONG, Style

# Common practice, no published source: printers keep 10 mm or less clear all round, and
# 190 mm is the width that A4 and Letter share.
TOP_MARGIN_MM = 10.0
FOOT_MARGIN_MM = 10.0
SIDE_MARGIN_MM = 10.0
SHARED_WIDTH_MM = 190.0
SHARED_UP_TO_MM = 216.0
BLOCK_GAP_MM = 3.5
CODE_GAP_MM = 3.0  # quiet zone of the square code
BAND_MM = 8.0
BAND_GAP_MM = 3.0
LOGO_MM = 12.0  # the most a logo is high,
LOGO_SHARE = 1 / 3  # and of the width it takes
HEADER_GAP_MM = 3.0  # to what follows
CELL_PAD_MM = 1.2
LEAST_CELL_MM = 4.0  # for a letter and the dots that stand for the rest
ROUNDING_MM = 1e-6  # a sum of widths differs from what it was made of by no more

VALUE_STYLES = (SMALL_STRONG, Style("condensed_bold", 9), Style("condensed_bold", 8))


@dataclass(frozen=True, slots=True)
class Frame:
    """Where the content of a page stands, in mm from the page's top left corner."""

    page_width_mm: float
    page_height_mm: float
    draft: bool = False

    @property
    def width_mm(self) -> float:
        if SHARED_WIDTH_MM < self.page_width_mm <= SHARED_UP_TO_MM:
            return SHARED_WIDTH_MM
        return self.page_width_mm - 2 * SIDE_MARGIN_MM

    @property
    def left_mm(self) -> float:
        return (self.page_width_mm - self.width_mm) / 2

    @property
    def top_mm(self) -> float:
        return TOP_MARGIN_MM + (BAND_MM + BAND_GAP_MM if self.draft else 0.0)

    @property
    def block_top_mm(self) -> float:
        return self.page_height_mm - FOOT_MARGIN_MM - CODE_MM

    @property
    def height_mm(self) -> float:
        return self.block_top_mm - BLOCK_GAP_MM - self.top_mm


@dataclass(frozen=True, slots=True)
class TitleCell:
    """A cell of the title block; ``share`` of the room that is left over makes it wider."""

    entry: Entry
    share: float = 0.0


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """The cells in one row at the foot of each page, and what the square code says if any."""

    cells: tuple[TitleCell, ...]
    code: str


def header(firm: str, logo: Logo | None, width_mm: float) -> Piece | None:
    """The firm and its logo, for the top of the first page of a job; nothing without either."""
    if not firm and logo is None:
        return None
    items: list[Primitive] = []
    left = height = 0.0
    if logo is not None:
        wide = min(LOGO_MM * logo.ratio, width_mm * LOGO_SHARE)
        height = wide / logo.ratio
        items.extend(logo.items((0.0, 0.0), wide, height, firm))
        left = wide + 3.0
    if firm:
        room = width_mm - left
        style = HEADING if HEADING.width_mm(firm) <= room else STRONG
        items.append(style.line(_cut(firm, style, room), left, 0.0))
        height = max(height, style.pitch_mm)
    return Piece(height, _of_role(items, "header"))


def band_items(frame: Frame, text: str) -> tuple[Primitive, ...]:
    """A black band across the top of the page with white words."""
    top = TOP_MARGIN_MM
    line = HEADING.line(
        text, frame.page_width_mm / 2, top + (BAND_MM - HEADING.pitch_mm) / 2, "middle"
    )
    band = box(frame.left_mm, top, frame.width_mm, BAND_MM, None, "#000000")
    return _of_role((band, replace(line, colour="#ffffff")), "draft")


def title_block_items(frame: Frame, block: TitleBlock) -> tuple[Primitive, ...]:
    """The title block with a heavy frame, the square code at its right."""
    left, top = frame.left_mm, frame.block_top_mm
    width = frame.width_mm - (CODE_MM + CODE_GAP_MM if block.code else 0.0)
    items: list[Primitive] = [box(left, top, width, CODE_MM, HEAVY)]
    if block.code:
        items.append(code_area(block.code, left + width + CODE_GAP_MM, top))
    x = left
    for number, (cell, span) in enumerate(zip(block.cells, _spans(block, width), strict=True)):
        if number:
            items.append(upright(x, top, top + CODE_MM, RULE))
        items.extend(_cell(cell.entry, x + CELL_PAD_MM, top, span - 2 * CELL_PAD_MM))
        x += span
    return _of_role(items, "title-block")


def _spans(block: TitleBlock, width: float) -> list[float]:
    """Widths of the cells: what their words need, and the rest by their shares.

    Where there is too little room, those with a share give up what narrower letters save, and only
    then their words.
    """
    needed, least = (
        [_needed_mm(cell.entry, style) for cell in block.cells]
        for style in (VALUE_STYLES[0], VALUE_STYLES[-1])
    )
    narrow = [
        low if cell.share else need
        for cell, need, low in zip(block.cells, needed, least, strict=True)
    ]
    if sum(narrow) > width:
        needed = narrow
    spare = width - sum(needed)
    if spare > 0.0:
        weights = [cell.share for cell in block.cells]
    elif sum(needed) > sum(narrow):
        weights = [need - low for need, low in zip(needed, narrow, strict=True)]
    else:
        weights = [need * bool(cell.share) for cell, need in zip(block.cells, needed, strict=True)]
    total = sum(weights) or 1.0
    spans = [need + spare * weight / total for need, weight in zip(needed, weights, strict=True)]
    return spans if min(spans) >= LEAST_CELL_MM else _levelled(needed, width)


def _levelled(needed: Sequence[float], width: float) -> list[float]:
    """The widths where words are far too long: the short keep theirs, the long share alike."""
    spans, left = list(needed), width
    by_need = sorted(range(len(needed)), key=needed.__getitem__)
    for done, place in enumerate(by_need):
        spans[place] = min(needed[place], left / (len(needed) - done))
        left -= spans[place]
    return spans


def _needed_mm(entry: Entry, style: Style) -> float:
    """What the label and the text of a cell need in a type, with the space beside them."""
    words = max(LABEL.width_mm(entry.label), style.width_mm(entry.text))
    return words + 2 * CELL_PAD_MM


def _cell(entry: Entry, x: float, top: float, width: float) -> Sequence[Primitive]:
    style = next((s for s in VALUE_STYLES if s.width_mm(entry.text) <= width), VALUE_STYLES[-1])
    label_top = top + 0.6
    room = CODE_MM - LABEL.pitch_mm - 0.6
    start = label_top + LABEL.pitch_mm + (room - style.pitch_mm) / 2 - 0.3
    return (
        LABEL.line(_cut(entry.label, LABEL, width), x, label_top),
        style.line(_cut(entry.text, style, width), x, start),
    )


def _cut(text: str, style: Style, width: float) -> str:
    """The text, shortened with an ellipsis where it is wider than ``width``."""
    if style.width_mm(text) <= width + ROUNDING_MM:
        return text
    while text and style.width_mm(text + "…") > width:
        text = text[:-1]
    return text.rstrip() + "…"


def _of_role(items: Iterable[Primitive], role: str) -> tuple[Primitive, ...]:
    """The items, given a role where they have none, so that what frames a page is known."""
    return tuple(
        item if isinstance(item, Link) or item.role else replace(item, role=role) for item in items
    )
