"""What stands beside a plan: scale bar, check bar, orientation arrows; each a small drawing."""

from __future__ import annotations

import math
from collections.abc import Sequence

from renderer.drawing.cropped import cropped
from renderer.drawing.labels import size_pt
from renderer.drawing.pens import LEGEND_TEXT, MIDDLE, NAME_TEXT, NOTE_TEXT, THIN, Lettering
from renderer.drawing.symbols import placed
from renderer.geometry.lines import Point, chain
from renderer.geometry.rects import Rect, is_met
from renderer.language import Words
from renderer.primitives import BLACK, Anchor, Area, Circle, Drawing, Line, Primitive, Text
from renderer.text import line_height_mm, width_mm, wrap
from renderer.units import M_PER_FOOT, MM_PER_INCH, MM_PER_M

SIDE_MM = 4.0
ARROW_MM = 9.8
INSET_MM = 1.5
AXIS_MM = 8.0
LETTER_MM = 4.0  # beyond the end of an axis, for its letter
LEVEL_DEG = 0.05  # turned by less, a drawing lies as the plan does
BAR_MM = 2.0
CHECK_METRIC_MM = 100.0
CHECK_INCH_MM = 4 * MM_PER_INCH


def text_at(
    x: float,
    y: float,
    text: str,
    lettering: Lettering,
    anchor: Anchor = "start",
    role: str = "label",
) -> Text:
    """One line of text in a letter style, its baseline at y."""
    return Text(
        (round(x, 3), round(y, 3)), text, size_pt(lettering), lettering.face, anchor, role=role
    )


def scale_bar(scale: float, *, inch: bool, words: Words) -> Drawing:
    """A bar of round lengths on the ground, in metres or in feet, at 1:``scale``."""
    unit_m = M_PER_FOOT if inch else 1.0
    step = _round_step(9.0 * scale / MM_PER_M / unit_m)
    block = step * unit_m * MM_PER_M / scale
    count = max(2, min(5, int(46.0 / block)))
    top = 5.0
    items: list[Primitive] = []
    for i in range(count):
        x0, x1 = SIDE_MM + i * block, SIDE_MM + (i + 1) * block
        ring = ((x0, top), (x1, top), (x1, top + BAR_MM), (x0, top + BAR_MM))
        items.append(
            Line(
                tuple((round(x, 3), y) for x, y in ring),
                THIN,
                closed=True,
                fill=BLACK if i % 2 == 0 else None,
                role="scale-bar",
            )
        )
    marks = [words.numbers.plain(i * step) for i in range(count + 1)]
    items += [
        text_at(SIDE_MM + i * block, top - 1.2, mark, NAME_TEXT, "middle")
        for i, mark in enumerate(marks)
    ]
    unit = words["scale.feet" if inch else "scale.metres"]
    items.append(text_at(SIDE_MM + count * block + 4.0, top + BAR_MM, unit, NAME_TEXT))
    width = SIDE_MM + count * block + 4.0 + width_mm(unit, NAME_TEXT.face, size_pt(NAME_TEXT)) + 1.0
    return Drawing(round(width, 3), top + BAR_MM + 1.0, tuple(items), scale=scale)


def _round_step(least: float) -> float:
    """The least of 1, 2, 5 times a power of ten that is no less than ``least``."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(step * power for step in (1, 2, 5, 10) if step * power >= least * 0.999)


def check_bar(*, inch: bool, words: Words) -> Drawing:
    """A bar of exactly 100 mm, or 4 in, to check that a print is true to size."""
    length = CHECK_INCH_MM if inch else CHECK_METRIC_MM
    y = 3.0
    x0, x1 = SIDE_MM, round(SIDE_MM + length, 3)
    items: list[Primitive] = [Line(((x0, y), (x1, y)), MIDDLE, role="check-bar")]
    for i in range(11 if not inch else 5):
        x = round(x0 + length * i / (10 if not inch else 4), 3)
        tall = 2.0 if i in (0, 10 if not inch else 4) else 1.0
        items.append(Line(((x, y - tall), (x, y + tall)), MIDDLE, role="check-tick"))
    note = words["check.inch" if inch else "check.metric"]
    size = size_pt(NOTE_TEXT)
    pitch = line_height_mm(NOTE_TEXT.face, size)
    lines = wrap(note, NOTE_TEXT.face, size, length)
    for row, line in enumerate(lines):
        items.append(text_at(x0, y + 5.2 + row * pitch, line, NOTE_TEXT))
    return Drawing(
        round(x1 + SIDE_MM, 3), round(y + 6.4 + pitch * (len(lines) - 1), 3), tuple(items)
    )


def orientation(rotation_deg: float, north_deg: float | None, words: Words) -> Drawing | None:
    """How a drawing lies: north where the plan knows it, else the plan's top where it is turned.

    ``rotation_deg`` is the turn on paper, anticlockwise; ``north_deg`` is true north, clockwise
    from the plan's y axis. Nothing where north is not known and y points up.
    """
    if north_deg is not None:
        return north_arrow(rotation_deg - north_deg, words)
    return top_arrow(rotation_deg, words) if abs(rotation_deg) > LEVEL_DEG else None


def axes(rotation_deg: float) -> Drawing | None:
    """Which way x and y run on a drawing turned by so much, for who works with coordinates.

    Nothing where they run as they are drawn on any graph.
    """
    if abs(rotation_deg) <= LEVEL_DEG:
        return None
    middle = AXIS_MM + LETTER_MM + 1.0
    arrow = ((AXIS_MM, 0.0), (AXIS_MM - 2.2, 0.55), (AXIS_MM - 2.2, -0.55))
    items: list[Primitive] = []
    for name, turn in (("x", rotation_deg), ("y", rotation_deg + 90.0)):
        for ring, fill in (((0.0, 0.0), arrow[0]), None), (arrow, BLACK):
            line = placed(ring, (middle, middle), turn)
            items.append(Line(line, THIN, closed=bool(fill), fill=fill, role=f"axis-{name}"))
        ((x, y),) = placed(((AXIS_MM + LETTER_MM / 2, 0.0),), (middle, middle), turn)
        items.append(text_at(x, y + LEGEND_TEXT.cap_mm / 2, name, LEGEND_TEXT, "middle"))
    return cropped(Drawing(2.0 * middle, 2.0 * middle, tuple(items)), sides=True)


def north_arrow(turn_deg: float, words: Words) -> Drawing:
    """A half black arrow to true north, which lies ``turn_deg`` anticlockwise from upwards."""
    shapes = (
        ("north", BLACK, ((0.0, -4.4), (2.1, 4.4), (0.0, 3.0))),
        ("north", None, ((0.0, -4.4), (-2.1, 4.4), (0.0, 3.0))),
    )
    return _pointer(shapes, turn_deg, words["label.north"])


def top_arrow(turn_deg: float, words: Words) -> Drawing:
    """An open arrow to where the plan's y axis points on a drawing that is turned."""
    ring = ((0.0, -4.4), (2.4, 0.0), (1.0, 0.0), (1.0, 4.4), (-1.0, 4.4), (-1.0, 0.0), (-2.4, 0.0))
    return _pointer((("plan-top", None, ring),), turn_deg, words["label.top"])


def _pointer(
    shapes: Sequence[tuple[str, str | None, tuple[tuple[float, float], ...]]],
    turn_deg: float,
    text: str,
) -> Drawing:
    """Closed shapes about one middle, turned, with their word level below them."""
    width = max(ARROW_MM, width_mm(text, LEGEND_TEXT.face, size_pt(LEGEND_TEXT)) + 1.0)
    at = (width / 2, ARROW_MM / 2)
    items = [
        Line(placed(ring, at, turn_deg), THIN, closed=True, fill=fill, role=role)
        for role, fill, ring in shapes
    ]
    foot = ARROW_MM + LEGEND_TEXT.cap_mm + 0.6
    word = text_at(width / 2, foot, text, LEGEND_TEXT, "middle")
    return Drawing(round(width, 3), round(foot + 0.8, 3), (*items, word))


def free_corner(drawing: Drawing, width_mm: float, height_mm: float, top_mm: float) -> Point:
    """Where a mark of a size stands in a corner of a drawing that shows nothing there.

    The right corners first, the upper one ``top_mm`` below the edge; that one where none is free.
    """
    right, low = drawing.width_mm - width_mm - INSET_MM, drawing.height_mm - height_mm - INSET_MM
    places = ((right, top_mm), (right, low), (INSET_MM, top_mm), (INSET_MM, low))
    for x, y in places:
        frame = Rect(x, y, x + width_mm, y + height_mm).grown(0.5)
        if not any(_touches(item, frame) for item in drawing.items):
            return x, y
    return places[0]


def _touches(item: Primitive, frame: Rect) -> bool:
    """Whether a primitive of a plan shows in a frame; a text by the circle about its place."""
    if isinstance(item, Line):
        ring = (*item.points, item.points[0]) if item.closed else item.points
        return is_met(chain(ring), frame)
    if isinstance(item, Area):
        return any(is_met(chain((*ring, ring[0])), frame) for ring in item.rings)
    if isinstance(item, Circle):
        return frame.grown(item.radius_mm).holds(item.at)
    if isinstance(item, Text):
        return frame.grown(width_mm(item.text, item.face, item.size_pt)).holds(item.at)
    return False
