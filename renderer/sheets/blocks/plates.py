"""Detail plates: enlarged drawings of what the plan is too small for, two side by side."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import zip_longest
from typing import TYPE_CHECKING

from renderer.primitives import Primitive
from renderer.sheets.blocks.furniture import drawing_words, moved, scale_aside
from renderer.sheets.blocks.turn import plan_turn
from renderer.sheets.compact import FINE, FINE_STRONG, rows_of, stacked
from renderer.sheets.kit import box, paragraph
from renderer.sheets.piece import Piece, in_little_room
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row
from renderer.sheets.type import RULE, Style
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.drawing.closeup import Plate

COLUMNS_MM = 95.0  # a page has as many columns as fit
GAP_MM = 5.0
PAD_MM = 1.2
PLATE_HEIGHT_MM = 66.0
ROW_GAP_MM = 3.0
TITLE = Style("condensed_bold", 11)


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """The plates in rows; a row is never split."""
    from renderer.drawing.plates import plates

    columns = max(1, round(sheet.width_mm / COLUMNS_MM))
    width = (sheet.width_mm - GAP_MM * (columns - 1)) / columns
    found = plates(
        sheet.job.plan,
        sheet.job.lay,
        sheet.job.findings,
        width_mm=width - 2 * PAD_MM,
        height_mm=PLATE_HEIGHT_MM,
        inch_paper=sheet.inch_paper,
        rotation_deg=plan_turn(sheet) or 0.0,
        words=drawing_words(sheet),
        setting=sheet.job.setting,
    )
    if not found:
        return ()
    rows = zip_longest(*(_cells(sheet, found, width),) * columns)
    pieces = [in_little_room(_row(row, width), number) for number, row in enumerate(rows)]
    return sheet.heading(use), *_apart(sheet, found), replace(pieces[0], gap_mm=2.0), *pieces[1:]


def _apart(sheet: Sheet, found: Iterable[Plate]) -> tuple[Piece, ...]:
    """How pairs are drawn, where any is, and what the numbers beside their legs are."""
    if not any(plate.kind in ("island", "crossing") for plate in found):
        return ()
    told = [drawing_words(sheet)["legend.lead-or-crossing"]]
    if sheet.has("wire-list"):
        told.append(sheet.words("plates.legs"))
    return paragraph(". ".join(told), sheet.width_mm, FINE, keep=True)


def _cells(sheet: Sheet, found: Iterable[Plate], width: float) -> Iterator[Piece]:
    """A cell a plate; the first section stands for those of all edges, their setbacks under it."""
    shown = False
    for plate in found:
        if plate.kind != "section":
            yield _cell(sheet, plate, width)
        elif not shown:
            shown = True
            yield _with_setbacks(sheet, _cell(sheet, plate, width), width)


def _row(cells: tuple[Piece | None, ...], width: float) -> Piece:
    """Plates side by side in frames of one height."""
    standing = [cell for cell in cells if cell is not None]
    height = max(cell.height_mm for cell in standing)
    items: list[Primitive] = []
    for column, cell in enumerate(standing):
        x = column * (width + GAP_MM)
        items.append(box(x, 0.0, width, height, RULE))
        items.extend(moved(cell.items, x, 0.0))
    return Piece(height, tuple(items), gap_mm=ROW_GAP_MM)


def _with_setbacks(sheet: Sheet, cell: Piece, width: float) -> Piece:
    """A section stands for all kinds of edge, with their gauges and setbacks under it."""
    from renderer.ground.gauges import setbacks_in_use

    words = sheet.words
    columns = (
        Column(words("plates.edge"), 36, style=FINE),
        Column(words("plates.gauge"), 34, style=FINE),
        Column(words("plates.setback"), 20, "end", FINE_STRONG),
    )
    rows = []
    for kind, setback_m in setbacks_in_use(sheet.job.plan).items():
        gauge = sheet.job.setting.gauge_of(kind)
        named = gauge.name if gauge else ""
        if gauge and gauge.is_mark(setback_m):
            named = words("plates.mark", gauge=gauge.name)
        rows.append(Row((words(f"kind.{kind}"), named, sheet.measure.length(setback_m))))
    inner = stacked(rows_of(columns, rows, width - 2 * PAD_MM))
    height = cell.height_mm + inner.height_mm + PAD_MM
    return Piece(height, (*cell.items, *moved(inner.items, PAD_MM, cell.height_mm)))


def _in_a_row(notes: Iterable[str]) -> str:
    """Notes behind each other: sentences with a space between, others with a point."""
    told = ""
    for note in notes:
        told += (" " if told.endswith(".") else " · " if told else "") + note
    return told


def _cell(sheet: Sheet, plate: Plate, width: float) -> Piece:
    """Title and scale, the drawing midway under them, its notes and key numbers."""
    inner = width - 2 * PAD_MM
    scale = plate.drawing.scale
    aside = scale_aside(sheet, scale) if scale else ""
    room = inner - FINE.width_mm(aside) - 2.0
    items: list[Primitive] = [*TITLE.lines(plate.title, PAD_MM, PAD_MM, room)]
    if aside:
        items.append(FINE.line(aside, width - PAD_MM, PAD_MM + 0.4, "end"))
    y = PAD_MM + TITLE.height_mm(plate.title, room) + 0.5
    items.extend(moved(plate.drawing.items, (width - plate.drawing.width_mm) / 2, y))
    y += plate.drawing.height_mm + 0.5
    told = _in_a_row((*plate.notes, *(f"{key}  {text}" for key, text in plate.keyed)))
    items.extend(FINE.lines(told, PAD_MM, y, inner))
    return Piece(y + FINE.height_mm(told, inner) + PAD_MM, tuple(items))
