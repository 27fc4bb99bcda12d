"""What stands about a plan on a page: heading with scale, bars, legend, list of key numbers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import chain
from typing import TYPE_CHECKING

from renderer.primitives import Drawing, Line, Primitive, shifted
from renderer.sheets.kit import heading, paragraph, subheading
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Styled, table
from renderer.sheets.type import CELL_STRONG

if TYPE_CHECKING:
    from renderer.drawing import PlanDrawing
    from renderer.drawing.view import View
    from renderer.language import Words

Keyed = Sequence[tuple[str, str]]  # key number and what it stands for
GAP_MM = 2.0
COLUMN_GAP_MM = 4.0
ROW_GAP_MM = 1.5


def drawing_words(sheet: Sheet) -> Words:
    """The words on drawings in the layout's language."""
    from renderer.drawing import drawing_words

    return drawing_words(sheet.layout.language)


def scale_aside(sheet: Sheet, scale: float) -> str:
    """The scale as it stands beside a heading."""
    from renderer.drawing.scale import scale_text

    return sheet.words("plan.scale", scale=scale_text(scale))


def plan_heading(sheet: Sheet, text: str, anchor: str, scale: float) -> Piece:
    """The heading of a page with a plan on it."""
    return heading(text, sheet.width_mm, sheet.anchor(anchor), scale_aside(sheet, scale))


def bars(
    sheet: Sheet,
    drawn: PlanDrawing | View,
    key: Drawing | None = None,
    *,
    row: bool = False,
    reckoned: bool = False,
) -> Drawing:
    """How the plan lies, scale bar over check bar, and the key plan at the right edge.

    A ``row`` has them side by side, where the page is wide enough for that; a key plan too wide
    to stand beside the bars stands above them, beside the arrow. Where a plan is ``reckoned``
    from, it says which way its x and y run.
    """
    from renderer.drawing import check_bar, scale_bar

    words = drawing_words(sheet)
    scale = scale_bar(drawn.scale, inch=sheet.job.plan.units == "ft", words=words)
    check = check_bar(inch=sheet.inch_paper, words=words)
    lies = tuple(filter(None, _reckoned(sheet, drawn) if reckoned else (lying(sheet, drawn),)))
    line = beside((*lies, check, scale), ROW_GAP_MM)
    if row and key is None and line.width_mm <= sheet.width_mm:
        return line
    both = beneath((scale, check))
    left = beside((*lies, both))
    if key is None:
        return left
    if left.width_mm + COLUMN_GAP_MM + key.width_mm <= sheet.width_mm:
        return _edged(sheet, left, key)
    return beneath((_edged(sheet, beside(lies), key), both))


def lying(sheet: Sheet, drawn: PlanDrawing | View) -> Drawing | None:
    """The arrow that tells how a plan lies on its page, where there is something to tell."""
    from renderer.drawing import orientation

    return orientation(drawn.rotation_deg, sheet.job.plan.north, drawing_words(sheet))


def _reckoned(sheet: Sheet, drawn: PlanDrawing | View) -> tuple[Drawing | None, ...]:
    """North where it is known, and the ways of x and y where they are not as usual."""
    from renderer.drawing import axes

    north = lying(sheet, drawn) if sheet.job.plan.north is not None else None
    return north, axes(drawn.rotation_deg)


def cornered(sheet: Sheet, drawn: PlanDrawing, y: float) -> tuple[Primitive, ...]:
    """The same in a free corner of the drawing, ``y`` mm below its top, or nothing.

    It stands on white paper, so that no line of a grid runs through its word.
    """
    from renderer.drawing.furniture import free_corner
    from renderer.drawing.pens import WHITE

    arrow = lying(sheet, drawn)
    if arrow is None:
        return ()
    wide, high = arrow.width_mm, arrow.height_mm
    ring = ((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high))
    paper = Line(ring, None, closed=True, fill=WHITE, role="mask")
    return moved((paper, *arrow.items), *free_corner(drawn.drawing, wide, high, y))


def _edged(sheet: Sheet, left: Drawing, right: Drawing) -> Drawing:
    """Two drawings at the two edges of the page."""
    items = (*left.items, *moved(right.items, sheet.width_mm - right.width_mm, 0.0))
    return Drawing(sheet.width_mm, max(left.height_mm, right.height_mm), items)


def legend(sheet: Sheet, used: Iterable[str], width_mm: float, keyed: Keyed = ()) -> Drawing:
    """The legend of what is used, with key numbers at its end."""
    from renderer.drawing import legend as drawn_legend

    keys, numbers = frozenset(used), tuple(keyed)
    return sheet.once(
        ("legend", keys, width_mm, numbers),
        lambda: drawn_legend(keys, width_mm, drawing_words(sheet), numbers),
    )


def keyed(drawn: PlanDrawing) -> list[tuple[str, str]]:
    """Key numbers with their texts, then texts that found no room on the drawing."""
    from renderer.drawing.legends import NO_KEY

    return [*drawn.keyed, *((NO_KEY, text) for text in drawn.unplaced)]


def key_table(sheet: Sheet, keys: Iterable[tuple[str, str, str]]) -> tuple[Piece, ...]:
    """What key numbers stand for: sheet, number and text; then what a sheet has no room for."""
    from renderer.drawing.legends import NO_KEY

    words, listed = sheet.words, list(keys)
    columns = (
        Column(words("plan.sheet"), 20, "end"),
        Column(words("plan.key"), 25),
        Column(words("plan.meaning"), 145),
    )
    rows = [
        Row((name, Styled(key, CELL_STRONG), text)) for name, key, text in listed if key != NO_KEY
    ]
    unnamed: dict[str, list[str]] = {}
    for name, key, text in listed:
        if key == NO_KEY:
            unnamed.setdefault(name, []).append(text)
    said = tuple(chain.from_iterable(_unnamed(sheet, *each) for each in unnamed.items()))
    if not rows:
        return said
    head = subheading(words("plan.keys"), sheet.width_mm)
    return head, *table(columns, rows, sheet.width_mm), *said


def _unnamed(sheet: Sheet, name: str, texts: Sequence[str]) -> Iterator[Piece]:
    """A line on what a sheet of the plan has no room for."""
    from renderer.drawing.legends import missing
    from renderer.sheets.compact import CLOSE

    for text in missing(texts, drawing_words(sheet)):
        said = sheet.words("plan.unnamed", sheet=name, text=text) if name else f"{text}."
        yield from paragraph(said, sheet.width_mm, CLOSE)


def key_line(sheet: Sheet, keys: Keyed) -> tuple[Piece, ...]:
    """The same in a line or two: numbers with their texts, then the texts that found no room."""
    from renderer.drawing.legends import NO_KEY, missing
    from renderer.sheets.compact import CLOSE

    words = sheet.words
    numbered = [f"{key} {text}" for key, text in keys if key != NO_KEY]
    left_out = [text for key, text in keys if key == NO_KEY]
    told = [words("plan.numbers", names="; ".join(numbered))] if numbered else []
    told += [f"{text}." for text in missing(left_out, drawing_words(sheet))]
    return paragraph(" ".join(told), sheet.width_mm, CLOSE) if told else ()


def beside(drawings: Iterable[Drawing], gap_mm: float = COLUMN_GAP_MM) -> Drawing:
    """Drawings from left to right as one."""
    items: list[Primitive] = []
    x = height = 0.0
    for drawing in drawings:
        items.extend(moved(drawing.items, x, 0.0))
        x += drawing.width_mm + gap_mm
        height = max(height, drawing.height_mm)
    return Drawing(max(0.0, x - gap_mm), height, tuple(items))


def beneath(drawings: Iterable[Drawing]) -> Drawing:
    """Drawings from top to bottom as one."""
    items: list[Primitive] = []
    y = width = 0.0
    for drawing in drawings:
        items.extend(moved(drawing.items, 0.0, y))
        y += drawing.height_mm + GAP_MM
        width = max(width, drawing.width_mm)
    return Drawing(width, y - GAP_MM, tuple(items))


def moved(items: Iterable[Primitive], dx: float, dy: float) -> tuple[Primitive, ...]:
    """The same primitives elsewhere."""
    return tuple(shifted(item, dx, dy) for item in items)
