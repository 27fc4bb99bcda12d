"""Where labels go: each has places to choose from, and no two things that are to be read may touch.

Labels are placed in order of priority at their cheapest free place. One that finds
none tries to move those in its way to other places of theirs. What still finds no
place is tried as a short key number, and what still cannot be placed is returned.
The same labels give the same places; the cost grows nearly in line with their number.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from renderer.drawing.boxes import LINE, PEG, STROKE, SYMBOL, TEXT, Box, Grid, Occupied
from renderer.drawing.kinds import LabelKind
from renderer.drawing.pens import FINE, WHITE, Lettering
from renderer.geometry.rects import Rect
from renderer.primitives import BLACK, Circle, Line, Point, Primitive, Text
from renderer.text import size_for_cap_height, width_mm
from renderer.units import POINTS_PER_MM

# Clear paper about a label, so that two are never nearer than twice this.
CLEAR_MM = 0.3
LEADER_DOT_MM = 0.45
# Reach of a line of text below and above its baseline, in parts of the type size.
DESCENT, ASCENT = 0.293, 0.714
LINE_PITCH = 1.25
# What a leader pays to cross a line or another leader, compared with text that covers it.
STROKE_SHARE = 0.3
STROKE_CROSSING = 3.0
# How much worse a place may get for a label that makes room for another.
PATIENCE = 12.0
PATIENCE_UNLISTED = 2.5


class Leader(NamedTuple):
    """A line from a label to what it names, and whether a dot ends it there."""

    start: Point
    end: Point
    dot: bool


class Spot(NamedTuple):
    """A place for a label: its cost, its box, the strokes and marks that belong to it there.

    ``lines`` break the label's text differently from elsewhere, where there are any. A leader is
    drawn before the marks, and only where the place is taken, for most places never are.
    """

    cost: float
    box: Box
    strokes: tuple[Box, ...] = ()
    marks: tuple[Primitive, ...] = ()
    lines: tuple[str, ...] = ()
    leader: Leader | None = None


class Led(NamedTuple):
    """Places with leaders that are made when a label gets so far; none costs under ``least``."""

    least: float
    make: Callable[[], Sequence[Spot]]

    def then(self, change: Callable[[Sequence[Spot]], Sequence[Spot]]) -> Led:
        """The same places, changed when they are made, none of them made cheaper."""
        return Led(self.least, lambda: change(self.make()))


class Places(NamedTuple):
    """Places for a label: those beside what it names, and those at the end of a leader."""

    spots: tuple[Spot, ...]
    led: tuple[Led, ...] = ()

    def all(self) -> tuple[Spot, ...]:
        """All of them, made."""
        return (*self.spots, *(spot for each in self.led for spot in each.make()))


@dataclass(frozen=True, slots=True)
class Label:
    """Text that wants a place, by its kind before others or after.

    ``spots`` are its places, ``led`` those that are made where no cheaper one is free. ``more``
    gives dearer places, when asked, and ``brief`` places for a key number instead;
    ``listed`` says that a reader has to find the text elsewhere when the drawing has no room for
    it. A ``badge`` brings white paper of its own among its marks, and its capitals stand in the
    middle of its box.
    """

    key: str
    lines: tuple[str, ...]
    lettering: Lettering
    kind: LabelKind
    spots: tuple[Spot, ...]
    brief: Callable[[], Sequence[Spot]] = tuple
    listed: bool = True
    badge: bool = False
    more: Callable[[], Sequence[Spot]] = tuple
    led: tuple[Led, ...] = ()

    @property
    def text(self) -> str:
        return " ".join(self.lines)


class Placed(NamedTuple):
    """A label at its place; ``covers`` says that a line runs below it and breaks there."""

    label: Label
    spot: Spot
    covers: bool


class Placement(NamedTuple):
    """Labels with a place, those that became a key number, and those without any."""

    placed: tuple[Placed, ...]
    keyed: tuple[tuple[str, Label], ...]
    unplaced: tuple[Label, ...]


def size_pt(lettering: Lettering) -> float:
    """Type size in points of a letter style."""
    return size_for_cap_height(lettering.face, lettering.cap_mm)


def text_size(lines: Sequence[str], lettering: Lettering) -> tuple[float, float]:
    """Width and height in mm of a block of lines, descenders included."""
    size = size_pt(lettering)
    em = size / POINTS_PER_MM
    widest = max(width_mm(line, lettering.face, size) for line in lines)
    return widest, em * (DESCENT + ASCENT + LINE_PITCH * (len(lines) - 1))


def two_lines(text: str, lettering: Lettering) -> tuple[str, ...]:
    """The text in two lines, broken where the wider is shortest; none where it is one word."""
    words = text.split(" ")
    breaks = [(" ".join(words[:i]), " ".join(words[i:])) for i in range(1, len(words))]
    return min(breaks, key=lambda pair: text_size(pair, lettering)[0], default=())


def place(
    labels: Sequence[Label], obstacles: Iterable[Occupied], frame: Rect, key: str = "{}"
) -> Placement:
    """Places for as many of the labels as find one inside the frame.

    ``obstacles`` are symbols and lines already drawn. ``key`` makes the text of a key number.
    """
    board = _Board(labels, obstacles, frame)
    order = sorted(range(len(labels)), key=lambda i: (labels[i].kind.rank, i))
    missed = [i for i in order if not board.settle(i, board.choices[i])]
    missed = [i for i in missed if not board.settle(i, _Choice(labels[i].more()))]
    missed = [i for i in missed if not board.make_room(i)]
    keyed: list[tuple[str, Label]] = []
    unplaced = []
    for i in missed:
        if board.settle(i, _Choice(labels[i].brief())):
            keyed.append((key.format(len(keyed) + 1), labels[i]))
        else:
            unplaced.append(labels[i])
    short = {label.key: text for text, label in keyed}
    placed = tuple(
        Placed(_shortened(labels[i], short.get(labels[i].key)), spot, board.covers(spot))
        for i, spot in sorted(board.taken.items())
    )
    return Placement(placed, tuple(keyed), tuple(unplaced))


def _shortened(label: Label, text: str | None) -> Label:
    if text is None:
        return label
    return Label(label.key, (text,), label.lettering, label.kind, label.spots)


class _Choice:
    """Places by rising cost; those with leaders are made when it is their turn."""

    def __init__(self, spots: Iterable[Spot], led: Iterable[Led] = ()) -> None:
        self._made = sorted(spots, key=_cost)
        self._later = sorted(led, key=lambda each: each.least, reverse=True)

    def get(self, number: int, limit: float) -> Spot | None:
        """The place of a number, counted from the cheapest at 0, if it costs less than a limit."""
        made, later = self._made, self._later
        while later and later[-1].least < limit:
            if number < len(made) and made[number].cost < later[-1].least:
                break
            made[number:] = sorted((*made[number:], *later.pop().make()), key=_cost)
        if number < len(made) and made[number].cost < limit:
            return made[number]
        return None

    def drop(self, number: int) -> None:
        """Forgets a place that never will be free."""
        del self._made[number]

    @property
    def least(self) -> float:
        """What the cheapest place costs, or is sure not to cost less than."""
        made = self._made[0].cost if self._made else math.inf
        return min(made, self._later[-1].least) if self._later else made


def _cost(spot: Spot) -> float:
    return spot.cost


class _Board:
    """What is occupied while labels are placed.

    What was drawn before stays, so a spot is looked at against it once; labels come and go.
    """

    def __init__(self, labels: Sequence[Label], obstacles: Iterable[Occupied], frame: Rect) -> None:
        self.listed = [label.listed for label in labels]
        self.choices = [_Choice(label.spots, label.led) for label in labels]
        self.frame = frame
        self.marks = Grid()
        self.lines = Grid()
        self.grid = Grid()
        self.taken: dict[int, Spot] = {}
        self.costs: dict[int, float] = {}
        self.known: dict[int, tuple[Spot, float, bool]] = {}
        for box, kind, weight in obstacles:
            (self.lines if kind == LINE else self.marks).add(box, kind, weight)

    def settle(self, index: int, choice: _Choice, least: float = math.inf) -> bool:
        """Take the cheapest free place, where one costs less than ``least``."""
        best, number = None, 0
        while (spot := choice.get(number, least)) is not None:
            fixed = self.fixed_cost(spot, least - spot.cost)
            if fixed is None:
                choice.drop(number)
                continue
            number += 1
            if fixed >= least - spot.cost:
                continue
            extra = self.extra_cost(spot, fixed)
            if extra is not None and spot.cost + extra < least:
                best, least = spot, spot.cost + extra
        if best is not None:
            self.take(index, best, least)
        return best is not None

    def take(self, index: int, spot: Spot, cost: float) -> None:
        self.taken[index] = spot
        self.costs[index] = cost
        self.grid.add(spot.box.grown(CLEAR_MM), TEXT, 1.0, index)
        for stroke in spot.strokes:
            self.grid.add(stroke, STROKE, 1.0, index)

    def release(self, index: int) -> Spot:
        spot = self.taken.pop(index)
        self.grid.drop((spot.box.grown(CLEAR_MM), *spot.strokes), index)
        return spot

    def within(self, bounds: Rect) -> bool:
        frame = self.frame
        return (
            bounds.x0 >= frame.x0
            and bounds.y0 >= frame.y0
            and bounds.x1 <= frame.x1
            and bounds.y1 <= frame.y1
        )

    def fixed_cost(self, spot: Spot, limit: float) -> float | None:
        """What the spot costs for what it covers or crosses; ``None`` if it never is free.

        Where that comes to ``limit`` or more, it is not added up any further.
        """
        known = self.known.get(id(spot))
        if known is None:
            cost = self._marks_cost(spot)
            if cost is None:
                return None
            # the spot is kept with its cost, so that its id cannot be reused
            known = self.known[id(spot)] = (spot, cost, False)
        _, cost, is_all = known
        if is_all or cost >= limit:
            return cost
        cost = self._lines_cost(spot, cost, limit)
        if cost < limit:
            self.known[id(spot)] = (spot, cost, True)
        return cost

    def _marks_cost(self, spot: Spot) -> float | None:
        """What the leader's strokes cost for marks that they cross; ``None`` if never free."""
        box = spot.box.grown(CLEAR_MM)
        bounds = box.bounds()
        if not self.within(bounds):
            return None
        for _ in self.marks.hits(box, bounds):
            return None
        cost = 0.0
        for stroke in spot.strokes:
            bounds = stroke.bounds()
            if not self.within(bounds):
                return None
            for kind, weight, _ in self.marks.hits(stroke, bounds):
                if kind in (TEXT, SYMBOL):
                    return None
                cost += weight * STROKE_SHARE if kind == PEG else STROKE_CROSSING
        return cost

    def _lines_cost(self, spot: Spot, cost: float, limit: float) -> float:
        """The same and what lines below the text and across the strokes cost, up to a limit."""
        for box, share in (
            (spot.box.grown(CLEAR_MM), 1.0),
            *((stroke, STROKE_SHARE) for stroke in spot.strokes),
        ):
            for _, weight, _ in self.lines.hits(box):
                cost += weight * share
                if cost >= limit:
                    return cost
        return cost

    def extra_cost(self, spot: Spot, cost: float) -> float | None:
        """What the spot costs on top of its own price as things are; ``None`` if not free.

        ``cost`` is what it costs for the lines that were drawn before.
        """
        for _ in self.grid.hits(spot.box.grown(CLEAR_MM)):
            return None
        for stroke in spot.strokes:
            for kind, _, _ in self.grid.hits(stroke):
                if kind == TEXT:
                    return None
                cost += STROKE_CROSSING
        return cost

    def in_the_way(self, spot: Spot) -> set[int] | None:
        """The labels that keep a spot from being free; ``None`` where more than labels do."""
        if self.fixed_cost(spot, 0.0) is None:
            return None
        found = {owner for _, _, owner in self.grid.hits(spot.box.grown(CLEAR_MM))}
        for stroke in spot.strokes:
            found.update(owner for kind, _, owner in self.grid.hits(stroke) if kind == TEXT)
        return found

    def make_room(self, index: int) -> bool:
        """Settle a label by moving at most two others to places that are not much worse."""
        least = PATIENCE if self.listed[index] else PATIENCE_UNLISTED
        best, number = None, 0
        while (spot := self.choices[index].get(number, least)) is not None:
            number += 1
            cost = self.push(index, spot, least, keep=False)
            if cost is not None:
                best, least = spot, cost
        if best is not None:
            self.push(index, best, math.inf, keep=True)
        return best is not None

    def push(self, index: int, spot: Spot, least: float, *, keep: bool) -> float | None:
        """What it costs in all to take a spot and move what is in its way.

        ``None`` where that cannot be done, or not for less than ``least``.
        """
        blocking = self.in_the_way(spot)
        if blocking is None or len(blocking) > 2:
            return None
        # what the others cost at best, then what they do
        cost = spot.cost + sum(self.choices[i].least - self.costs[i] for i in blocking)
        if cost >= least:
            return None
        before = {other: (self.release(other), self.costs[other]) for other in sorted(blocking)}
        self.take(index, spot, spot.cost)
        moved = []
        for other in before:
            choice = self.choices[other]
            if not self.settle(other, choice, least - cost + choice.least):
                break
            cost += self.costs[other] - choice.least
            moved.append(other)
        can = len(moved) == len(before) and cost < least
        if can and keep:
            return cost
        for other in (*moved, index):
            self.release(other)
        for other, (old, price) in before.items():
            self.take(other, old, price)
        return cost if can else None

    def covers(self, spot: Spot) -> bool:
        return any(True for _ in self.lines.hits(spot.box.grown(CLEAR_MM)))


def drawn(placed: Iterable[Placed]) -> tuple[Primitive, ...]:
    """Leaders, then white below the texts where lines break, then the texts."""
    marks: list[Primitive] = []
    masks: list[Primitive] = []
    texts: list[Primitive] = []
    for label, spot, covers in placed:
        marks.extend(marks_of(spot))
        if covers and not label.badge:
            masks.append(mask(spot.box))
        texts.extend(texts_at(label, spot))
    return (*marks, *masks, *texts)


def marks_of(spot: Spot) -> tuple[Primitive, ...]:
    """What is drawn besides the text at a place that is taken: its leader, then its own marks."""
    if spot.leader is None:
        return spot.marks
    start, end = _rounded(spot.leader.start), _rounded(spot.leader.end)
    line = Line((start, end), FINE, role="leader")
    dot = (Circle(end, LEADER_DOT_MM, None, BLACK, role="leader"),) if spot.leader.dot else ()
    return (line, *dot, *spot.marks)


def _rounded(point: Point) -> Point:
    return round(point[0], 3), round(point[1], 3)


def mask(box: Box) -> Primitive:
    """White paper under a label, so that lines break behind it."""
    return Line(box.grown(CLEAR_MM / 2).corners(), None, closed=True, fill=WHITE, role="mask")


def texts_at(label: Label, spot: Spot) -> Iterable[Text]:
    """The lines of a label about the middle of its box."""
    box = spot.box
    lines = spot.lines or label.lines
    size = size_pt(label.lettering)
    em = size / POINTS_PER_MM
    first = (ASCENT - DESCENT - LINE_PITCH * (len(lines) - 1)) / 2 * em
    if label.badge:
        first = label.lettering.cap_mm / 2
    angle = math.degrees(math.atan2(-box.s, box.c))
    for row, line in enumerate(lines):
        down = first + row * LINE_PITCH * em
        at = (round(box.x - down * box.s, 3), round(box.y + down * box.c, 3))
        yield Text(
            at,
            line,
            size,
            label.lettering.face,
            "middle",
            round(angle, 3) + 0.0,
            role=f"label {label.key}",
        )
