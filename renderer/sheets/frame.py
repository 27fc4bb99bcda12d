"""The page around the content: header, draft band, title block with the code at the foot."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from renderer.primitives import Link, Primitive
from renderer.sheets.code import CODE_MM, code_area
from renderer.sheets.kit import Entry, box, rule, upright
from renderer.sheets.logo import Logo
from renderer.sheets.type import (
    HEADING,
    HEAVY,
    LABEL,
    RULE,
    SMALL,
    SMALL_STRONG,
    STRONG,
    SUBHEADING,
    Style,
)

# Common practice, no published source: a clipboard's clip covers the top 25 mm, so what
# stands there stands at the foot as well; printers keep 10 mm or less clear all round, and
# 190 mm is the width that A4 and Letter share.
CLIP_MM = 25.0
HEADER_TOP_MM = 10.0
FOOT_MARGIN_MM = 10.0
SIDE_MARGIN_MM = 10.0
SHARED_WIDTH_MM = 190.0
SHARED_UP_TO_MM = 216.0
BLOCK_GAP_MM = 4.0
CODE_GAP_MM = 4.0  # quiet zone of the square code
BAND_MM = 8.0
BAND_GAP_MM = 3.0
LOGO_MM = 12.0  # the most a logo is high,
LOGO_SHARE = 1 / 3  # and of the width it takes
CELL_PAD_MM = 1.5

VALUE_STYLES = (STRONG, SMALL_STRONG, Style("condensed_bold", 9), Style("condensed_bold", 8))


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
        return CLIP_MM + (BAND_MM + BAND_GAP_MM if self.draft else 0.0)

    @property
    def block_top_mm(self) -> float:
        return self.page_height_mm - FOOT_MARGIN_MM - CODE_MM

    @property
    def height_mm(self) -> float:
        return self.block_top_mm - BLOCK_GAP_MM - self.top_mm


@dataclass(frozen=True, slots=True)
class Header:
    """What stands in the top of each page; nothing that is not at the foot as well."""

    firm: str
    document: str
    job: str
    logo: Logo | None = None


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """The cells at the foot of each page, in two rows, and what the square code says if any."""

    upper: tuple[tuple[Entry, float], ...]  # with its share of the width
    lower: tuple[tuple[Entry, float], ...]
    code: str


def header_items(frame: Frame, header: Header) -> tuple[Primitive, ...]:
    """Firm at the left, document and job at the right."""
    left, right = frame.left_mm, frame.left_mm + frame.width_mm
    top = HEADER_TOP_MM
    items: list[Primitive] = [
        SUBHEADING.line(header.document, right, top, "end"),
    ]
    if header.job:
        items.append(SMALL.line(header.job, right, top + SUBHEADING.pitch_mm, "end"))
    if header.logo is not None:
        ratio = header.logo.ratio
        width = min(LOGO_MM * ratio, frame.width_mm * LOGO_SHARE)
        items.extend(header.logo.items((left, top), width, width / ratio, header.firm))
        left += width + 3.0
    if header.firm:
        room = (right - left) * 0.6
        style = HEADING if HEADING.width_mm(header.firm) <= room else STRONG
        items.append(style.line(_cut(header.firm, style, room), left, top))
    return _of_role(items, "header")


def band_items(frame: Frame, text: str) -> tuple[Primitive, ...]:
    """A black band across the page with white words, under the clip."""
    top = CLIP_MM
    line = HEADING.line(
        text, frame.page_width_mm / 2, top + (BAND_MM - HEADING.pitch_mm) / 2, "middle"
    )
    band = box(frame.left_mm, top, frame.width_mm, BAND_MM, None, "#000000")
    return _of_role((band, replace(line, colour="#ffffff")), "draft")


def title_block_items(frame: Frame, block: TitleBlock) -> tuple[Primitive, ...]:
    """The title block with a heavy frame, the square code at its right."""
    left, top = frame.left_mm, frame.block_top_mm
    width = frame.width_mm - (CODE_MM + CODE_GAP_MM if block.code else 0.0)
    half = CODE_MM / 2
    items: list[Primitive] = [
        box(left, top, width, CODE_MM, HEAVY),
        rule(left, left + width, top + half),
    ]
    if block.code:
        items.append(code_area(block.code, left + width + CODE_GAP_MM, top))
    for cells, y in ((block.upper, top), (block.lower, top + half)):
        items.extend(_cells(cells, left, y, width, half))
    return _of_role(items, "title-block")


def _cells(
    cells: Sequence[tuple[Entry, float]], left: float, top: float, width: float, height: float
) -> Sequence[Primitive]:
    total = sum(share for _, share in cells)
    items: list[Primitive] = []
    x = left
    for number, (entry, share) in enumerate(cells):
        span = width * share / total
        if number:
            items.append(upright(x, top, top + height, RULE))
        items.extend(_cell(entry, x + CELL_PAD_MM, top, span - 2 * CELL_PAD_MM, height))
        x += span
    return items


def _cell(entry: Entry, x: float, top: float, width: float, height: float) -> Sequence[Primitive]:
    label_top = top + 0.6
    room = height - LABEL.pitch_mm - 0.6
    style = next((s for s in VALUE_STYLES if s.width_mm(entry.text) <= width), VALUE_STYLES[-1])
    lines = style.wrap(entry.text, width)
    fitting = max(1, int((room + 0.2) / style.pitch_mm))
    if len(lines) > fitting:
        rest = " ".join(lines[fitting - 1 :])
        lines = (*lines[: fitting - 1], _cut(rest, style, width))
    start = label_top + LABEL.pitch_mm + (room - len(lines) * style.pitch_mm) / 2
    return (
        LABEL.line(entry.label, x, label_top),
        *(style.line(line, x, start + n * style.pitch_mm) for n, line in enumerate(lines)),
    )


def _cut(text: str, style: Style, width: float) -> str:
    """The text, shortened with an ellipsis where it is wider than ``width``."""
    if style.width_mm(text) <= width:
        return text
    while text and style.width_mm(text + "…") > width:
        text = text[:-1]
    return text.rstrip() + "…"


def _of_role(items: Iterable[Primitive], role: str) -> tuple[Primitive, ...]:
    """The items, given a role where they have none, so that what frames a page is known."""
    return tuple(
        item if isinstance(item, Link) or item.role else replace(item, role=role) for item in items
    )
