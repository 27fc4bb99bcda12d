"""As built: the plan's outline and wire on a grid to draw on, and rows for what was changed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from renderer.plan.values import YesNo
from renderer.primitives import Drawing, Primitive
from renderer.sheets.blocks import sign_off
from renderer.sheets.blocks.built_scale import (
    BESIDE_MM,
    HALF_MM,
    LOW_MM,
    LOW_SCALE,
    SMALL_SCALE,
    box_in,
    built_turn,
    half_mm,
    scale_in,
    signed_beside,
    signed_scale,
)
from renderer.sheets.blocks.furniture import cornered, drawing_words, moved, scale_aside
from renderer.sheets.compact import FINE, stacked
from renderer.sheets.kit import HEADING_GAP_MM, SMALL_GAP_MM, box, paragraph, rule, upright
from renderer.sheets.layout import RowCount
from renderer.sheets.piece import Piece, height_of, held_together, with_gap
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Cell, Column, Row, Write, table
from renderer.sheets.type import GRID, RULE, SMALL, WRITE_ROW_MM
from renderer.sheets.use import BlockUse
from renderer.units import MM_PER_M

if TYPE_CHECKING:
    from renderer.drawing import PlanDrawing

SHOWN = frozenset({"wire", "obstacles", "references", "splices", "dock"})
LEAST_FIELD_MM = 4.0
GAP_MM = 5.0
STEPS = (1, 2, 5, 10, 20, 50, 100)


class AsBuiltUse(BlockUse):
    """``rows`` is how many empty rows for changes follow the splices; none leaves the table out.

    ``signed`` puts the sign-off beside the drawing, where that does with half the width, or leaves
    room for it under the drawing, where that is still large enough.
    """

    rows: RowCount = 6
    signed: YesNo = False


def build(sheet: Sheet, use: AsBuiltUse) -> tuple[Piece, ...]:
    """The gridded drawing beside the rows for changes; above them where it needs the width."""
    if use.signed and signed_beside(sheet):
        return _with_sign_off(sheet, use)
    head = (
        _head(sheet, use),
        *paragraph(sheet.words("built.intro"), sheet.width_mm, FINE, keep=True),
    )
    whole = sheet.height_mm - height_of(head) - 6.0
    if not use.rows and sheet.page_mm:
        low, high = (sheet.width_mm, LOW_MM), (sheet.width_mm, min(HALF_MM, whole))
        drawn = _drawn(sheet, low if scale_in(sheet, low) <= LOW_SCALE else high)
        return held_together((*head, _drawing(sheet, drawn)))
    half = (sheet.width_mm - GAP_MM) / 2
    small = (half, min(HALF_MM, whole))
    large = (sheet.width_mm, whole)
    if scale_in(sheet, small) <= max(SMALL_SCALE, scale_in(sheet, large)):
        rows = stacked(_changes(sheet, use.rows, half))
        drawing = _drawing(sheet, _drawn(sheet, small))
        items = (*drawing.items, *moved(rows.items, half + GAP_MM, 0.0))
        both = Piece(max(drawing.height_mm, rows.height_mm), items, gap_mm=2.0)
        return held_together((*head, both))
    changes = _changes(sheet, use.rows, sheet.width_mm)
    taken = sum(piece.height_mm + piece.gap_mm for piece in (*head, *changes))
    room = max(sheet.height_mm - taken - 6.0, sheet.height_mm / 2)
    above = (sheet.width_mm, room - _signed_mm(sheet, use))
    if use.signed and scale_in(sheet, above) <= signed_scale(sheet, scale_in(sheet, large)):
        room, large = above[1], above
    if scale_in(sheet, large) < scale_in(sheet, (sheet.width_mm, room)):
        return *held_together((*head, _drawing(sheet, _drawn(sheet, large)))), *changes
    drawing = _drawing(sheet, _drawn(sheet, (sheet.width_mm, room)))
    return (*held_together((*head, drawing)), *with_gap(changes, 3.0))


def _head(sheet: Sheet, use: BlockUse) -> Piece:
    """The heading, and on its line the code of the design that the record is made on."""
    above = sheet.heading(use)
    code, y = sheet.words("built.design", code=sheet.job.design_code), above.height_mm - 1.0
    text = FINE.line(code, sheet.width_mm, y - FINE.pitch_mm - 1.0, "end")
    return replace(above, items=(*above.items, text))


def _with_sign_off(sheet: Sheet, use: AsBuiltUse) -> tuple[Piece, ...]:
    """The drawing without rows for changes, and the sign-off at its right, as one piece."""
    width = half_mm(sheet)
    half = sheet.column(width)
    own = next((each for each in sheet.layout.uses if each.block == "sign-off"), None)
    drawn = build(half, use.model_copy(update={"rows": 0}))
    signed = sign_off.build(half, own or BlockUse(block="sign-off"))
    left, right = stacked(drawn), stacked(signed)
    items = (*left.items, *moved(right.items, width + BESIDE_MM, 0.0))
    height = max(left.height_mm, right.height_mm)
    return (Piece(height, items, gap_mm=SMALL_GAP_MM, marks=(*left.marks, *right.marks)),)


def _signed_mm(sheet: Sheet, use: AsBuiltUse) -> float:
    """What the sign-off under the drawing takes of its page, in mm."""
    own = next((each for each in sheet.layout.uses if each.block == "sign-off"), None)
    pieces = sign_off.build(sheet, own) if use.signed and own else ()
    return height_of(pieces) + HEADING_GAP_MM if pieces else 0.0


def _drawing(sheet: Sheet, drawn: PlanDrawing) -> Piece:
    field_m, field_mm = _field(sheet, drawn.scale)
    drawing = drawn.drawing
    scale = scale_aside(sheet, drawn.scale)
    note = sheet.words("built.grid", field=sheet.measure.length(field_m), scale=scale)
    top = drawing.height_mm + 0.8
    marks = (*SMALL.lines(note, 0.0, top, drawing.width_mm), *cornered(sheet, drawn, 1.5))
    items = (*_grid(drawing, field_mm), *drawing.items, *marks)
    return Piece(top + SMALL.height_mm(note, drawing.width_mm), items, gap_mm=2.0)


def _drawn(sheet: Sheet, room: tuple[float, float]) -> PlanDrawing:
    from renderer.drawing import plan_drawing

    return plan_drawing(
        sheet.job.plan,
        sheet.job.lay,
        (),
        box_mm=box_in(room),
        inch_paper=sheet.inch_paper,
        words=drawing_words(sheet),
        show=SHOWN,
        turn=built_turn(sheet, room),
        setting=sheet.job.setting,
    )


def _field(sheet: Sheet, scale: float) -> tuple[float, float]:
    """Side of a field of the grid, on the ground in metres and on paper in mm."""
    unit = sheet.figures["as_built_grid"]
    sizes = ((unit * step, unit * step * MM_PER_M / scale) for step in STEPS)
    return next(size for size in sizes if size[1] >= LEAST_FIELD_MM)


def _grid(drawing: Drawing, field_mm: float) -> Iterator[Primitive]:
    width, height = drawing.width_mm, drawing.height_mm
    yield from (upright(n * field_mm, 0.0, height, GRID) for n in range(1, _count(width, field_mm)))
    yield from (rule(0.0, width, n * field_mm, GRID) for n in range(1, _count(height, field_mm)))
    yield box(0.0, 0.0, width, height, RULE)


def _count(length: float, field: float) -> int:
    return int(length / field - 1e-6) + 1


def _changes(sheet: Sheet, empty: int, width_mm: float) -> tuple[Piece, ...]:
    """A row per splice, unless the table of places has it, then empty rows."""
    words, measure = sheet.words, sheet.measure
    unit = measure.unit
    columns = (
        Column(words("built.what"), 44, lined=True),
        Column(words("built.planned", unit=unit), 38, "end", lined=True),
        Column(words("built.laid", unit=unit), 36, lined=True),
        Column(words("built.tie-1", unit=unit), 36, lined=True),
        Column(words("built.tie-2", unit=unit), 36, lined=True),
    )
    planned: list[tuple[Cell, Cell]] = [
        (words("built.splice", splice=splice.id), measure.bare(splice.at_m))
        for splice in (() if _listed(sheet) else sheet.job.splices)
    ]
    planned += [
        (Write(sheet.field_name("built", n, "what")), Write(sheet.field_name("built", n, "at")))
        for n in range(empty)
    ]
    if not planned:
        return ()
    rows = [
        Row(
            (
                what,
                at,
                *(Write(sheet.field_name("built", n, part)) for part in ("laid", "tie-1", "tie-2")),
            ),
            WRITE_ROW_MM,
        )
        for n, (what, at) in enumerate(planned)
    ]
    return table(columns, rows, width_mm)


def _listed(sheet: Sheet) -> bool:
    """Whether the document's table of places has the splices."""
    return sheet.has("photos")
