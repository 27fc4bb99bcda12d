"""The head of an exercise: who works on it, the task, and what is given."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from renderer.job.practice import SIGN
from renderer.language.numbers import with_minus
from renderer.primitives import Mark
from renderer.sheets.kit import heading, paragraph, subheading
from renderer.sheets.piece import Piece, held_together, with_foot
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Cell, Column, Row, Styled, Write, table
from renderer.sheets.tasks import ground_of, may_have_pairs
from renderer.sheets.type import BODY, CELL, CELL_STRONG, SMALL, STRONG
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.ground.sides import NumberedSide
    from renderer.plan.model import Loop, Obstacle

UNPARTED = 6  # rows of a table that stand on one page
WHO = ("name", "group", "day")
TIGHT_MM = 0.5  # above and below a row, so that what is given stands on one page
Pair = tuple[str, str]
EMPTY: tuple[Cell, ...] = ("", "", "", "")


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """Names to fill in, the task, the figures given."""
    words = sheet.words
    intro = "teach.intro.pairs" if may_have_pairs(sheet) else "teach.intro.rings"
    return (
        headed(sheet, use),
        *who(sheet),
        *paragraph(words("teach.only"), sheet.width_mm, STRONG, gap_mm=3.0),
        *paragraph(words(intro), sheet.width_mm, BODY),
        *figures_given(sheet),
        *sides_given(sheet),
        *things_given(sheet),
        *_also(sheet),
    )


def headed(sheet: Sheet, use: BlockUse) -> Piece:
    """The heading of a document for a class with the exercise's number, as its first bookmark."""
    number = sheet.job.plan.job.number
    name = use.title or sheet.words(f"heading.{use.block}")
    head = heading(sheet.words("teach.headed", name=name, number=number), sheet.width_mm, "")
    mark = Mark(sheet.anchor(use.block), 0.0, sheet.job.plan.job.title, 0)
    return replace(head, marks=(mark,))


def who(sheet: Sheet) -> tuple[Piece, ...]:
    """A row for the name of who works on the sheet."""
    shares = (90, 50, 50)
    columns = [
        Column(sheet.words(f"teach.{name}"), share, lined=True)
        for name, share in zip(WHO, shares, strict=True)
    ]
    cells = tuple(Write(sheet.field_name("who", name)) for name in WHO)
    return table(columns, (Row(cells),), sheet.width_mm)


def figures_given(sheet: Sheet, more: Sequence[Pair] = ()) -> tuple[Piece, ...]:
    """The machine's and the wire's figures and some more, two a row."""
    words = sheet.words
    figures = [*_machine(sheet), *more]
    columns = [  # lengths stand at the left, what has more to it mostly at the right
        Column(words("given.figure"), 64),
        Column(words("given.value"), 20, "end"),
        Column(words("given.figure"), 64),
        Column(words("given.value"), 42, "end"),
    ]
    half = (len(figures) + 1) // 2
    pairs = [figures[n::half] for n in range(half)]
    rows = [Row(tuple(cell for pair in found for cell in _pair(*pair))) for found in _even(pairs)]
    starred = any(value.endswith(SIGN) for _, value in figures)
    aside = words("load.practice", star=SIGN) if starred else ""
    head = subheading(words("teach.machine-figures"), sheet.width_mm, aside)
    return held_together((head, *table(columns, rows, sheet.width_mm, pad_mm=TIGHT_MM)))


def _even(rows: Sequence[Sequence[Pair]]) -> Iterator[list[Pair]]:
    for row in rows:
        yield [*row, ("", "")][:2]


def _pair(name: str, value: str) -> tuple[str, Styled]:
    return name, Styled(value, CELL_STRONG)


def _machine(sheet: Sheet) -> Iterator[Pair]:
    words, measure, plan = sheet.words, sheet.measure, sheet.job.plan
    machine = plan.machine
    hand = "left" if machine.lay_direction == "anticlockwise" else "right"
    yield words("given.direction"), words(f"given.{hand}")
    for kind in sheet.job.kinds():
        name = words("machine.setback", kind=words(f"kind.{kind}"))
        yield name, measure.length(machine.setback[kind])
    radius = machine.corner_radius
    yield words("given.corner-radius"), measure.length(radius) if radius else words("given.sharp")
    if machine.corner_angle_min:
        degrees, cut = (
            measure.numbers.plain(machine.corner_angle_min),
            measure.length(machine.corner_cut),
        )
        yield words("given.corner-angle"), words("given.angle", degrees=degrees, cut=cut)
    yield words("given.passage"), measure.length(machine.passage_min)
    sign, spacing = sheet.figures.machine_sign, machine.peg_spacing
    first, final = measure.length(spacing.first), measure.length(spacing.final)
    yield words("given.tail"), measure.length(machine.tail) + sign("tail")
    yield words("given.peg-first"), first + sign("peg_spacing.first")
    yield words("given.peg-final"), final + sign("peg_spacing.final")
    yield words("given.peg-sag"), measure.small(machine.peg_sag) + sign("peg_sag")
    yield words("given.splice-clear"), measure.length(machine.splice_clear) + sign("splice_clear")
    if any(loop.dock for loop in plan.loops):
        before, after = machine.dock.straight_before, machine.dock.straight_after
        run = words("given.run", before=measure.length(before), after=measure.length(after))
        yield words("given.dock-run"), run + sign("dock.straight_before", "dock.straight_after")
    slack = "" if "slack_percent" in plan.wire.model_fields_set else SIGN
    yield words("given.slack"), measure.percent(plan.wire.slack_percent) + slack
    if plan.wire.spools:
        yield words("given.spools"), ", ".join(measure.length(each) for each in plan.wire.spools)
    rate = sheet.job.readings.rate
    low, high = measure.ohms_per_100(rate.low), measure.ohms_per_100(rate.high)
    ohms = low if low == high else words("reads.span", low=low, high=high)
    yield words("given.ohm"), measure.per_100(ohms)


def point_given(sheet: Sheet, point: Sequence[float]) -> str:
    bare, origin = sheet.measure.bare, sheet.job.plan.origin
    x, y = (bare(float(value) + zero) for value, zero in zip(point, origin, strict=True))
    return sheet.words("given.point", x=with_minus(x), y=with_minus(y))


def listed(sheet: Sheet, told: Iterable[str]) -> str:
    """Things one after the other that hold commas themselves."""
    return sheet.words("given.semicolon").join(told)


def sides_given(sheet: Sheet) -> tuple[Piece, ...]:
    """The sides, two a row, down the left half first."""
    words, unit = sheet.words, sheet.measure.unit
    columns = [
        Column(words("given.side"), 11, "end"),
        Column(words("given.kind"), 31),
        Column(words("given.from", unit=unit), 32, "end"),
        Column(words("given.length", unit=unit), 21, "end"),
    ] * 2
    cells = [_side(sheet, side) for side in ground_of(sheet).sides]
    half = (len(cells) + 1) // 2
    lower = [*cells[half:], *[EMPTY] * (2 * half - len(cells))]
    rows = [Row((*one, *two)) for one, two in zip(cells, lower, strict=False)]
    head = subheading(words("teach.sides"), sheet.width_mm)
    made = table(columns, rows, sheet.width_mm, pad_mm=TIGHT_MM)
    return head, *with_foot(made, _sides_of_lawns(sheet))


def _sides_of_lawns(sheet: Sheet) -> tuple[Piece, ...]:
    """Which sides are each lawn's, where there are several."""
    numbers: dict[str, list[int]] = {}
    for side in ground_of(sheet).sides:
        numbers.setdefault(side.lawn, []).append(side.number)
    if len(numbers) < 2:
        return ()
    told = (
        sheet.words("given.sides-of", lawn=lawn, first=of[0], last=of[-1])
        for lawn, of in numbers.items()
    )
    return paragraph(listed(sheet, told), sheet.width_mm, SMALL)


def _side(sheet: Sheet, side: NumberedSide) -> tuple[Cell, ...]:
    words = sheet.words
    kind = words(f"kind.{side.kind}")
    if side.arc:
        kind = words("given.curved", kind=kind)
    start = point_given(sheet, side.points[0].tolist())
    length = sheet.measure.bare(side.length_m)
    return Styled(str(side.number), CELL_STRONG), kind, start, length


def things_given(sheet: Sheet) -> tuple[Piece, ...]:
    words, unit = sheet.words, sheet.measure.unit
    if not sheet.job.plan.obstacles:
        return ()
    columns = (
        Column(words("given.thing"), 37),
        Column(words("given.kind"), 36),
        Column(words("given.place", unit=unit), 98),  # four corners in feet take one line
        Column(words("given.radius", unit=unit), 19, "end"),
    )
    rows = [_thing(sheet, each) for each in sheet.job.plan.obstacles]
    head = subheading(words("teach.things"), sheet.width_mm)
    told = (head, *table(columns, rows, sheet.width_mm, pad_mm=TIGHT_MM))
    return held_together(told) if len(rows) <= UNPARTED else told


def _thing(sheet: Sheet, thing: Obstacle) -> Row:
    kind = sheet.words(f"kind.{thing.kind}")
    name = Styled(thing.name, CELL_STRONG)
    if thing.circle is not None:
        radius = sheet.measure.bare(thing.circle.radius)
        return Row((name, kind, point_given(sheet, thing.circle.at), radius))
    corners = listed(sheet, (point_given(sheet, corner) for corner in thing.polygon or ()))
    return Row((name, kind, corners, ""))


def _also(sheet: Sheet) -> tuple[Piece, ...]:
    """Where loops begin, crossings, slopes, points to tape from."""
    facts = [*_starts(sheet), *_ways(sheet), *_slopes(sheet), *_points(sheet)]
    text = sheet.words("teach.also", facts=listed(sheet, facts))
    return paragraph(text, sheet.width_mm, CELL, gap_mm=3.0)


def _starts(sheet: Sheet) -> Iterator[str]:
    from renderer.ground.sides import foot

    words, job = sheet.words, sheet.job
    sides = ground_of(sheet).sides
    for loop in job.plan.loops:
        if loop.generator is not None:
            at = point_given(sheet, loop.generator.at)
            yield words("given.signal-source", name=loop.name, at=at)
            continue
        laid = next((each for each in job.lay.loops if each.name == loop.name), None)
        if laid is None:
            continue
        lawn = next(ring.lawn for ring in laid.rings if ring.kind == "outer")
        square = foot(laid.start, [side for side in sides if side.lawn == lawn])
        along = sheet.measure.length(square.along_m)
        yield words("given.dock", side=square.side.number, along=along, name=loop.name)


def _ways(sheet: Sheet) -> Iterator[str]:
    for loop in sheet.job.plan.loops:
        yield from (_crossing(sheet, loop, index) for index in range(len(loop.crossings)))


def _crossing(sheet: Sheet, loop: Loop, index: int) -> str:
    words, crossing = sheet.words, loop.crossings[index]
    via = listed(sheet, (point_given(sheet, point) for point in crossing.via))
    return words(
        "given.crossing",
        name=loop.name,
        one=crossing.between[0],
        two=crossing.between[1],
        via=words("given.via", points=via) if via else "",
        under=words("given.under", under=crossing.under) if crossing.under else "",
    )


def _slopes(sheet: Sheet) -> Iterator[str]:
    for each in sheet.job.plan.features:
        if each.kind == "slope" and each.percent:
            percent = sheet.measure.percent(each.percent)
            yield sheet.words("given.slope", of=each.name, percent=percent)


def _points(sheet: Sheet) -> Iterator[str]:
    words = sheet.words
    told = [
        words("given.reference", name=point.name, at=point_given(sheet, point.at))
        for point in sheet.references
    ]
    if told:
        yield words("given.references", points=listed(sheet, told))
