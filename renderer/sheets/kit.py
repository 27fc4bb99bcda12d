"""Headings, paragraphs and boxes that blocks are built from."""

from __future__ import annotations

from collections.abc import Sequence

from renderer.frozen import dataclass
from renderer.primitives import Anchor, Field, Line, Mark, Pen, Primitive, Text
from renderer.sheets.piece import Piece
from renderer.sheets.type import BODY, HEADING, HEAVY, LABEL, RULE, SUBHEADING, TICK_MM, Style

HEADING_GAP_MM = 5.0
SMALL_GAP_MM = 3.0
SUBHEADING_GAP_MM = 4.5
WIDOW_LINES = 2  # least lines of a paragraph on either side of a page break
BOOKMARK_LEVEL = 1


def rule(x0: float, x1: float, y: float, pen: Pen = RULE) -> Line:
    """A horizontal line."""
    return Line(((x0, y), (x1, y)), pen)


def upright(x: float, y0: float, y1: float, pen: Pen = RULE) -> Line:
    """A vertical line."""
    return Line(((x, y0), (x, y1)), pen)


def box(
    x: float, y: float, width: float, height: float, pen: Pen | None = RULE, fill: str | None = None
) -> Line:
    """A rectangle by its top left corner."""
    corners = ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
    return Line(corners, pen, closed=True, fill=fill)


def heading(text: str, width_mm: float, anchor: str, aside: str = "") -> Piece:
    """The heading of a block: bold over a heavy line, with a bookmark and a remark at the right."""
    lines = HEADING.lines(text, 0.0, 0.0, width_mm - BODY.width_mm(aside) - 4.0)
    bottom = len(lines) * HEADING.pitch_mm + 0.6
    items: list[Primitive] = [*lines, rule(0.0, width_mm, bottom, HEAVY)]
    if aside:
        items.append(BODY.line(aside, width_mm, bottom - BODY.pitch_mm - 0.6, "end"))
    mark = Mark(anchor, 0.0, text, BOOKMARK_LEVEL)
    return Piece(bottom + 1.5, tuple(items), HEADING_GAP_MM, keep=True, marks=(mark,))


def small_heading(text: str, width_mm: float, anchor: str, aside: str = "") -> Piece:
    """A smaller heading: that of a block in a column, or on papers that have to stay short.

    A remark stands at its right, or under its line where that has no room for it.
    """
    lines = SUBHEADING.lines(text, 0.0, 0.0, width_mm)
    bottom = len(lines) * SUBHEADING.pitch_mm + 0.4
    items: tuple[Primitive, ...] = (*lines, rule(0.0, width_mm, bottom, HEAVY))
    told: Sequence[Primitive] = ()
    height = bottom + 0.8
    if len(lines) == 1 and SUBHEADING.width_mm(text) + 4.0 + LABEL.width_mm(aside) <= width_mm:
        top = SUBHEADING.pitch_mm - LABEL.pitch_mm - 0.4
        told = (LABEL.line(aside, width_mm, top, "end"),) if aside else ()
    else:
        told = LABEL.lines(aside, 0.0, bottom + 0.6, width_mm)
        height += len(told) * LABEL.pitch_mm
    mark = Mark(anchor, 0.0, text, BOOKMARK_LEVEL)
    return Piece(height, (*items, *told), SMALL_GAP_MM, keep=True, marks=(mark,))


def subheading(text: str, width_mm: float, aside: str = "", style: Style = BODY) -> Piece:
    """A heading inside a block, with a remark at the right edge."""
    left = SUBHEADING.lines(text, 0.0, 0.0, width_mm - style.width_mm(aside) - 4)
    items: tuple[Primitive, ...] = left
    if aside:
        down = SUBHEADING.pitch_mm - style.pitch_mm if style is not BODY else 0.0
        items = (*left, style.line(aside, width_mm, down, "end"))
    height = max(1, len(left)) * SUBHEADING.pitch_mm + 0.8
    return Piece(height, items, SUBHEADING_GAP_MM, keep=True)


def paragraph(
    text: str, width_mm: float, style: Style = BODY, *, gap_mm: float = 1.5, keep: bool = False
) -> tuple[Piece, ...]:
    """A text as one piece per line; its first and last lines never stand alone.

    ``keep`` holds the whole of it to what follows.
    """
    lines = style.wrap(text, width_mm)
    return tuple(
        Piece(
            style.pitch_mm,
            (style.line(line, 0.0, 0.0),) if line else (),
            gap_mm if number == 0 else 0.0,
            keep=keep or (number < len(lines) - 1 and _is_widow(number, len(lines))),
        )
        for number, line in enumerate(lines)
    )


def _is_widow(number: int, count: int) -> bool:
    return number < WIDOW_LINES - 1 or count - 1 - number < WIDOW_LINES


def note_lines(texts: Sequence[str], width_mm: float, style: Style) -> tuple[Piece, ...]:
    """Remarks as a list with dashes."""
    hang = style.width_mm("–  ")
    return tuple(
        Piece(
            style.height_mm(text, width_mm - hang),
            (style.line("–", 0.0, 0.0), *style.lines(text, hang, 0.0, width_mm - hang)),
            0.8,
        )
        for text in texts
    )


def tick(x: float, y: float, name: str, tooltip: str = "") -> Field:
    """A box to tick."""
    return Field((x, y), TICK_MM, TICK_MM, "tick", name, tooltip)


@dataclass(frozen=True, slots=True)
class Entry:
    """A labelled value of the job page or the title block."""

    label: str
    text: str
    style: Style = BODY
    anchor: Anchor = "start"

    def height_mm(self, width_mm: float) -> float:
        return LABEL.pitch_mm + self.style.height_mm(self.text, width_mm)

    def items(self, x: float, y: float, width_mm: float) -> tuple[Text, ...]:
        return (
            LABEL.line(self.label, x, y),
            *self.style.lines(self.text, x, y + LABEL.pitch_mm, width_mm),
        )
