"""Where labels go: each has places to choose from, and no two things that are to be read may touch.

Labels are placed in order of priority at their cheapest free place. One that finds
none tries to move those in its way to other places of theirs. What still finds no
place is tried as a short key number, and what still cannot be placed is returned.
The numbers between those of control pegs come after all others, in what room is left.
The same labels give the same places; the cost grows nearly in line with their number.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from renderer.drawing.board import Board, Choice
from renderer.drawing.boxes import CLEAR_MM, Box, Occupied
from renderer.drawing.kinds import NEEDED, SPARE, LabelKind
from renderer.drawing.pens import FINE, WHITE, Lettering
from renderer.frozen import dataclass
from renderer.geometry.rects import Rect
from renderer.primitives import BLACK, Circle, Line, Point, Primitive, Text
from renderer.text import size_for_cap_height, width_mm, words_of
from renderer.units import POINTS_PER_MM

LEADER_DOT_MM = 0.45
# Reach of a line of text below and above its baseline, in parts of the type size.
DESCENT, ASCENT = 0.293, 0.714
LINE_PITCH = 1.25


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


# Whether a label in a box could ever be free of what was drawn before; others are not made.
Opens = Callable[[Box], bool]


def everywhere(_: Box) -> bool:
    """Any place is wanted."""
    return True


class Led(NamedTuple):
    """Places with leaders that are made when a label gets so far; none costs under ``least``."""

    least: float
    make: Callable[[Opens], Sequence[Spot]]

    def then(self, change: Callable[[Sequence[Spot]], Sequence[Spot]]) -> Led:
        """The same places, changed when they are made, none of them made cheaper."""
        return Led(self.least, lambda opens: change(self.make(opens)))


class Places(NamedTuple):
    """Places for a label: those beside what it names, and those at the end of a leader."""

    spots: tuple[Spot, ...]
    led: tuple[Led, ...] = ()

    def all(self) -> tuple[Spot, ...]:
        """All of them, made."""
        return (*self.spots, *(spot for each in self.led for spot in each.make(everywhere)))


@dataclass(frozen=True, slots=True)
class Label:
    """Text that wants a place, by its kind before others or after.

    ``spots`` are its places, ``led`` those that are made where no cheaper one is free. ``more``
    gives dearer places, when asked, and ``brief`` places for a key number instead;
    ``listed`` says that a reader has to find the text elsewhere when the drawing has no room for
    it. A ``badge`` brings white paper of its own among its marks, and its capitals stand in the
    middle of its box. ``frame`` makes the mark about the text, where the label has its place.
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
    frame: Callable[[Box], Primitive] | None = None

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
    """The text in two lines, broken where the wider is shortest; none where it is one word.

    A figure stays with its unit, and the number of a thing with its name.
    """
    words = words_of(text)
    breaks = [
        (" ".join(words[:i]), " ".join(words[i:]))
        for i in range(1, len(words))
        if not words[i].rstrip(",").isdecimal()
    ]
    return min(breaks, key=lambda pair: text_size(pair, lettering)[0], default=())


def place(
    labels: Sequence[Label], obstacles: Iterable[Occupied], frame: Rect, key: str = "{}"
) -> Placement:
    """Places for as many of the labels as find one inside the frame.

    ``obstacles`` are symbols and lines already drawn. ``key`` makes the text of a key number.
    """
    board = Board(labels, obstacles, frame)
    order = sorted(range(len(labels)), key=lambda i: (labels[i].kind.rank, i))
    spare = [i for i in order if labels[i].kind in SPARE]
    missed = [i for i in order if labels[i].kind not in SPARE]
    missed = [i for i in missed if not board.settle(i, board.choices[i])]
    missed = [i for i in missed if not board.settle(i, Choice(board, labels[i].more()))]
    missed = [i for i in missed if not board.make_room(i)]
    keyed: list[tuple[str, Label]] = []
    unplaced = []
    for i in missed:
        if board.settle(i, Choice(board, labels[i].brief())):
            keyed.append((key.format(len(keyed) + 1), labels[i]))
        elif not (labels[i].kind in NEEDED and board.make_room(i, last=True)):
            unplaced.append(labels[i])
    for i in order:
        if i in board.taken and labels[i].kind in NEEDED:
            board.off_the_wire(i)
    spare = [i for i in spare if not board.settle(i, board.choices[i])]
    unplaced += [labels[i] for i in spare if not board.make_room(i)]
    short = {label.key: text for text, label in keyed}
    placed = tuple(
        Placed(_shortened(labels[i], short.get(labels[i].key)), site.spot, board.covers(site))
        for i, site in sorted(board.taken.items())
    )
    return Placement(placed, tuple(keyed), tuple(unplaced))


def _shortened(label: Label, text: str | None) -> Label:
    if text is None:
        return label
    return Label(label.key, (text,), label.lettering, label.kind, label.spots)


def drawn(placed: Iterable[Placed]) -> tuple[Primitive, ...]:
    """Leaders, then white below the texts where lines break, then the texts."""
    marks: list[Primitive] = []
    masks: list[Primitive] = []
    texts: list[Primitive] = []
    for label, spot, covers in placed:
        marks.extend(marks_of(spot))
        if label.frame:
            marks.append(label.frame(spot.box))
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
