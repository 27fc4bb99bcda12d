"""The line map: the wire of a loop pulled straight, its islands as loops off it, not to scale.

Read from left to right as the wire is laid. At each end of a leg stand the number of the peg above
the line and the running distance below it; each leg carries its number of the wire list in a disc.
A lead pair is the stem of a loop, its two wires side by side; a splice is a solid bar across the
wire. A long wire takes several rows; short rows stand side by side.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from renderer.drawing.labels import size_pt
from renderer.drawing.measures import length_text
from renderer.drawing.pens import MIDDLE, THIN, WHITE, WIRE, WIRE_ELSEWHERE, Lettering
from renderer.drawing.walked import Branch, Numbered, Passed, RingWalk, walked
from renderer.frozen import dataclass
from renderer.ground.parts import part_names
from renderer.primitives import BLACK, Circle, Drawing, Line, Point, Primitive, Text, shifted
from renderer.text import width_mm

if TYPE_CHECKING:
    from renderer.ground.lay import LoopLay
    from renderer.language import Words

PEG = Lettering("condensed_bold", 2.5)
AT = Lettering("condensed", 2.5)
NAME = Lettering("bold", 2.5)
TEXT_ROW_MM = 3.9  # a line of text with its white
PAIR_MM = 0.55  # from the middle of a pair to each of its wires
SIDE_MM = 1.1  # white between text and a stem
DISC_MM = 2.15  # radius of the disc of a leg's number
STEM_MM = 2 * TEXT_ROW_MM + 2 * DISC_MM + 1.4
CORNER_MM = 2.4
LINK_MM = 1.6  # the least wire between two places without a number between them
MOST_LINK_MM = 26.0
EASE_MM = 4.0  # more wire than the least where rows share the width
ABREAST_MM = 8.0  # between rows side by side
STUB_MM = 5.0  # where a row ends and the next begins
SPLICE_MM = (0.7, 1.9)  # half a splice's bar along and across the wire


@dataclass(frozen=True, slots=True)
class Place:
    """A place on a line: what it takes left, right and above of it, in mm, and its drawing.

    ``draw`` makes its primitives about (0, 0) on the line; ``wire`` is where the wire comes in and
    goes out, left and right of it; ``after`` is the leg that follows.
    """

    left_mm: float
    right_mm: float
    up_mm: float
    draw: Callable[[], Sequence[Primitive]]
    wire_mm: float = 0.0
    after: Numbered | None = None


@dataclass(frozen=True, slots=True)
class _Told:
    """What the map is written with."""

    loop: LoopLay
    units: str
    words: Words
    names: Mapping[str, str]
    passed: Passed
    width_mm: float

    def at(self, at_m: float) -> str:
        return length_text(at_m, self.units, self.words)


@dataclass(frozen=True, slots=True)
class MapRow:
    """A row of a line map: the least width in mm that it is read at, and its drawing at another."""

    least_mm: float
    drawn: Callable[[float], Drawing]


def line_maps(
    loops: Sequence[LoopLay], *, units: str, words: Words, width_mm: float
) -> tuple[Drawing, ...]:
    """The line maps of all loops in rows, each ``width_mm`` wide and as high as it needs.

    ``units`` is ``m`` or ``ft``, in which running distances are written. Where there are several
    loops, each has its name. Rows that are short enough share the width.
    """
    rows = [
        row
        for loop in loops
        for row in _map_rows(loop, units, words, width_mm, loop.name if len(loops) > 1 else "")
    ]
    shelves: list[list[MapRow]] = []
    for row in rows:
        if shelves and _wanted([*shelves[-1], row]) <= width_mm:
            shelves[-1].append(row)
        else:
            shelves.append([row])
    return tuple(_abreast(shelf, width_mm) for shelf in shelves)


def _wanted(shelf: Sequence[MapRow]) -> float:
    return sum(row.least_mm for row in shelf) + ABREAST_MM * (len(shelf) - 1)


def _abreast(shelf: Sequence[MapRow], width_mm: float) -> Drawing:
    """Rows side by side on one line, the spare width shared out by their own."""
    own = sum(row.least_mm for row in shelf)
    share = (width_mm - ABREAST_MM * (len(shelf) - 1)) / own
    drawn = [row.drawn(row.least_mm * share) for row in shelf]
    height = max(each.height_mm for each in drawn)
    items: list[Primitive] = []
    x = 0.0
    for each in drawn:
        items.extend(shifted(item, x, height - each.height_mm) for item in each.items)
        x += each.width_mm + ABREAST_MM
    return Drawing(width_mm, height, tuple(items))


def _map_rows(
    loop: LoopLay, units: str, words: Words, width_mm: float, title: str
) -> tuple[MapRow, ...]:
    """The rows of a loop, which a ``title`` names, those of its larger islands among them."""
    told = _Told(loop, units, words, part_names(loop), Passed(loop), width_mm)
    walk = walked(loop)
    own: list[Branch] = []
    main = _places(told, walk, own, 0)
    main[0] = replace(main[0], after=walk.legs[0])
    rows = [_titled(row, title, first) for first, row in _rows(told, main)]
    while own:
        branch = own.pop(0)
        name = told.names.get(branch.out.leg.part, branch.out.leg.of)
        inner = _places(told, branch.ring, own, 0)
        rows += [_titled(row, name, first) for first, row in _rows(told, inner)]
    return tuple(rows)


def _titled(row: MapRow, title: str, first: bool) -> MapRow:
    if not (title and first):
        return row

    def drawn(width_mm: float) -> Drawing:
        own = row.drawn(width_mm)
        items = (_text(0.0, TEXT_ROW_MM - 1.0, title, NAME, "start"),)
        under = tuple(shifted(item, 0.0, TEXT_ROW_MM) for item in own.items)
        return replace(own, height_mm=own.height_mm + TEXT_ROW_MM, items=(*items, *under))

    return MapRow(max(row.least_mm, _wide(title, NAME)), drawn)


def _places(told: _Told, walk: RingWalk, own: list[Branch], depth: int) -> list[Place]:
    """The places along a ring or the whole loop, its two ends among them.

    A branch that would not fit beside the others is put into ``own``, to have rows by itself.
    """
    legs = [*walk.items]
    places = [_end(told, walk.legs[0], at_start=True)]
    for number, item in enumerate(legs):
        follows = legs[number + 1] if number + 1 < len(legs) else None
        after = follows if isinstance(follows, Numbered) else None
        if isinstance(item, Branch):
            places.append(replace(_stem(told, item, own, depth), after=after))
            continue
        for splice in told.loop.splices:
            if item.leg.from_m < splice.at_m < item.leg.to_m:
                places.append(_splice(told, splice.id, splice.at_m))
        if follows is None or isinstance(follows, Numbered):
            places.append(replace(_end(told, item, at_start=False), after=after))
    first = legs[0]
    if isinstance(first, Numbered):
        places[0] = replace(places[0], after=first)
    return places


def _end(told: _Told, leg: Numbered, *, at_start: bool) -> Place:
    """A place between two legs of a ring, or an end of the wire."""
    at_m = leg.leg.from_m if at_start else leg.leg.to_m
    key = ""
    if leg.leg.kind == "tail":
        # by the leg: where the ends need no free wire, a peg stands at the same distance as START
        if at_start and leg.leg is told.loop.legs[0]:
            key = "line.start"
        elif not at_start and leg.leg is told.loop.legs[-1]:
            key = "line.finish"
    name = told.words[key] if key else told.passed.peg(at_m)
    return _stop(name, told.at(at_m), NAME if key else PEG, end=bool(key))


def _stop(name: str, at: str, style: Lettering, *, end: bool) -> Place:
    half = max(_wide(name, style), _wide(at, AT)) / 2 + 0.6

    def draw() -> Iterator[Primitive]:
        yield Circle((0.0, 0.0), 1.2, MIDDLE, BLACK if end else WHITE, role="line-stop")
        yield _text(0.0, -2.2, name, style)
        yield _text(0.0, TEXT_ROW_MM + 0.7, at, AT)

    return Place(half, half, TEXT_ROW_MM + 1.4, lambda: tuple(draw()))


def _splice(told: _Told, name: str, at_m: float) -> Place:
    at = told.at(at_m)
    half = max(_wide(name, PEG), _wide(at, AT)) / 2 + 0.6

    def draw() -> Iterator[Primitive]:
        yield _bar(0.0, 0.0, upright=True, name=name)
        yield _text(0.0, -2.6, name, PEG)
        yield _text(0.0, TEXT_ROW_MM + 0.7, at, AT)

    return Place(half, half, TEXT_ROW_MM + 1.8, lambda: tuple(draw()))


def _bar(x: float, y: float, *, upright: bool, name: str) -> Line:
    """A splice: a solid bar across the wire."""
    w, h = SPLICE_MM if upright else SPLICE_MM[::-1]
    ring = ((x - w, y - h), (x + w, y - h), (x + w, y + h), (x - w, y + h))
    return Line(ring, None, closed=True, fill=BLACK, title=name, role="line-splice")


def _stem(told: _Told, branch: Branch, own: list[Branch], depth: int) -> Place:
    """A lead pair as a stem and its ring as a loop at the end of it."""
    out, back = branch.out.leg, branch.back.leg
    foot, top = told.passed.peg(out.from_m), told.passed.peg(out.to_m)
    lefts = (told.at(out.from_m), told.at(out.to_m))
    rights = (told.at(back.to_m), told.at(back.from_m))
    loop = _loop(told, branch, own, depth, top)
    beside = PAIR_MM + SIDE_MM
    bars = [s for s in told.loop.splices if _within(s.at_m, branch)]
    left = beside + max(*(_wide(t, AT) for t in lefts), _wide(foot, PEG), 2 * DISC_MM)
    right = beside + max(*(_wide(t, AT) for t in rights), 2 * DISC_MM)
    right = max(right, *(beside + _wide(s.id, PEG) for s in bars)) if bars else right

    def draw() -> Iterator[Primitive]:
        yield from _pair(told, branch)
        yield _text(-beside, TEXT_ROW_MM + 0.7, lefts[0], AT, "end")
        yield _text(beside, TEXT_ROW_MM + 0.7, rights[0], AT, "start")
        yield _text(-beside, -1.2, foot, PEG, "end")
        y = -TEXT_ROW_MM - DISC_MM - 0.3
        yield from _disc(-beside - DISC_MM, y, branch.out.number)
        yield from _disc(beside + DISC_MM, y, branch.back.number)
        yield _text(-beside, -STEM_MM + TEXT_ROW_MM - 0.3, lefts[1], AT, "end")
        yield _text(beside, -STEM_MM + TEXT_ROW_MM - 0.3, rights[1], AT, "start")
        for splice in bars:
            side = -1 if out.from_m < splice.at_m < out.to_m else 1
            yield _bar(side * PAIR_MM, -2.0, upright=False, name=splice.id)
            yield _text(beside, -1.2, splice.id, PEG, "start")
        yield from (shifted(item, 0.0, -STEM_MM) for item in loop.draw())

    half = 0.8
    return Place(
        max(left, loop.left_mm) + half,
        max(right, loop.right_mm) + half,
        STEM_MM + loop.up_mm,
        lambda: tuple(draw()),
        PAIR_MM,
    )


def _within(at_m: float, branch: Branch) -> bool:
    legs = (branch.out.leg, branch.back.leg)
    return any(leg.from_m < at_m < leg.to_m for leg in legs)


def _pair(told: _Told, branch: Branch) -> Iterator[Primitive]:
    """The two wires of a pair; one that crosses other ground is in its pipe."""
    if branch.out.leg.kind == "crossing":
        half, low, high = 2 * PAIR_MM, -1.0, 2.0 - STEM_MM
        ring = ((-half, low), (half, low), (half, high), (-half, high))
        yield Line(ring, THIN, closed=True, role="line-pipe")
    for side, each in ((-1, branch.out), (1, branch.back)):
        points = ((side * PAIR_MM, 0.0), (side * PAIR_MM, -STEM_MM))
        yield _wire(told, points if side < 0 else points[::-1], each)


def _loop(told: _Told, branch: Branch, own: list[Branch], depth: int, peg: str) -> Place:
    """The ring at the end of a stem, as a loop about (0, 0), where the stem reaches it."""
    name = told.names.get(branch.out.leg.part, branch.out.leg.of)
    walk = branch.ring
    if walk.branches:
        known = len(own)
        inner = _places(told, walk, own, depth + 1)[1:-1]
        wide = sum(each.left_mm + each.right_mm for each in inner) + (len(inner) - 1) * 7.0
        if depth > 1 or wide + 14.0 > told.width_mm * 0.8:
            del own[known:]
            own.append(branch)
            return _plain_loop(told, name, peg, None)
        return _loop_with(told, name, peg, walk, inner)
    splices = [s for s in told.loop.splices if _on(walk, s.at_m)]
    return _plain_loop(told, name, peg, walk, tuple((s.id, told.at(s.at_m)) for s in splices))


def _on(walk: RingWalk, at_m: float) -> bool:
    return any(each.leg.from_m < at_m < each.leg.to_m for each in walk.legs)


def _plain_loop(
    told: _Told,
    name: str,
    peg: str,
    walk: RingWalk | None,
    splices: Sequence[tuple[str, str]] = (),
) -> Place:
    """A loop without branches; without its walk it is drawn in rows of its own."""
    beside_peg = PAIR_MM + SIDE_MM + _wide(peg, PEG) + DISC_MM + 0.6
    half = max(_wide(name, NAME) / 2 + DISC_MM + 1.2, beside_peg, 8.0)
    high = 2 * TEXT_ROW_MM + 1.2

    def draw() -> Iterator[Primitive]:
        points = _round((-PAIR_MM, 0.0), (PAIR_MM, 0.0), half, high)
        legs = walk.legs if walk else ()
        if legs:
            yield _wire(told, points, legs[0])
            yield from _disc(-half, -high / 2, legs[0].number)
        else:
            yield Line(points, WIRE_ELSEWHERE, role="line-elsewhere")
        yield _text(0.0, -high + TEXT_ROW_MM + 0.2, name, NAME)
        yield _text(-PAIR_MM - SIDE_MM, -1.2, peg, PEG, "end")
        for number, (splice, at) in enumerate(splices):
            x = half - 1.0
            yield _bar(half, -high / 2, upright=False, name=splice)
            y = -high - 1.0 - number * TEXT_ROW_MM
            yield _text(x, y, f"{splice} {at}", AT, "end")

    up = high + len(splices) * TEXT_ROW_MM + 0.6
    reach = half + DISC_MM
    return Place(reach, half + (SPLICE_MM[1] if splices else 0.6), up, lambda: tuple(draw()))


def _loop_with(told: _Told, name: str, peg: str, walk: RingWalk, inner: Sequence[Place]) -> Place:
    """A loop with branches along its upper side."""
    first, *others = walk.legs
    least = 2 * DISC_MM + 2.0
    spans = [each.left_mm + each.right_mm for each in inner]
    wide = sum(spans) + least * (len(inner) - 1) + 2 * CORNER_MM + 2.0
    wide = max(wide, _wide(name, NAME) + 4 * DISC_MM + 3.0)
    half = wide / 2
    high = 3 * TEXT_ROW_MM + 1.6
    x = -(sum(spans) + least * (len(inner) - 1)) / 2
    at: list[float] = []
    for place, span in zip(inner, spans, strict=True):
        at.append(x + place.left_mm)
        x += span + least
    last = walk.items[-1]
    closing = last if isinstance(last, Numbered) and others else None

    def draw() -> Iterator[Primitive]:
        left = (-PAIR_MM, 0.0), (-half + CORNER_MM, 0.0), (-half, -CORNER_MM)
        up = (-half, -high + CORNER_MM), (-half + CORNER_MM, -high)
        yield _wire(told, (*left, *up, (at[0] - inner[0].wire_mm, -high)), first)
        yield from _disc(-half, -high / 2, first.number)
        for number, place in enumerate(inner):
            yield from (shifted(item, at[number], -high) for item in place.draw())
            end = at[number] + place.wire_mm
            if number + 1 < len(inner):
                goal = at[number + 1] - inner[number + 1].wire_mm
                leg = place.after
                yield _wire(told, ((end, -high), (goal, -high)), leg)
                if leg is not None:
                    yield from _disc((end + goal) / 2, -high, leg.number)
        down = (half - CORNER_MM, -high), (half, -high + CORNER_MM), (half, -CORNER_MM)
        foot = (half - CORNER_MM, 0.0), (PAIR_MM, 0.0)
        yield _wire(told, ((at[-1] + inner[-1].wire_mm, -high), *down, *foot), closing)
        if closing is not None and closing not in [each.after for each in inner[:-1]]:
            yield from _disc(half, -high / 2, closing.number)
        yield _text(0.0, -TEXT_ROW_MM - 1.0, name, NAME)
        yield _text(-PAIR_MM - SIDE_MM, -1.2, peg, PEG, "end")

    reach = half + DISC_MM
    return Place(reach, reach, high + max(each.up_mm for each in inner), lambda: tuple(draw()))


def _round(start: Point, end: Point, half: float, high: float) -> tuple[Point, ...]:
    """A loop with cut corners from one foot of a pair round to the other."""
    c = CORNER_MM
    return (
        start,
        (-half + c, 0.0),
        (-half, -c),
        (-half, -high + c),
        (-half + c, -high),
        (half - c, -high),
        (half, -high + c),
        (half, -c),
        (half - c, 0.0),
        end,
    )


def _rows(told: _Told, places: Sequence[Place]) -> Iterator[tuple[bool, MapRow]]:
    """The places shared out over rows; whether it is the first.

    Behind the last place nothing goes on, so that it may stand at the very edge.
    """
    groups: list[list[Place]] = [[]]
    used = 0.0
    for number, place in enumerate(places, 1):
        span = place.left_mm + place.right_mm
        link = _least(groups[-1][-1]) if groups[-1] else 0.0
        stub = STUB_MM if number < len(places) else 0.0
        if groups[-1] and used + link + span + stub > told.width_mm:
            groups.append([])
            used = STUB_MM + _least(groups[-2][-1])
            link = 0.0
        groups[-1].append(place)
        used += link + span
    before: Place | None = None
    for number, group in enumerate(groups):
        is_last = number == len(groups) - 1
        yield number == 0, _row(told, group, before, is_last)
        before = group[-1]


def _least(place: Place) -> float:
    """The least wire after a place."""
    return 2 * DISC_MM + 2 * LINK_MM if place.after is not None else LINK_MM


def _row(told: _Told, group: Sequence[Place], before: Place | None, is_last: bool) -> MapRow:
    """One row; the leg that comes over from the row before it carries its number here."""
    links = [_least(each) for each in group[:-1]]
    lead_in = STUB_MM + _least(before) if before else 0.0
    taken = sum(each.left_mm + each.right_mm for each in group) + sum(links) + lead_in
    taken += 0.0 if is_last else STUB_MM

    def drawn(width_mm: float) -> Drawing:
        more = min((width_mm - taken) / max(1, len(links)), MOST_LINK_MM)
        return _spread(told, group, before, is_last, more, width_mm)

    return MapRow(min(taken + EASE_MM * len(links), told.width_mm), drawn)


def _spread(
    told: _Told,
    group: Sequence[Place],
    before: Place | None,
    is_last: bool,
    more: float,
    width_mm: float,
) -> Drawing:
    """A row with ``more`` than the least wire between its places."""
    up = max(each.up_mm for each in group)
    down = TEXT_ROW_MM + 1.6
    links = [_least(each) for each in group[:-1]]
    lead_in = STUB_MM + _least(before) if before else 0.0
    items: list[Primitive] = []
    x = 0.0
    if before is not None:
        goal = lead_in + group[0].left_mm - group[0].wire_mm
        items.extend(_link(told, 0.0, goal, before.after, arrow_at=2.2))
        x = lead_in
    for number, place in enumerate(group):
        x += place.left_mm
        items.extend(shifted(item, x, 0.0) for item in place.draw())
        start = x + place.wire_mm
        x += place.right_mm
        if number < len(links):
            follower = group[number + 1]
            span = links[number] + more
            goal = x + span + follower.left_mm - follower.wire_mm
            items.extend(_link(told, start, goal, place.after))
            x += span
    if not is_last:
        items.append(Line(((start, 0.0), (x + STUB_MM - 1.0, 0.0)), WIRE, role="line-on"))
        items.append(_arrow(x + STUB_MM))
    moved = tuple(shifted(item, 0.0, up) for item in items)
    return Drawing(width_mm, up + down, moved)


def _link(
    told: _Told, start: float, end: float, leg: Numbered | None, arrow_at: float = 0.0
) -> Iterator[Primitive]:
    """The wire between two places of a row, with the number of its leg if it has not stood yet."""
    yield _wire(told, ((start, 0.0), (end, 0.0)), leg)
    if arrow_at:
        yield _arrow(start + arrow_at)
    if leg is not None:
        middle = start + (arrow_at if arrow_at else 0.0)
        yield from _disc((middle + end) / 2, 0.0, leg.number)


def _arrow(x: float) -> Line:
    """The way the wire is laid."""
    points = ((x, 0.0), (x - 2.0, -1.1), (x - 2.0, 1.1))
    return Line(points, None, closed=True, fill=BLACK, role="line-on", ink="wire")


def _wire(told: _Told, points: tuple[Point, ...], leg: Numbered | None) -> Line:
    name = f"line-{told.loop.name}-{leg.number}" if leg else None
    return Line(points, WIRE, id=name, role="line-wire")


def _disc(x: float, y: float, number: int) -> tuple[Primitive, ...]:
    """A leg's number in a disc on the wire or beside it."""
    return (
        Circle((x, y), DISC_MM, THIN, WHITE, role="line-leg"),
        replace(_text(x, y + AT.cap_mm / 2, str(number), AT), role="line-leg"),
    )


def _text(x: float, y: float, text: str, style: Lettering, anchor: str = "middle") -> Text:
    return Text((x, y), text, size_pt(style), style.face, anchor, role="line-text")  # type: ignore[arg-type]


def _wide(text: str, style: Lettering) -> float:
    return width_mm(text, style.face, size_pt(style))
