"""Turns primitives into the operators of a PDF page, as few and as short as they can be.

The operators are those of ISO 32000-1, clauses 8 and 9. Lengths become points, y
upwards, rounded to a thousandth of a point; a pen or a colour is named only where it
changes, and neighbours of one style share a path or a text object.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import lru_cache

from renderer.output.shapes import text_start
from renderer.primitives import Area, Circle, FaceName, Line, Pen, Point, Text
from renderer.units import POINTS_PER_MM

# Length of the handles of a quarter arc, over the radius, that meets the circle at 45 degrees.
KAPPA = 4.0 / 3.0 * (math.sqrt(2.0) - 1.0)

Encode = Callable[[FaceName, str], Sequence[tuple[str, str]]]
"""Gives, for a face and a text, pairs of a font resource and an escaped string."""

_INITIAL = {"w": "1", "d": "[] 0", "J": "0", "j": "0", "G": "0", "g": "0", "Tf": ""}
_CAPS = {"butt": "0", "round": "1"}
_JOINS = {"miter": "0", "round": "1"}

Style = tuple[str, Pen | None, str | None, float | None]


class Content:
    """Collects the operators of one page of the given height in mm; ``take`` hands them out.

    ``in_form`` is for a form object, which starts with whatever state the page has where it
    is named.
    """

    def __init__(self, height_mm: float, encode: Encode, *, in_form: bool = False) -> None:
        self._height = height_mm * POINTS_PER_MM
        self._encode = encode
        self._ops: list[str] = []
        self._state = dict.fromkeys(_INITIAL, "") if in_form else dict(_INITIAL)
        self._style: Style | None = None
        self._cells: set[tuple[int, int]] = set()
        self._in_text = False
        self._origin: Point | None = None

    def line(self, item: Line) -> None:
        """A chain of points, stroked, filled or both."""
        if len(item.points) < 2 or (item.pen is None and item.fill is None):
            return
        self._begin((_paint(item.pen, item.fill, "f"), item.pen, item.fill, None), not item.fill)
        dashed = item.pen is not None and bool(item.pen.dash_mm)
        self._chain(item.points, item.closed, dashed)

    def area(self, item: Area) -> None:
        """Rings filled together by the area's rule."""
        rings = [ring for ring in item.rings if len(ring) > 1]
        if not rings or (item.pen is None and item.fill is None):
            return
        fill = "f*" if item.rule == "evenodd" else "f"
        self._begin((_paint(item.pen, item.fill, fill), item.pen, item.fill, None), not item.fill)
        for ring in rings:
            self._chain(ring, True, True)

    def circle(self, item: Circle) -> None:
        """A circle of four arcs; neighbours of one style share a path where that looks the same."""
        if item.pen is None and item.fill is None:
            return
        one_ink = item.fill is None or item.pen is None or item.pen.colour == item.fill
        radius = None if one_ink else item.radius_mm
        cell = self._cell(item)
        shared = one_ink or self._stands_free(cell)
        self._begin((_paint(item.pen, item.fill, "f"), item.pen, item.fill, radius), shared)
        self._cells.add(cell)
        x, y = self._place(item.at)
        self._ops.append(_round(x, y, item.radius_mm * POINTS_PER_MM))

    def text(self, item: Text) -> None:
        """One line of text in an embedded face."""
        if not item.text:
            return
        x, y = self._place(text_start(item))
        if not self._in_text:
            self._close()
            self._ops.append("BT")
            self._in_text, self._origin = True, (0.0, 0.0)
        self._set(*_colour(item.colour, "g"))
        self._put(x, y, item.angle_deg)
        size = _number(item.size_pt)
        for font, string in self._encode(item.face, item.text):
            self._set("Tf", f"{font} {size}")
            self._ops.append(f"({string}) Tj")

    def moved(self, at: Point) -> str:
        """Saves the state and moves the origin, in what is drawn next, from the page's top left."""
        return _numbers("q 1 0 0 1 %.10g %.10g cm", *self._place(at))

    def take(self) -> str:
        """The operators since the last call; what they set holds until the page ends."""
        self._close()
        ops, self._ops = self._ops, []
        return "\n".join(ops)

    def _begin(self, style: Style, shared: bool) -> None:
        """Goes on with the open path where its style is the same and it may be shared."""
        if shared and style == self._style:
            return
        self._close()
        _, pen, fill, _ = style
        if pen is not None:
            for operator, operands in _pen_state(pen):
                self._set(operator, operands)
        if fill is not None:
            self._set(*_colour(fill, "g"))
        self._style = style

    def _close(self) -> None:
        """Paints the open path or ends the open text object."""
        if self._style is not None:
            self._ops.append(self._style[0])
            self._style = None
            self._cells.clear()
        if self._in_text:
            self._ops.append("ET")
            self._in_text = False

    def _set(self, operator: str, operands: str) -> None:
        key = {"RG": "G", "rg": "g"}.get(operator, operator)
        if self._state[key] != operands:
            self._state[key] = operands
            self._ops.append(f"{operands} {operator}")

    def _place(self, at: Point) -> Point:
        return round(at[0] * POINTS_PER_MM, 3), round(self._height - at[1] * POINTS_PER_MM, 3)

    def _put(self, x: float, y: float, angle_deg: float) -> None:
        """Moves to the start of a text: by a step from the last one where neither is turned."""
        if angle_deg:
            turn = math.radians(angle_deg)
            # four decimals: a fifth would be written with an exponent, which PDF does not know
            cos, sin = round(math.cos(turn), 4), round(math.sin(turn), 4)
            self._ops.append(
                _numbers("%.10g %.10g %.10g %.10g %.10g %.10g Tm", cos, sin, -sin, cos, x, y)
            )
            self._origin = None
            return
        if self._origin is None:
            self._ops.append(_numbers("1 0 0 1 %.10g %.10g Tm", x, y))
        else:
            step = round(x - self._origin[0], 3), round(y - self._origin[1], 3)
            self._ops.append(_numbers("%.10g %.10g Td", *step))
        self._origin = (x, y)

    def _chain(self, points: Sequence[Point], closed: bool, dashed: bool) -> None:
        scale, height = POINTS_PER_MM, self._height
        flat = [
            number
            for x, y in points
            for number in (round(x * scale, 3), round(height - y * scale, 3))
        ]
        if closed and not dashed and len(points) == 4:
            rectangle = _rectangle(flat)
            if rectangle:
                self._ops.append(rectangle)
                return
        path = _numbers(_chain_format(len(points)), *flat)
        self._ops.append(path + " h" if closed else path)

    def _cell(self, item: Circle) -> tuple[int, int]:
        """The square of a grid as wide as the circle, in which its centre lies."""
        outer = 2.0 * item.radius_mm + (item.pen.width_mm if item.pen else 0.0)
        width = outer or 1.0
        return math.floor(item.at[0] / width), math.floor(item.at[1] / width)

    def _stands_free(self, cell: tuple[int, int]) -> bool:
        """Whether no circle of the open path can touch one in this square of the grid."""
        column, row = cell
        return self._cells.isdisjoint(
            [(column + i, row + j) for i in (-1, 0, 1) for j in (-1, 0, 1)]
        )


def _paint(pen: Pen | None, fill: str | None, fill_operator: str) -> str:
    if fill is None:
        return "S"
    return fill_operator if pen is None else fill_operator.replace("f", "B")


@lru_cache(maxsize=256)
def _pen_state(pen: Pen) -> tuple[tuple[str, str], ...]:
    dash = " ".join(_number(length * POINTS_PER_MM) for length in pen.dash_mm)
    return (
        ("w", _number(pen.width_mm * POINTS_PER_MM)),
        ("d", f"[{dash}] 0"),
        ("J", _CAPS[pen.cap]),
        ("j", _JOINS[pen.join]),
        _colour(pen.colour, "G"),
    )


@lru_cache(maxsize=256)
def _colour(colour: str, grey: str) -> tuple[str, str]:
    """Operator and operands of a colour ``#rrggbb``; ``grey`` is G for pens and g for fills."""
    red, green, blue = (int(colour[place : place + 2], 16) / 255.0 for place in (1, 3, 5))
    if red == green == blue:
        return grey, _number(red)
    return {"G": "RG", "g": "rg"}[grey], f"{_number(red)} {_number(green)} {_number(blue)}"


def _round(x: float, y: float, radius: float) -> str:
    handle = KAPPA * radius
    a, b, c, d, e, p, q, s, t, u = _numbers(
        "%.10g %.10g %.10g %.10g %.10g %.10g %.10g %.10g %.10g %.10g",
        *[round(x + step, 3) for step in (-radius, -handle, 0.0, handle, radius)],
        *[round(y + step, 3) for step in (-radius, -handle, 0.0, handle, radius)],
    ).split(" ")
    return (
        f"{e} {s} m {e} {t} {d} {u} {c} {u} c {b} {u} {a} {t} {a} {s} c "
        f"{a} {q} {b} {p} {c} {p} c {d} {p} {e} {q} {e} {s} c h"
    )


def _rectangle(flat: Sequence[float]) -> str | None:
    """The rectangle operator for four corners that stand upright, or None."""
    x0, y0, x1, y1, x2, y2, x3, y3 = flat
    lying = y0 == y1 and x1 == x2 and y2 == y3 and x3 == x0
    standing = x0 == x1 and y1 == y2 and x2 == x3 and y3 == y0
    if not (lying or standing):
        return None
    left, low = min(x0, x2), min(y0, y2)
    width, height = round(abs(x2 - x0), 3), round(abs(y2 - y0), 3)
    return _numbers("%.10g %.10g %.10g %.10g re", left, low, width, height)


@lru_cache(maxsize=1024)
def _chain_format(count: int) -> str:
    return "%.10g %.10g m" + " %.10g %.10g l" * (count - 1)


def _number(value: float) -> str:
    return _numbers("%.10g", round(value, 3))


def _numbers(form: str, *values: float) -> str:
    """Numbers in the form given; they are rounded, so none needs an exponent."""
    text = form % values
    if "n" in text:
        raise ValueError(f"a coordinate or length is not a number: {text[:80]}")
    return text
