"""The carry sheet: one page that a pair lays a garden from, with the plan as large as it allows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import chain, groupby
from typing import TYPE_CHECKING, Annotated

from renderer.frozen import dataclass
from renderer.plan.values import word_of
from renderer.primitives import Primitive
from renderer.sheets.blocks.cautions import WORST_FIRST, own_cautions
from renderer.sheets.blocks.furniture import drawing_words
from renderer.sheets.blocks.job import figure_row, job_mark
from renderer.sheets.blocks.peg_list import Which
from renderer.sheets.blocks.plan import (
    PlanPage,
    best_scale,
    one_page,
    page_room,
    tile_parts,
    turn_of,
)
from renderer.sheets.blocks.steps import step_numbers
from renderer.sheets.compact import spared
from renderer.sheets.flow import flow
from renderer.sheets.kit import subheading, tick
from renderer.sheets.piece import Piece, height_of, held_together, on_new_page
from renderer.sheets.readings import good_on, span
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Write, table
from renderer.sheets.type import BODY, STRONG, TICK_MM
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.ground.gauges import Gauge

# Where the work stops until a box is ticked, each with the step of the order that it belongs to.
HOLDS = (
    ("services", "services"),
    ("check-bar", "check-bar"),
    ("start", "start"),
    ("pairs", "lead"),
    ("cut", "close"),
    ("ohms", "loop-ohms"),
    ("insulation", "insulation"),
    ("lap", "lap"),
    ("dock", "docking"),
)
RUNS_MOST = 4  # of steps that a hold point names
HOLDS_ABREAST = 3
WARNINGS_MOST = 6  # more would leave the plan no room; the order has them all
LEAST_PLAN_MM = 95.0  # a plan that has less room than this goes on sheets of its own
# Down to these scales 1:N the plan with control pegs alone is read; the second is of engineer's
# rulers. Common practice, no published source.
LEAST = {False: 250.0, True: 240.0}
CONTROL = frozenset({"control-only"})
GAP_MM = 2.5
NOTES_GAP_MM = 4.0
NOTES_MOST = 16  # rows for notes on a page,
UNDER_MM = 1.0  # from the first sheet of the plan to the legend, where that stands under it
NOTES_LEAST = 2  # or none


class CarryUse(BlockUse):
    """``pegs: all`` draws the pegs between the control pegs too, where the plan loses nothing."""

    pegs: Annotated[Which, word_of(Which, "choice")] = "control"


def build(sheet: Sheet, use: CarryUse) -> tuple[Piece, ...]:
    """Figures, plan, line map, this garden's hazards and the hold points on one page.

    Where the plan gains by it, it has the front with the figures, and the rest begins the back; a
    garden too large for a page has a sheet for each part of it. The job's bookmark leads here.
    """
    first, *others = _pieces(sheet, use)
    return replace(first, marks=(job_mark(sheet), *first.marks)), *others


def carried_turn(sheet: Sheet) -> float | None:
    """The turn, in degrees, of the plan on the front; nothing where it is on several sheets."""
    use = next(use for use in sheet.layout.uses if use.block == "carry")
    if not isinstance(use, CarryUse):
        return None
    fronts = _fronts(sheet, use)
    return turn_of(sheet, fronts[0].page) if fronts else None


@dataclass(frozen=True, slots=True, eq=False)
class Front:
    """A plan for the front, and whether all the rest stands under it."""

    page: PlanPage
    whole: bool


def _pieces(sheet: Sheet, use: CarryUse) -> tuple[Piece, ...]:
    title = use.title or sheet.words("heading.carry")
    figures, under = _figures(sheet), _under(sheet)
    rest = tuple(chain.from_iterable(under))
    for front in _fronts(sheet, use):
        found = _with_figures(one_page(sheet, title, front.page), figures)
        if not found or height_of(found) > sheet.height_mm:
            continue
        if not front.whole:
            front_too, back = _parted(under, sheet.height_mm - height_of(found))
            return *held_together((*found, *front_too)), *back
        if height_of((*found, *rest)) <= sheet.height_mm:
            return held_together((*found, *rest))
    room = page_room(sheet, title)
    tiles = PlanPage(room, _shown(sheet) | CONTROL, sheet.scale, snug=True, anchor="carry-plan")
    sheets, explained = tile_parts(sheet, title, _marked(sheet, tiles))
    maps, *told = under  # hazards and hold points first, where the plan has no room on the front
    first = (sheet.heading(use), figures, *chain.from_iterable(told), *maps)
    if _pages(sheet, (*first, *explained)) > _pages(sheet, first):
        return *_with_notes(sheet, first, sheets), *explained
    count = next(number for number, piece in enumerate(sheets, 1) if not piece.keep)
    close = (replace(piece, gap_mm=UNDER_MM) for piece in explained[:1])
    whole = (*sheets[:count], *close, *explained[1:])
    if height_of(whole) <= sheet.height_mm:  # under the first sheet of the plan
        return tuple(_with_notes(sheet, first, (*held_together(whole), *sheets[count:])))
    return tuple(_with_notes(sheet, (*first, *explained), sheets))


def _with_notes(sheet: Sheet, first: Sequence[Piece], sheets: tuple[Piece, ...]) -> Iterator[Piece]:
    """The pieces, with lines for notes in what is left of a page before a sheet of the plan."""
    yield from first
    pages, begins = 0, True
    for piece in on_new_page(sheets):
        if begins:
            pages += 1
            yield from _notes(sheet, pages)
        yield piece
        begins = not piece.keep


def _notes(sheet: Sheet, number: int) -> Iterator[Piece]:
    """Rows to write down what is found otherwise than drawn; none where fewer than a few fit."""
    words = sheet.words
    columns = [
        Column(words("carry.noted-at"), 1, lined=True),
        Column(words("carry.noted-what"), 6, lined=True),
    ]
    rows = [
        Row(tuple(Write(sheet.field_name("noted", number, row, key)) for key in ("at", "what")))
        for row in range(NOTES_MOST)
    ]
    head, *empty = table(columns, rows, sheet.width_mm)
    yield replace(head, gap_mm=NOTES_GAP_MM, spare=True)
    yield from (replace(row, spare=True) for row in spared(empty, NOTES_LEAST))


def _pages(sheet: Sheet, pieces: Sequence[Piece]) -> int:
    return len(flow(pieces, sheet.height_mm))


def _under(sheet: Sheet) -> tuple[tuple[Piece, ...], ...]:
    """What stands under the plan, or begins the back: line map, hazards, hold points."""
    return sheet.once(
        "carry-under",
        lambda: (
            tuple(_line_maps(sheet)),
            tuple(_hazards(sheet)),
            held_together(tuple(_holds(sheet))),
        ),
    )


def _parted(
    parts: Sequence[tuple[Piece, ...]], room_mm: float
) -> tuple[tuple[Piece, ...], tuple[Piece, ...]]:
    """What finds room under the plan, the hold points before all else, and what is left."""
    front: list[tuple[Piece, ...]] = []
    for part in reversed(parts):
        needed = sum(piece.gap_mm + piece.height_mm for piece in part)
        if part and needed <= room_mm:
            room_mm -= needed
            front.insert(0, part)
    back = [part for part in parts if part not in front]
    return tuple(chain.from_iterable(front)), tuple(chain.from_iterable(back))


def _shown(sheet: Sheet) -> frozenset[str]:
    """The layers of the plan; places of findings only where the document lists them."""
    from renderer.drawing import LAYERS

    return LAYERS if sheet.has("findings") else LAYERS - {"findings"}


def _marked(sheet: Sheet, page: PlanPage) -> PlanPage:
    return replace(page, findings=sheet.job.findings) if "findings" in page.show else page


def _fronts(sheet: Sheet, use: CarryUse) -> Sequence[Front]:
    """The plans to try, best first: with all pegs where they cost neither scale nor a page."""
    return sheet.once(("carry", use.title, use.pegs), lambda: _ranked(sheet, use))


def _ranked(sheet: Sheet, use: CarryUse) -> Sequence[Front]:
    control = _sized(sheet, use, _shown(sheet) | CONTROL, LEAST[_is_inch(sheet)])
    if use.pegs == "control" or not control:
        return control
    every = _sized(sheet, use, _shown(sheet), None)
    (least, whole) = _rank(sheet, control[0])
    return (*(each for each in every if _rank(sheet, each) <= (least, whole)), *control)


def _rank(sheet: Sheet, front: Front) -> tuple[bool, float]:
    return not front.whole, best_scale(sheet, front.page) or 0.0


def _is_inch(sheet: Sheet) -> bool:
    return sheet.inch_paper and sheet.job.plan.units == "ft"


def _sized(
    sheet: Sheet, use: CarryUse, show: frozenset[str], least: float | None
) -> Sequence[Front]:
    """The plan over the rest of the leaf where that costs no scale; then the plan by itself."""
    figures, rest = _figures(sheet), tuple(chain.from_iterable(_under(sheet)))
    title = use.title or sheet.words("heading.carry")
    room = page_room(sheet, title) - figures.gap_mm - figures.height_mm - GAP_MM
    page = PlanPage(room, show, sheet.scale, snug=True, brief=True, least=least, anchor="carry")
    front = _marked(sheet, page)
    both = replace(front, room_mm=room - rest[0].gap_mm - height_of(rest))
    alone = best_scale(sheet, front)
    beside = best_scale(sheet, both) if both.room_mm >= LEAST_PLAN_MM else None
    found = [Front(both, True)] if alone and beside and beside <= alone else []
    return (*found, Front(front, False)) if alone else ()


def _with_figures(page: Sequence[Piece], figures: Piece) -> tuple[Piece, ...]:
    """The page of a plan with the figures under its heading."""
    if not page:
        return ()
    head, plan, *others = page
    return head, figures, replace(plan, gap_mm=GAP_MM), *others


def _figures(sheet: Sheet) -> Piece:
    """Wire, pegs by pass, gauges, ohms with their band: large."""
    words, measure, job = sheet.words, sheet.measure, sheet.job
    first = sum(peg.round == 1 for peg in job.pegs)
    ohms = " / ".join(span(sheet, good_on(sheet, loop)) for loop in job.lay.loops)
    figures = [
        (measure.length(job.wire_m), words("figure.wire")),
        (f"{first} + {len(job.pegs) - first}", words("carry.pegs")),
        ("  ".join(_gauge(sheet, gauge) for gauge in sheet.gauges), words("carry.gauges")),
        (f"{ohms} Ω" if ohms else "", words("carry.ohms")),
    ]
    return figure_row([each for each in figures if each[0]], sheet.width_mm)


def _gauge(sheet: Sheet, gauge: Gauge) -> str:
    return f"{gauge.name} {sheet.measure.length(gauge.length_m)}"


def _line_maps(sheet: Sheet) -> Iterator[Piece]:
    from renderer.drawing.linemap import line_maps

    plan, loops = sheet.job.plan, sheet.job.lay.loops
    words = drawing_words(sheet)
    for row in line_maps(loops, units=plan.units, words=words, width_mm=sheet.width_mm):
        yield Piece(row.height_mm, row.items, gap_mm=GAP_MM)


def _hazards(sheet: Sheet) -> Iterator[Piece]:
    """This garden's own cautions, worst first, then the findings that nobody has accepted.

    A finding is named by its number in the list: its level would read as a signal word.
    """
    words = sheet.words
    own = sorted(own_cautions(sheet), key=lambda each: WORST_FIRST.index(each[0]))
    told = [(words(f"signal.{signal}"), text) for signal, text in own]
    listed = sheet.has("findings")
    open_ones = [
        (words("carry.finding", number=number) if listed else words("carry.open"), each.message)
        for number, each in enumerate(sheet.findings, 1)
        if each.level in ("stop", "warn") and not each.acknowledged
    ]
    told += open_ones[:WARNINGS_MOST]
    if len(open_ones) > WARNINGS_MOST:
        told.append(("", words("carry.more", count=len(open_ones) - WARNINGS_MOST)))
    left = max((STRONG.width_mm(word) for word, _ in told), default=0.0) + 3.0
    for number, (word, text) in enumerate(told):
        items = (
            *((STRONG.line(word, 0.0, 0.0),) if word else ()),
            *BODY.lines(text, left, 0.0, sheet.width_mm - left),
        )
        height = BODY.height_mm(text, sheet.width_mm - left)
        yield Piece(height, items, gap_mm=0.6 if number else GAP_MM)


def _holds(sheet: Sheet) -> Iterator[Piece]:
    """The hold points with a box each, and the number of the step that each belongs to."""
    numbers = step_numbers(sheet)
    held = [(key, numbers.get(step, ())) for key, step in HOLDS]
    held = [(key, at) for key, at in held if at]
    told = sheet.words("carry.holds" if sheet.has("steps") else "carry.holds-order")
    yield replace(subheading(told, sheet.width_mm), gap_mm=GAP_MM)
    width = sheet.width_mm / HOLDS_ABREAST
    room = width - TICK_MM - 4.0
    for start in range(0, len(held), HOLDS_ABREAST):
        row = held[start : start + HOLDS_ABREAST]
        texts = [_hold(sheet, key, at) for key, at in row]
        height = max(TICK_MM, *(BODY.height_mm(text, room) for text in texts)) + 0.8
        yield Piece(height, tuple(_hold_items(sheet, row, texts, width, height)))


def _hold(sheet: Sheet, key: str, at: Sequence[int]) -> str:
    runs = list(_runs(at))
    steps = ", ".join(runs[:RUNS_MOST]) + (", …" if len(runs) > RUNS_MOST else "")
    what = sheet.words(f"hold.{key}")
    return sheet.words.count("carry.hold", len(at), what=what, steps=steps)


def _runs(numbers: Sequence[int]) -> Iterator[str]:
    """Numbers in rising order, three or more that follow each other as the first and the last."""
    for _, group in groupby(enumerate(numbers), lambda pair: pair[1] - pair[0]):
        run = [number for _, number in group]
        yield from [f"{run[0]}–{run[-1]}"] if len(run) > 2 else map(str, run)


def _hold_items(
    sheet: Sheet,
    row: Sequence[tuple[str, Sequence[int]]],
    texts: Sequence[str],
    width: float,
    height: float,
) -> Iterator[Primitive]:
    for number, ((key, _), text) in enumerate(zip(row, texts, strict=True)):
        x = number * width
        yield tick(x + 0.5, 0.0, sheet.field_name("hold", key), text)
        room = width - TICK_MM - 4.0
        top = (height - 0.8 - BODY.height_mm(text, room)) / 2
        yield from BODY.lines(text, x + TICK_MM + 2.0, top, room)
