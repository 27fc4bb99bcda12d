"""What stands beside a plan: scale bar, check bar, north arrow, each a small drawing."""

from __future__ import annotations

import math

from renderer.drawing.labels import size_pt
from renderer.drawing.pens import MARK_TEXT, MIDDLE, NAME_TEXT, NOTE_TEXT, THIN, Lettering
from renderer.drawing.symbols import placed
from renderer.language import Words
from renderer.primitives import BLACK, Anchor, Drawing, Line, Primitive, Text
from renderer.text import line_height_mm, width_mm, wrap
from renderer.units import M_PER_FOOT, MM_PER_INCH, MM_PER_M

SIDE_MM = 4.0
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
    """A bar of exactly 100 mm, or 4 in, by which a print is checked for true size."""
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


def north_arrow(rotation_deg: float, words: Words) -> Drawing:
    """A north arrow for a plan turned by ``rotation_deg`` anticlockwise."""
    size = 13.6
    at = (size / 2, size / 2)
    half = placed(((0.0, -2.8), (2.1, 6.0), (0.0, 4.6)), at, rotation_deg)
    other = placed(((0.0, -2.8), (-2.1, 6.0), (0.0, 4.6)), at, rotation_deg)
    tip = placed(((0.0, -4.9),), at, rotation_deg)[0]
    items = (
        Line(half, THIN, closed=True, fill=BLACK, role="north"),
        Line(other, THIN, closed=True, role="north"),
        text_at(tip[0], tip[1] + MARK_TEXT.cap_mm / 2, words["label.north"], MARK_TEXT, "middle"),
    )
    return Drawing(size, size, items)
