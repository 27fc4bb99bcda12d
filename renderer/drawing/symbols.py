"""The symbols of the drawings, each drawn here by a small function, found by name in ``SYMBOLS``.

A symbol is drawn about a point on paper, its own x axis along ``turn_deg``
(anticlockwise as read), in black on white, so that a grey copy shows it. To add one,
write a function, put it in the table with the room it takes, and give it a word in
the catalogue under ``legend.NAME``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from renderer.drawing.boxes import Box, disc, square
from renderer.drawing.pens import MIDDLE, ROUND, THIN, WHITE
from renderer.frozen import dataclass
from renderer.geometry.lines import Point
from renderer.primitives import BLACK, Circle, InkName, Line, Pen, Primitive

Draw = Callable[[Point, float], tuple[Primitive, ...]]


@dataclass(frozen=True, slots=True)
class Symbol:
    """How a symbol is drawn, and the room it takes: a radius in mm, or half an upright side."""

    draw: Draw
    radius_mm: float
    square: bool = False

    def at(self, at: Point, turn_deg: float = 0.0) -> tuple[Primitive, ...]:
        """The symbol at a place of the paper."""
        return self.draw(at, turn_deg)

    def room(self, at: Point) -> Box:
        """The box that labels keep clear of."""
        return square(at, self.radius_mm) if self.square else disc(at, self.radius_mm)


def placed(points: Sequence[Point], at: Point, turn_deg: float) -> tuple[Point, ...]:
    """Points about the origin (y down) turned and moved to their place on paper."""
    angle = math.radians(turn_deg)
    c, s = math.cos(angle), math.sin(angle)
    return tuple(
        (round(at[0] + x * c + y * s, 3), round(at[1] - x * s + y * c, 3)) for x, y in points
    )


def _line(
    points: Sequence[Point],
    at: Point,
    turn: float,
    pen: Pen | None,
    *,
    closed: bool = False,
    fill: str | None = None,
    ink: InkName = "",
) -> Line:
    return Line(placed(points, at, turn), pen, closed=closed, fill=fill, ink=ink)


def _square(half: float) -> tuple[Point, ...]:
    return ((-half, -half), (half, -half), (half, half), (-half, half))


def _arc(
    radius: float, start: float, end: float, centre: Point = (0.0, 0.0), count: int = 12
) -> list[Point]:
    """Points of an arc, angles in degrees anticlockwise as read."""
    steps = [math.radians(start + (end - start) * i / count) for i in range(count + 1)]
    return [(centre[0] + radius * math.cos(a), centre[1] - radius * math.sin(a)) for a in steps]


def named(items: tuple[Primitive, ...], id: str, title: str) -> tuple[Primitive, ...]:
    """The same primitives, the first round or drawn one carrying the id and title."""
    first = (
        next(i for i, item in enumerate(items) if isinstance(item, Circle))
        if any(isinstance(item, Circle) for item in items)
        else 0
    )
    marked = items[first]
    if isinstance(marked, (Circle, Line)):
        marked = replace(marked, id=id, title=title)
    return (*items[:first], marked, *items[first + 1 :])


def peg_first(at: Point, turn: float) -> tuple[Primitive, ...]:
    """A black disc."""
    return (Circle(at, 0.8, None, BLACK),)


def peg_second(at: Point, turn: float) -> tuple[Primitive, ...]:
    """An open ring."""
    return (Circle(at, 0.65, THIN, WHITE),)


def peg_control(at: Point, turn: float) -> tuple[Primitive, ...]:
    """A disc in a square."""
    return (
        _line(_square(1.2), at, 0.0, THIN, closed=True, fill=WHITE),
        Circle(at, 0.65, None, BLACK),
    )


def peg_first_small(at: Point, turn: float) -> tuple[Primitive, ...]:
    """The same where pegs stand close."""
    return (Circle(at, 0.5, None, BLACK),)


def peg_second_small(at: Point, turn: float) -> tuple[Primitive, ...]:
    """The same where pegs stand close."""
    return (Circle(at, 0.35, THIN, WHITE),)


def peg_control_small(at: Point, turn: float) -> tuple[Primitive, ...]:
    """The same where pegs stand close."""
    return (
        _line(_square(0.8), at, 0.0, THIN, closed=True, fill=WHITE),
        Circle(at, 0.4, None, BLACK),
    )


def splice(at: Point, turn: float) -> tuple[Primitive, ...]:
    """Two solid diamonds as a bar across the wire: circles are for plants and obstacles."""
    tips = ((0.0, 0.0), (0.8, -0.95), (0.0, -1.9), (-0.8, -0.95))
    bar = (*tips, *((x, -y) for x, y in tips))
    white = (
        *((0.7, 0.0), (1.3, -0.95), (0.0, -2.4), (-1.3, -0.95)),
        *((-0.7, 0.0), (-1.3, 0.95), (0.0, 2.4), (1.3, 0.95)),
    )
    return (
        _line(white, at, turn, None, closed=True, fill=WHITE),
        _line(bar, at, turn, None, closed=True, fill=BLACK),
        Circle(at, 0.35, None, BLACK),
    )


def test_point(at: Point, turn: float) -> tuple[Primitive, ...]:
    """A ring with its left half black."""
    return (
        Circle(at, 1.2, THIN, WHITE),
        _line(_arc(1.2, 90, 270), at, 0.0, None, closed=True, fill=BLACK),
    )


def pair_end(at: Point, turn: float) -> tuple[Primitive, ...]:
    """A small black square on its corner."""
    return (_line(_square(0.85), at, 45.0, None, closed=True, fill=BLACK),)


def dock(at: Point, turn: float) -> tuple[Primitive, ...]:
    """A plate across the wire, open in front, with an arrowhead the way the wire leaves."""
    return (
        _line(((3.2, -2.0), (-3.2, -2.0), (-3.2, 2.0), (3.2, 2.0)), at, turn, MIDDLE),
        _line(
            ((-3.2, -1.0), (-2.2, -1.0), (-2.2, 1.0), (-3.2, 1.0)),
            at,
            turn,
            None,
            closed=True,
            fill=BLACK,
        ),
    )


def generator(at: Point, turn: float) -> tuple[Primitive, ...]:
    """A box with one wave in it."""
    wave = [*_arc(0.8, 180, 0, (-0.8, 0.0)), *_arc(0.8, 180, 360, (0.8, 0.0))]
    return (
        _line(_square(2.2), at, 0.0, MIDDLE, closed=True, fill=WHITE),
        _line(wave, at, 0.0, THIN),
    )


def supply(at: Point, turn: float) -> tuple[Primitive, ...]:
    """A box halved by a slanting line, as for any converter in wiring diagrams."""
    return (
        _line(_square(1.7), at, 0.0, MIDDLE, closed=True, fill=WHITE),
        _line(((-1.7, 1.7), (1.7, -1.7)), at, 0.0, THIN),
    )


def socket(at: Point, turn: float) -> tuple[Primitive, ...]:
    """Half a circle on a stem, as for a socket outlet in building plans."""
    return (
        _line(_arc(1.6, 180, 360, (0.0, -0.4)), at, 0.0, MIDDLE),
        _line(((0.0, 1.2), (0.0, 2.2)), at, 0.0, MIDDLE),
        _line(((-1.6, 1.2), (1.6, 1.2)), at, 0.0, MIDDLE),
    )


def sprinkler(at: Point, turn: float) -> tuple[Primitive, ...]:
    """A small ring with four short rays."""
    rays = [
        _line(((0.9, 0.0), (2.0, 0.0)), at, angle, ROUND) for angle in (45.0, 135.0, 225.0, 315.0)
    ]
    return (Circle(at, 0.9, THIN, WHITE), *rays)


def gate(at: Point, turn: float) -> tuple[Primitive, ...]:
    """A leaf standing open and the arc of its swing, as for doors in building plans."""
    return (
        _line(((-1.8, 1.4), (-1.8, -2.2)), at, turn, MIDDLE),
        _line(_arc(3.6, 90, 0, (-1.8, 1.4)), at, turn, THIN),
    )


def play(at: Point, turn: float) -> tuple[Primitive, ...]:
    """A swing: two legs, a beam and a seat on a line."""
    return (
        _line(((-2.0, 1.9), (-1.4, -1.7), (1.4, -1.7), (2.0, 1.9)), at, 0.0, THIN),
        _line(((0.0, -1.7), (0.0, 1.0)), at, 0.0, THIN),
        _line(((-0.6, 1.0), (0.6, 1.0)), at, 0.0, MIDDLE),
    )


def trunk(at: Point, turn: float) -> tuple[Primitive, ...]:
    """A small cross, as for the middle of a trunk in site plans."""
    return (
        _line(((-1.0, 0.0), (1.0, 0.0)), at, 0.0, THIN),
        _line(((0.0, -1.0), (0.0, 1.0)), at, 0.0, THIN),
    )


def fall(at: Point, turn: float) -> tuple[Primitive, ...]:
    """An open arrow that points downhill, with a bar at its upper end."""
    return (
        _line(((-4.0, 0.0), (4.0, 0.0)), at, turn, MIDDLE),
        _line(((2.2, -1.1), (4.0, 0.0), (2.2, 1.1)), at, turn, MIDDLE),
        _line(((-4.0, -1.1), (-4.0, 1.1)), at, turn, MIDDLE),
    )


def place(at: Point, turn: float) -> tuple[Primitive, ...]:
    """An open square on its corner with a dot: any other thing at a point."""
    return (
        _line(_square(1.2), at, 45.0, THIN, closed=True, fill=WHITE),
        Circle(at, 0.4, None, BLACK),
    )


def reference(at: Point, turn: float) -> tuple[Primitive, ...]:
    """A triangle with a dot, as for a fixed point in surveying."""
    return (
        _line(((0.0, -2.2), (1.9, 1.1), (-1.9, 1.1)), at, 0.0, MIDDLE, closed=True, fill=WHITE),
        Circle(at, 0.4, None, BLACK),
    )


def unsure(at: Point, turn: float) -> tuple[Primitive, ...]:
    """A square on its corner round a dot: a surveyed point that nobody can vouch for."""
    ring = ((0.0, -2.0), (2.0, 0.0), (0.0, 2.0), (-2.0, 0.0))
    return (_line(ring, at, 0.0, MIDDLE, closed=True, fill=WHITE), Circle(at, 0.4, None, BLACK))


def surveyed(at: Point, turn: float) -> tuple[Primitive, ...]:
    """A ring: a point that was measured."""
    return (Circle(at, 0.8, THIN, WHITE),)


def ellipse(at: Point, turn: float) -> tuple[Primitive, ...]:
    """A flat ring about a point, for the legend."""
    turns = (math.tau * step / 32 for step in range(32))
    ring = tuple((3.0 * math.cos(angle), 1.3 * math.sin(angle)) for angle in turns)
    return (_line(ring, at, 0.0, THIN, closed=True),)


def corner(at: Point, turn: float) -> tuple[Primitive, ...]:
    """A triangle on its point without a dot: a corner of the lawn that a sheet is found by."""
    return (_line(((0.0, 2.2), (-1.9, -1.1), (1.9, -1.1)), at, 0.0, THIN, closed=True),)


def grid_cross(at: Point, turn: float) -> tuple[Primitive, ...]:
    """A large thin cross at a round coordinate."""
    return (
        _line(((-2.5, 0.0), (2.5, 0.0)), at, turn, THIN),
        _line(((0.0, -2.5), (0.0, 2.5)), at, turn, THIN),
    )


def six_sided(box: Box) -> tuple[Point, ...]:
    """The frame of a flag: a box with pointed ends."""
    x, y, tip = box.x, box.y, min(box.hh, 1.4)
    left, right = x - box.hw, x + box.hw
    top, low = y - box.hh, y + box.hh
    upper = ((left, y), (left + tip, top), (right - tip, top))
    lower = ((right, y), (right - tip, low), (left + tip, low))
    return tuple((round(px, 3), round(py, 3)) for px, py in (*upper, *lower))


def finding(at: Point, turn: float) -> tuple[Primitive, ...]:
    """An empty flag with a stroke and a point: read what is said of this place."""
    frame = six_sided(Box(at[0], at[1], 3.4, 2.1))
    return (
        Line(frame, MIDDLE, closed=True, fill=WHITE),
        _line(((0.0, -1.2), (0.0, 0.4)), at, 0.0, MIDDLE),
        Circle((at[0], round(at[1] + 1.1, 3)), 0.3, None, BLACK),
    )


def arrow(at: Point, turn: float) -> tuple[Primitive, ...]:
    """A solid arrowhead along the wire, in the direction it is laid."""
    return (
        _line(
            ((1.25, 0.0), (-1.05, -1.0), (-0.55, 0.0), (-1.05, 1.0)),
            at,
            turn,
            None,
            closed=True,
            fill=BLACK,
            ink="wire",
        ),
    )


def arrow_small(at: Point, turn: float) -> tuple[Primitive, ...]:
    """The same for one wire of a pair that is drawn apart."""
    head = ((1.2, 0.0), (-1.0, -0.65), (-1.0, 0.65))
    return (_line(head, at, turn, None, closed=True, fill=BLACK, ink="wire"),)


def arrow_large(at: Point, turn: float) -> tuple[Primitive, ...]:
    """The same where which way the wire runs is to be found between pegs that stand close."""
    head = ((1.9, 0.0), (-1.5, -1.5), (-0.8, 0.0), (-1.5, 1.5))
    return (_line(head, at, turn, None, closed=True, fill=BLACK, ink="wire"),)


SYMBOLS: dict[str, Symbol] = {
    "peg1": Symbol(peg_first, 0.8),
    "peg2": Symbol(peg_second, 0.85),
    "control": Symbol(peg_control, 1.4, square=True),
    "peg1.small": Symbol(peg_first_small, 0.5),
    "peg2.small": Symbol(peg_second_small, 0.55),
    "control.small": Symbol(peg_control_small, 1.0, square=True),
    "splice": Symbol(splice, 2.4),
    "test-point": Symbol(test_point, 1.4),
    "pair-end": Symbol(pair_end, 1.2),
    "dock": Symbol(dock, 3.4),
    "generator": Symbol(generator, 2.45, square=True),
    "supply": Symbol(supply, 1.95, square=True),
    "socket": Symbol(socket, 2.2),
    "sprinkler": Symbol(sprinkler, 1.8),
    "gate": Symbol(gate, 2.4),
    "play": Symbol(play, 2.2),
    "trunk": Symbol(trunk, 1.0),
    "place": Symbol(place, 1.9),
    "fall": Symbol(fall, 4.3),
    "reference": Symbol(reference, 2.3),
    "corner": Symbol(corner, 2.3),
    "unsure": Symbol(unsure, 2.2),
    "surveyed": Symbol(surveyed, 1.0),
    "ellipse": Symbol(ellipse, 3.2),
    "grid": Symbol(grid_cross, 2.5),
    "finding": Symbol(finding, 3.7),
    "arrow": Symbol(arrow, 1.3),
    "arrow.small": Symbol(arrow_small, 0.9),
    "arrow.large": Symbol(arrow_large, 1.9),
}
