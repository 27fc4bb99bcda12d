"""Fault plates: each with one mistake to find; on the key it is named beside the right garden."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from renderer.plan.values import YesNo
from renderer.sheets.blocks.exercise import headed
from renderer.sheets.blocks.furniture import drawing_words, legend, moved
from renderer.sheets.kit import box, paragraph, rule, subheading
from renderer.sheets.layout import BlockUse
from renderer.sheets.piece import Piece, height_of, held_together
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Write, table
from renderer.sheets.teaching.plates import (
    Plate,
    place_of,
    plates,
    ringed,
    shown_lay,
    unspoilt,
)
from renderer.sheets.type import CELL, SMALL, SMALL_STRONG

if TYPE_CHECKING:
    from renderer.drawing import PlanDrawing
    from renderer.primitives import Primitive

ASKED = ("found", "does", "mend")
GAP_MM = 6.0
CAPTION_MM = 5.0
LARGE = 100.0  # 1:N at which a mistake of a few centimetres can be measured
LEGEND_MM = 38.0  # what the legend is reckoned to take on the first page
SHOW = frozenset(
    {
        "sides",
        "side-labels",
        "obstacles",
        "wire",
        "arrows",
        "splices",
        "dock",
        "references",
        "names",
        "lawn-names",
    }
)


class FaultPlatesUse(BlockUse):
    """``key: yes`` names each mistake, marks it, and shows the garden without it beside it."""

    key: YesNo = False


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """A plate's pieces and what its drawings have a legend for."""

    pieces: tuple[Piece, ...]
    used: frozenset[str]


@dataclass(frozen=True, slots=True, eq=False)
class Picture:
    """A drawing as a piece with its key numbers, and what stands at the right of its heading."""

    plan: PlanDrawing
    is_part: bool
    aside: str
    picture: Piece

    @property
    def scale(self) -> float:
        return self.plan.scale


def build(sheet: Sheet, use: FaultPlatesUse) -> tuple[Piece, ...]:
    """An introduction with the legend, then a plate after another."""
    words = sheet.words
    found = plates(sheet.job, words)
    head = headed(sheet, use)
    if not found:
        return head, *paragraph(words("plates.none"), sheet.width_mm)
    intro = paragraph(words("plates.key-intro" if use.key else "plates.intro"), sheet.width_mm)
    if use.key:
        drawn = [_key_plate(sheet, number, plate) for number, plate in enumerate(found, 1)]
    else:
        room = sheet.height_mm - height_of((head, *intro)) - LEGEND_MM
        drawn = [_task_plate(sheet, number, plate, room) for number, plate in enumerate(found, 1)]
    used = frozenset().union(*(each.used for each in drawn))
    told = legend(sheet, used, sheet.width_mm)
    return (
        head,
        *intro,
        subheading(words("plates.legend"), sheet.width_mm),
        Piece(told.height_mm, told.items, gap_mm=2.0),
        *(piece for each in drawn for piece in each.pieces),
    )


def _task_plate(sheet: Sheet, number: int, plate: Plate, page_mm: float) -> Drawn:
    """The garden with the mistake, and lines for what is wrong with it.

    Two share a page where that costs no scale; else each has ``page_mm`` to itself.
    """
    words = sheet.words
    columns = (Column("", 56, style=SMALL_STRONG), Column("", 134, lined=True))
    rows = [
        Row((words(f"plates.{name}"), Write(sheet.field_name("plate", number, name))))
        for name in ASKED
    ]
    top = Piece(0.0, (rule(0.0, sheet.width_mm, 0.0),), gap_mm=2.5)
    lines = (top, *table(columns, rows, sheet.width_mm)[1:])
    title = words("plates.plate", number=number)
    taken = height_of(lines) + subheading(title, sheet.width_mm).height_mm
    drawing = _drawn(sheet, plate, sheet.width_mm, _room(sheet, taken))
    if drawing.is_part or drawing.scale > LARGE:
        large = _drawn(sheet, plate, sheet.width_mm, page_mm - taken - 4.0)
        drawing = large if not large.is_part and large.scale < drawing.scale else drawing
    head = subheading(title, sheet.width_mm, drawing.aside)
    return Drawn(held_together((head, drawing.picture, *lines)), drawing.plan.used)


def _room(sheet: Sheet, taken: float) -> float:
    """Height for a drawing where two plates share a page."""
    return (sheet.height_mm - GAP_MM) / 2.0 - taken - 8.0


def _key_plate(sheet: Sheet, number: int, plate: Plate) -> Drawn:
    """The mistake ringed, the right garden beside it, what the check says, what it does."""
    words = sheet.words
    name = words(f"fault.{plate.key}", of=plate.of)
    title = words("plates.named", number=number, name=name)
    told = _told(sheet, plate)
    width = (sheet.width_mm - GAP_MM) / 2.0
    room = _room(sheet, height_of(told) + CAPTION_MM + subheading(title, sheet.width_mm).height_mm)
    wrong = _drawn(sheet, ringed(plate), width, room)
    right = _drawn(sheet, unspoilt(sheet.job, plate), width, room)
    head = subheading(title, sheet.width_mm, wrong.aside)
    pair = _side_by_side(sheet, (wrong, right), width)
    return Drawn(held_together((head, pair, *told)), wrong.plan.used | right.plan.used)


def _told(sheet: Sheet, plate: Plate) -> tuple[Piece, ...]:
    words = sheet.words
    if plate.finding is None:
        lines = [words("plates.seen"), words(f"why-fault.{plate.key}")]
    else:
        lines = [
            words("plates.check", message=plate.finding.message),
            words(f"why-fault.{plate.key}"),
            words("plates.cure", cure=plate.finding.cure),
        ]
    return tuple(
        piece
        for number, line in enumerate(lines)
        for piece in paragraph(line, sheet.width_mm, CELL, gap_mm=0.8 if number else 2.5)
    )


def _side_by_side(sheet: Sheet, both: Sequence[Picture], width: float) -> Piece:
    height = max(each.picture.height_mm for each in both)
    items: list[Primitive] = []
    for index, (each, caption) in enumerate(zip(both, ("wrong", "right"), strict=True)):
        x = index * (width + GAP_MM)
        items.append(SMALL_STRONG.line(sheet.words(f"plates.{caption}"), x, 0.0))
        items.extend(moved(each.picture.items, x, CAPTION_MM))
    return Piece(CAPTION_MM + height, tuple(items), gap_mm=1.0)


def _drawn(sheet: Sheet, plate: Plate, width: float, height: float) -> Picture:
    """The plan of a plate, or the part of it with the mistake, and its key numbers below."""
    from renderer.drawing.lessons import lesson_drawing
    from renderer.drawing.scale import scale_text

    words = sheet.words
    drawn = lesson_drawing(
        plate.plan,
        shown_lay(plate),
        place_of(plate),
        box_mm=(width, height),
        inch_paper=sheet.inch_paper,
        words=drawing_words(sheet),
        show=SHOW,
        extra=plate.extra,
        off=plate.off,
    )
    aside = words("plates.scale", scale=scale_text(drawn.plan.scale))
    if drawn.is_part:
        aside = words("plates.part", scale=aside)
    keys = "; ".join(words("plates.keyed", number=key, text=text) for key, text in drawn.plan.keyed)
    under = SMALL.lines(keys, 0.0, drawn.plan.drawing.height_mm, width) if keys else ()
    tall = drawn.plan.drawing.height_mm + len(under) * SMALL.pitch_mm
    frame = (box(0.0, 0.0, width, drawn.plan.drawing.height_mm),) if drawn.is_part else ()
    picture = Piece(tall, (*drawn.plan.drawing.items, *frame, *under), gap_mm=1.0)
    return Picture(drawn.plan, drawn.is_part, aside, picture)
