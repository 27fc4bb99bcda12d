"""Fault plates: each with one mistake to find, or none; the key names and rings it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from renderer.findings_text import in_words
from renderer.frozen import dataclass
from renderer.language.feet import with_signs
from renderer.plan.values import YesNo
from renderer.sheets.blocks.exercise import figures_given, headed
from renderer.sheets.blocks.furniture import drawing_words, legend, moved
from renderer.sheets.compact import stacked
from renderer.sheets.errors import no_wire
from renderer.sheets.kit import note_lines, paragraph, subheading
from renderer.sheets.piece import Piece, height_of, held_together
from renderer.sheets.plate_own import own, own_findings
from renderer.sheets.plate_record import bands, record
from renderer.sheets.plate_room import GAP_MM, PlateRoom, lines, lines_aside, room_of, scales
from renderer.sheets.sheet import Sheet
from renderer.sheets.type import CELL, SMALL
from renderer.sheets.use import BlockUse
from renderer.teaching.plate import (
    BY_READING,
    SOUND,
    Coil,
    CrossedPair,
    Plate,
    place_of,
    swapped,
)
from renderer.teaching.plates import Plates, plates

if TYPE_CHECKING:
    from renderer.checks.finding import Finding
    from renderer.drawing import PlanDrawing
    from renderer.drawing.lessons import Lesson
    from renderer.drawing.scene import Part, Scene
    from renderer.plan.model import Plan

# Put right by a crew otherwise than by who plans.
CURED_ON_SITE = frozenset({"peg-on-service", "left-open"})
NAMED_MOST = 20  # of what a plate turns the wrong way
SHOW = frozenset(
    {
        "sides",
        "side-labels",
        "obstacles",
        "features",
        "wire",
        "arrows",
        "large-arrows",
        "pegs",
        "splices",
        "dock",
        "references",
        "names",
        "lawn-names",
    }
)


class FaultPlatesUse(BlockUse):
    """``key: yes`` names each mistake, marks it, and says what it does."""

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
    """An introduction, the figures to check by and the legend, then a plate after another.

    A key has the plates that are words alone before those with a drawing.
    """
    words = sheet.words
    if not sheet.job.lay.loops:
        raise no_wire(sheet.layout.document)
    room = room_of(sheet)
    found = plates(sheet.job, words, room.scale)
    other = words("lesson.plate.as-planned" if own_findings(sheet) else "lesson.plate.as-should")
    intro = words("plates.key-intro") if use.key else words("lesson.plate.intro", other=other)
    board = _board(sheet, room, found.plates)
    numbered = list(enumerate(found.plates, 1))
    if use.key:
        # Those without a drawing first, with the rest of the words: drawings fill pages.
        numbered.sort(key=lambda each: each[1].key not in BY_READING)
        drawn = [_key_plate(sheet, *each, board, room) for each in numbered]
    else:
        drawn = [_task_plate(sheet, *each, board, room) for each in numbered]
    words_only = [each for each in drawn if not each.used]
    used = frozenset().union(*(each.used for each in drawn))
    told = legend(sheet, used, sheet.width_mm)
    return (
        headed(sheet, use),
        *paragraph(intro, sheet.width_mm),
        *own(sheet),
        *(() if use.key else figures_given(sheet, bands(sheet))),
        subheading(words("plates.legend"), sheet.width_mm),
        Piece(told.height_mm, told.items, gap_mm=2.0),
        *(piece for each in words_only for piece in each.pieces),
        *(_skipped(sheet, found, room.scale) if use.key else ()),
        *(piece for each in drawn if each.used for piece in each.pieces),
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


def _board(sheet: Sheet, room: PlateRoom, drawn_on: Iterable[Plate]) -> Lesson:
    """The garden as all of its plates show it, drawn once."""
    from renderer.drawing.lessons import lesson

    words = drawing_words(sheet)
    drawn_on = tuple(drawn_on)
    laid = [wires for plate in drawn_on if (wires := swapped(plate).get("wire"))]
    coils = [each.extra for each in drawn_on if isinstance(each.extra, Coil)]
    show = shown_at(sheet.job.plan, room.scale)

    return lesson(
        sheet.job.plan,
        sheet.job.lay,
        box_mm=(room.width_mm, room.height_mm),
        inch_paper=sheet.inch_paper,
        words=words,
        show=show,
        setting=sheet.job.setting,
        others=laid,
        coils=[(each.loop, each.at_m) for each in coils],
        scales=scales(sheet),
    )


def shown_at(plan: Plan, scale: float) -> frozenset[str]:
    """What plates show at a scale: control pegs alone where others run into each other."""
    from renderer.teaching.mistakes import shows_pegs

    return SHOW if shows_pegs(plan, scale) else SHOW | {"control-only"}


def _task_plate(
    sheet: Sheet, number: int, plate: Plate, board: Lesson, room: PlateRoom
) -> DrawnPlate:
    """The garden as it is laid, what was measured, and lines for what is wrong with it."""
    title = sheet.words("plates.plate", number=number)
    drawing = _drawn(sheet, plate, room.width_mm, board)
    head = subheading(title, sheet.width_mm, drawing.aside)
    if room.aside_mm:
        beside = lines_aside(sheet, number, plate)
        return DrawnPlate(held_together((head, _abreast(drawing, beside, room))), drawing.plan.used)
    left = sheet.height_mm - height_of((head, drawing.picture)) if room.alone else 0.0
    told = lines(sheet, number, plate, left)
    return DrawnPlate(held_together((head, drawing.picture, *told)), drawing.plan.used)


def _key_plate(
    sheet: Sheet, number: int, plate: Plate, board: Lesson, room: PlateRoom
) -> DrawnPlate:
    """The mistake ringed on the plate as the class has it, what the check says, what it does."""
    words = sheet.words
    name = words(f"fault.{plate.key}", **_facts(sheet, plate))
    title = words("plates.named", number=number, name=name)
    if plate.key in BY_READING:
        told = _told(sheet, plate, sheet.width_mm)
        return DrawnPlate(held_together((subheading(title, sheet.width_mm), *told)), frozenset())
    drawing = _drawn(sheet, plate, room.width_mm, board, ring=plate.key != SOUND)
    head = subheading(title, sheet.width_mm, drawing.aside)
    if room.aside_mm:
        beside = stacked(_told(sheet, plate, room.aside_mm))
        return DrawnPlate(held_together((head, _abreast(drawing, beside, room))), drawing.plan.used)
    told = _told(sheet, plate, sheet.width_mm)
    return DrawnPlate(held_together((head, drawing.picture, *told)), drawing.plan.used)


def _abreast(drawing: PlatePicture, beside: Piece, room: PlateRoom) -> Piece:
    """A drawing and what stands in the column at its right as one."""
    items = (*drawing.picture.items, *moved(beside.items, room.width_mm + GAP_MM, 0.0))
    return Piece(max(drawing.picture.height_mm, beside.height_mm), items, gap_mm=1.0)


def _told(sheet: Sheet, plate: Plate, width: float) -> tuple[Piece, ...]:
    lines = list(_explained(sheet, plate))
    return tuple(
        piece
        for number, line in enumerate(lines)
        for piece in paragraph(line, width, CELL, gap_mm=0.8 if number else 2.5)
    )


def _facts(sheet: Sheet, plate: Plate) -> dict[str, str]:
    """What the sentences of a plate name: what it is at, and lengths as the sheet writes them."""
    lengths = {key: sheet.measure.length(fact) for key, fact in plate.facts.items()}
    return {"of": plate.of, **lengths}


def _explained(sheet: Sheet, plate: Plate) -> Iterator[str]:
    """What the check says or how else the mistake is found, what it does, how it is put right."""
    words = sheet.words
    found = in_words(plate.findings[:1], plate.plan.units, words.language)
    if found:
        also = tuple(_named_too(plate.findings))
        told = words("plates.check", message=with_signs(found[0].message))
        yield f"{told} {words('plates.also', of=words.listed(also, NAMED_MOST))}" if also else told
    elif plate.key in BY_READING:
        yield words("lesson.plate.by-reading", record=record(sheet, plate.key, plate.of))
        if plate.key == "dry-splice":
            spans = (span for _, span in bands(sheet))
            whole = dict(zip((loop.name for loop in sheet.job.lay.loops), spans, strict=True))
            yield words("lesson.plate.whole", span=whole[plate.of])
    elif plate.key != SOUND:
        yield words("plates.seen" if plate.extra else "lesson.plate.by-eye")
    if plate.key == SOUND and own_findings(sheet):
        yield words("why-fault.as-planned")
    else:
        yield words(f"why-fault.{plate.key}", **_facts(sheet, plate))
    if found:
        own = plate.key in CURED_ON_SITE
        cure = words(f"fault-cure.{plate.key}") if own else found[0].cure
        yield words("plates.cure", cure=cure)
    for each in in_words(plate.also, plate.plan.units, words.language):
        yield words("plates.too", message=with_signs(each.message))


def _named_too(findings: Sequence[Finding]) -> Iterator[str]:
    """What else the check says the same of as of the first."""
    said = [str(each.facts["name"]) for each in findings if "name" in each.facts
            and each.rule == findings[0].rule]  # fmt: skip
    yield from dict.fromkeys(name for name in said if name != said[0])


def extras(plate: Plate, *, ring: bool) -> Callable[[Scene], Iterator[Part]]:
    """What is drawn besides the lay: what no lay can hold, and a ring round the mistake."""

    def drawn(scene: Scene) -> Iterator[Part]:
        from renderer.drawing import lessons

        if isinstance(plate.extra, CrossedPair):
            yield lessons.crossed_pair(scene, plate.extra.points)
            if ring:
                yield lessons.ring_at(lessons.crossing_at(scene, plate.extra.points))
            return
        if isinstance(plate.extra, Coil):
            yield lessons.coil(scene, plate.extra.loop, plate.extra.at_m)
        if ring:
            yield lessons.ring_round(scene, place_of(plate))

    return drawn


def _drawn(
    sheet: Sheet, plate: Plate, width: float, board: Lesson, *, ring: bool = False
) -> PlatePicture:
    """The plan of a plate; below it its key numbers, and the names that have no room on it."""
    from renderer.drawing.legends import missing
    from renderer.drawing.scale import scale_text

    words = sheet.words
    drawn = board.drawing(swapped(plate), extras(plate, ring=ring))
    aside = words("plates.scale", scale=scale_text(drawn.scale))
    keys = "; ".join(words("plates.keyed", number=key, text=text) for key, text in drawn.keyed)
    told = missing(drawn.unplaced, drawing_words(sheet))
    keys = ". ".join(text for text in (keys, *told) if text)
    under = SMALL.lines(keys, 0.0, drawn.drawing.height_mm, width) if keys else ()
    tall = drawn.drawing.height_mm + len(under) * SMALL.pitch_mm
    return PlatePicture(drawn, aside, Piece(tall, (*drawn.drawing.items, *under), gap_mm=1.0))
