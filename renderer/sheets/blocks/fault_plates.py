"""Fault plates: each with one mistake to find, or none; the key shows the right garden too."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache
from typing import TYPE_CHECKING

from renderer.findings_text import in_words
from renderer.frozen import dataclass
from renderer.plan.values import YesNo
from renderer.sheets.blocks.exercise import figures_given, headed
from renderer.sheets.blocks.furniture import drawing_words, legend, moved
from renderer.sheets.kit import note_lines, paragraph, rule, subheading
from renderer.sheets.piece import Piece, height_of, held_together
from renderer.sheets.plate_record import bands, record
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Write, table
from renderer.sheets.type import CELL, SMALL, SMALL_STRONG
from renderer.sheets.use import BlockUse
from renderer.teaching.plate import (
    BY_READING,
    SOUND,
    Coil,
    CrossedPair,
    Plate,
    place_of,
    swapped,
    unspoilt,
)
from renderer.teaching.plates import Plates, plates

if TYPE_CHECKING:
    from renderer.drawing import PlanDrawing
    from renderer.drawing.lessons import Lesson
    from renderer.drawing.scene import Part, Scene
    from renderer.primitives import Primitive

    Board = Callable[[float], Lesson]  # the garden at a width in mm

ASKED = ("found", "does", "mend")
GAP_MM = 6.0
EDGE_MM = 8.0  # between a plate's parts, and what its key numbers take
CAPTION_MM = 5.0
SMALLER_MOST = 2.1  # side by side, the scale may be so many times smaller than on the plates
SHOW = frozenset(
    {
        "sides",
        "side-labels",
        "obstacles",
        "features",
        "wire",
        "arrows",
        "pegs",
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
class DrawnPlate:
    """A plate's pieces and what its drawings have a legend for."""

    pieces: tuple[Piece, ...]
    used: frozenset[str]


@dataclass(frozen=True, slots=True, eq=False)
class PlatePicture:
    """A drawing as a piece with its key numbers, and its scale in words."""

    plan: PlanDrawing
    aside: str
    picture: Piece


def build(sheet: Sheet, use: FaultPlatesUse) -> tuple[Piece, ...]:
    """An introduction, the figures to check by and the legend, then a plate after another."""
    words = sheet.words
    if not sheet.job.lay.loops:
        return headed(sheet, use), *paragraph(words("plates.none"), sheet.width_mm)
    room_mm, scale = _room(sheet)
    found = plates(sheet.job, words, scale)
    intro = words("plates.key-intro" if use.key else "lesson.plate.intro")
    board = _board(sheet, room_mm, found.plates)
    if use.key:
        drawn = [_key_plate(sheet, *each, board, scale) for each in enumerate(found.plates, 1)]
    else:
        drawn = [_task_plate(sheet, *each, board) for each in enumerate(found.plates, 1)]
    used = frozenset().union(*(each.used for each in drawn))
    told = legend(sheet, used, sheet.width_mm)
    return (
        headed(sheet, use),
        *paragraph(intro, sheet.width_mm),
        *(() if use.key else figures_given(sheet, bands(sheet))),
        subheading(words("plates.legend"), sheet.width_mm),
        Piece(told.height_mm, told.items, gap_mm=2.0),
        *(piece for each in drawn for piece in each.pieces),
        *(_skipped(sheet, found, scale) if use.key else ()),
    )


def _skipped(sheet: Sheet, found: Plates, scale: float) -> tuple[Piece, ...]:
    """The mistakes that there is no plate of, and why."""
    from renderer.drawing.scale import scale_text

    if not found.skipped:
        return ()
    words, facts = sheet.words, {"scale": scale_text(scale)}
    lines = [
        words(
            "lesson.plate.skipped",
            name=words(f"lesson.mistake.{each.key}"),
            why=words(f"lesson.skip.{each.why}", **facts),
        )
        for each in found.skipped
    ]
    head = subheading(words("lesson.plate.not-here"), sheet.width_mm)
    return held_together((head, *note_lines(lines, sheet.width_mm, CELL)))


def _lines(sheet: Sheet, number: int, plate: Plate) -> tuple[Piece, ...]:
    """What was measured, and lines for what is wrong."""
    words = sheet.words
    columns = (Column("", 54, style=SMALL_STRONG), Column("", 136, lined=True))
    told = record(sheet, plate.key, plate.of)
    rows = [Row((words("lesson.plate.measured"), told))]
    rows += [
        Row((words(f"plates.{name}"), Write(sheet.field_name("plate", number, name))))
        for name in ASKED
    ]
    top = Piece(0.0, (rule(0.0, sheet.width_mm, 0.0),), gap_mm=2.5)
    return (top, *table(columns, rows, sheet.width_mm)[1:])


def _room(sheet: Sheet) -> tuple[float, float]:
    """The height of a plate's drawing and the N of its 1:N: two a page where none is lost."""
    from renderer.drawing import DrawError
    from renderer.drawing.plan import fit_plan
    from renderer.teaching.mistakes import too_small

    plan, lay, words = sheet.job.plan, sheet.job.lay, sheet.words
    title = subheading(words("plates.plate", number=1), sheet.width_mm)
    taken = height_of(_lines(sheet, 1, unspoilt(sheet.job))) + title.height_mm + EDGE_MM
    whole, half = sheet.height_mm - taken, (sheet.height_mm - GAP_MM) / 2.0 - taken
    fit = fit_plan(plan, lay, (sheet.width_mm, whole), inch_paper=sheet.inch_paper)
    try:
        small = fit_plan(plan, lay, (sheet.width_mm, half), inch_paper=sheet.inch_paper)
    except DrawError:
        return whole, fit.scale
    if too_small(sheet.job, words, small.scale) > too_small(sheet.job, words, fit.scale):
        return whole, fit.scale
    return half, small.scale


def _board(sheet: Sheet, height: float, drawn_on: Iterable[Plate]) -> Board:
    """The garden as its plates show it, drawn once for each width that they have."""
    from renderer.drawing.lessons import lesson

    words = drawing_words(sheet)
    laid = [wires for plate in drawn_on if (wires := swapped(plate).get("wire"))]

    @cache
    def drawn(width: float) -> Lesson:
        return lesson(
            sheet.job.plan,
            sheet.job.lay,
            box_mm=(width, height),
            inch_paper=sheet.inch_paper,
            words=words,
            show=SHOW,
            setting=sheet.job.setting,
            others=laid,
        )

    return drawn


def _task_plate(sheet: Sheet, number: int, plate: Plate, board: Board) -> DrawnPlate:
    """The garden as it is laid, what was measured, and lines for what is wrong with it."""
    title = sheet.words("plates.plate", number=number)
    drawing = _drawn(sheet, plate, sheet.width_mm, board)
    head = subheading(title, sheet.width_mm, drawing.aside)
    lines = _lines(sheet, number, plate)
    return DrawnPlate(held_together((head, drawing.picture, *lines)), drawing.plan.used)


def _key_plate(sheet: Sheet, number: int, plate: Plate, board: Board, scale: float) -> DrawnPlate:
    """The mistake ringed, what the check says, what it does; the right garden beside it.

    Where two side by side are too small to be read the mistake stands alone; the sound plate,
    which is the right garden, always does.
    """
    words = sheet.words
    name = words(f"fault.{plate.key}", **_facts(sheet, plate))
    title = words("plates.named", number=number, name=name)
    told = _told(sheet, plate)
    if plate.key in BY_READING:
        return DrawnPlate(held_together((subheading(title, sheet.width_mm), *told)), frozenset())
    ring = plate.key != SOUND
    width = (sheet.width_mm - GAP_MM) / 2.0
    wrong = _drawn(sheet, plate, width, board, ring=ring)
    if plate.key == SOUND or wrong.plan.scale > SMALLER_MOST * scale:
        alone = _drawn(sheet, plate, sheet.width_mm, board, ring=ring)
        head = subheading(title, sheet.width_mm, alone.aside)
        return DrawnPlate(held_together((head, alone.picture, *told)), alone.plan.used)
    right = _drawn(sheet, unspoilt(sheet.job), width, board)
    head = subheading(title, sheet.width_mm, wrong.aside)
    pair = _side_by_side(sheet, (wrong, right), width)
    return DrawnPlate(held_together((head, pair, *told)), wrong.plan.used | right.plan.used)


def _told(sheet: Sheet, plate: Plate) -> tuple[Piece, ...]:
    lines = list(_explained(sheet, plate))
    return tuple(
        piece
        for number, line in enumerate(lines)
        for piece in paragraph(line, sheet.width_mm, CELL, gap_mm=0.8 if number else 2.5)
    )


def _facts(sheet: Sheet, plate: Plate) -> dict[str, str]:
    """What the sentences of a plate name: what it is at, lengths and names as the sheet writes."""
    told = {"of": plate.of}
    for key, fact in plate.facts.items():
        if isinstance(fact, tuple):
            told[key] = sheet.words.listed(fact)
        else:
            told[key] = sheet.measure.length(fact)
    return told


def _explained(sheet: Sheet, plate: Plate) -> Iterator[str]:
    """What the check says or how else the mistake is found, what it does, how it is put right."""
    words = sheet.words
    found = in_words((plate.finding,) if plate.finding else (), plate.plan.units, words.language)
    if found:
        yield words("plates.check", message=found[0].message)
    elif plate.key in BY_READING:
        yield words("lesson.plate.by-reading", record=record(sheet, plate.key, plate.of))
    elif plate.key != SOUND:
        yield words("plates.seen" if plate.extra else "lesson.plate.by-eye")
    yield words(f"why-fault.{plate.key}", **_facts(sheet, plate))
    if found:
        yield words("plates.cure", cure=found[0].cure)


def _side_by_side(sheet: Sheet, both: Sequence[PlatePicture], width: float) -> Piece:
    height = max(each.picture.height_mm for each in both)
    items: list[Primitive] = []
    for index, (each, caption) in enumerate(zip(both, ("wrong", "right"), strict=True)):
        x = index * (width + GAP_MM)
        items.append(SMALL_STRONG.line(sheet.words(f"plates.{caption}"), x, 0.0))
        items.extend(moved(each.picture.items, x, CAPTION_MM))
    return Piece(CAPTION_MM + height, tuple(items), gap_mm=1.0)


def extras(plate: Plate, *, ring: bool) -> Callable[[Scene], Iterator[Part]]:
    """What is drawn besides the lay: what no lay can hold, and a ring round the mistake."""

    def drawn(scene: Scene) -> Iterator[Part]:
        from renderer.drawing import lessons

        if isinstance(plate.extra, CrossedPair):
            yield lessons.crossed_pair(scene, plate.extra.points)
        elif isinstance(plate.extra, Coil):
            yield lessons.coil(scene, plate.extra.loop, plate.extra.at_m)
        if ring:
            yield lessons.ring_round(scene, place_of(plate))

    return drawn


def _drawn(
    sheet: Sheet, plate: Plate, width: float, board: Board, *, ring: bool = False
) -> PlatePicture:
    """The plan of a plate with its key numbers below."""
    from renderer.drawing.scale import scale_text

    words = sheet.words
    drawn = board(width).drawing(swapped(plate), extras(plate, ring=ring))
    aside = words("plates.scale", scale=scale_text(drawn.scale))
    keys = "; ".join(words("plates.keyed", number=key, text=text) for key, text in drawn.keyed)
    under = SMALL.lines(keys, 0.0, drawn.drawing.height_mm, width) if keys else ()
    tall = drawn.drawing.height_mm + len(under) * SMALL.pitch_mm
    return PlatePicture(drawn, aside, Piece(tall, (*drawn.drawing.items, *under), gap_mm=1.0))
