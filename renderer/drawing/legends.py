"""The legend: what each symbol, line and fill on a drawing means, and nothing that is not on it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from renderer.drawing.changed import BAND
from renderer.drawing.dimensions import arrowheads
from renderer.drawing.fills import fill
from renderer.drawing.furniture import text_at
from renderer.drawing.labels import size_pt
from renderer.drawing.pens import (
    BAND_GREY,
    DASHED,
    FINE,
    LEGEND_TEXT,
    MIDDLE,
    OUTLINE,
    PAIR_CORE,
    PAIR_PEN,
    SIDE_TEXT,
    SUPPLY,
    SUSPECT,
    THIN,
    TRIM_GREY,
    WIRE,
    WIRE_ELSEWHERE,
)
from renderer.drawing.sides import PATTERNS
from renderer.drawing.symbols import SYMBOLS
from renderer.drawing.things import line_pen, point_symbol
from renderer.geometry.lines import chain
from renderer.language import Words
from renderer.plan.kinds import drawn_as
from renderer.primitives import Drawing, Line, Primitive, shifted
from renderer.text import line_height_mm, wrap

NO_KEY = "–"  # stands for a key number where a text has none, since it is not on the drawing
SAMPLE_MM = 11.0
COLUMN_MM = 43.0
ROW_MM = 5.0
SWATCH = ((1.0, -1.7), (10.0, -1.7), (10.0, 1.7), (1.0, 1.7))
HOUSE_TOP_MM = -1.4
HOUSE = ((0.0, HOUSE_TOP_MM), (SAMPLE_MM, HOUSE_TOP_MM), (SAMPLE_MM, 1.8), (0.0, 1.8))
ORDER = (
    "wire", "wire-new", "wire-gone", "keep-off", "lead", "crossing", "lead-or-crossing",
    "control", "peg1", "peg2", "splice", "pair-end", "test-point",
    "dock", "generator", "supply", "supply-lead", "reference",
    "house", "surveyed", "unsure", "ellipse", "taped", "taped-suspect",
    "corner", "grid", "dimension", "finding", "fall",
)  # fmt: skip


class Row(NamedTuple):
    """A sample centred in ``SAMPLE_MM``, and the words beside it."""

    sample: tuple[Primitive, ...]
    text: str


def rows(used: Iterable[str], words: Words) -> list[Row]:
    """What the legend says, in a fixed order."""
    keys = set(used)
    areas = {words[key] for key in keys if key.startswith("obstacle.")}
    if {"lead", "crossing"} <= keys:
        keys = keys - {"lead", "crossing"} | {"lead-or-crossing"}
    if "keep-off" in keys:
        keys = keys - {"wire"}
    found = [Row(_mark(key), words[f"legend.{key}"]) for key in ORDER if key in keys]
    for key in sorted(keys):
        group, _, kind = key.partition(".")
        if group == "side":
            form = "legend.side-too" if words[key] in areas else "legend.side"
            found.append(Row(_side(kind), words[form].format(name=words[key])))
        elif group == "obstacle":
            found.append(
                Row(_area(kind, solid=True), words["legend.obstacle"].format(name=words[key]))
            )
        elif group == "proof":
            found.append(Row(_proof(kind), words[f"legend.{key}"]))
        elif group == "feature":
            kind, _, form = kind.rpartition(".")
            name = words[f"feature.{kind}"]
            found.append(Row(_feature(kind, form), words["legend.feature"].format(name=name)))
    return found


def _mark(key: str) -> tuple[Primitive, ...]:
    middle = (SAMPLE_MM / 2, 0.0)
    line = ((0.0, 0.0), (SAMPLE_MM, 0.0))
    if key == "wire":
        return (Line(line, WIRE), *SYMBOLS["arrow"].at(middle))
    if key in ("lead", "crossing", "lead-or-crossing"):
        return (Line(line, PAIR_PEN), Line(line, PAIR_CORE))
    if key == "keep-off":
        return (_tinted(BAND_GREY), Line(line, WIRE), *SYMBOLS["arrow"].at(middle))
    if key == "wire-new":
        return (Line(line, BAND), Line(line, WIRE))
    if key == "wire-gone":
        return (Line(line, WIRE_ELSEWHERE),)
    if key == "house":
        rows = fill("feature.building", [chain(HOUSE)])[0]
        return (*rows, Line(((SAMPLE_MM, HOUSE_TOP_MM), (0.0, HOUSE_TOP_MM)), MIDDLE))
    if key == "supply-lead":
        return (Line(line, SUPPLY),)
    if key in ("taped", "taped-suspect"):
        return (Line(line, THIN if key == "taped" else SUSPECT),)
    if key == "dimension":
        return (Line(line, FINE), *arrowheads([line]))
    return SYMBOLS[key].at(middle)


def _side(kind: str) -> tuple[Primitive, ...]:
    line = chain(((SAMPLE_MM, 0.5), (0.0, 0.5)))
    return (Line(((0.0, 0.5), (SAMPLE_MM, 0.5)), OUTLINE), *PATTERNS[drawn_as(kind)](line))


def _area(kind: str, *, solid: bool) -> tuple[Primitive, ...]:
    lines, _ = fill(kind, [chain(SWATCH)])
    frame = Line(SWATCH, MIDDLE if solid else DASHED, closed=True)
    cross = SYMBOLS["trunk"].at((SAMPLE_MM / 2, 0.0)) if kind == "tree" else ()
    return (*lines, frame, *cross)


def _tinted(grey: str) -> Primitive:
    return Line(SWATCH, None, closed=True, fill=grey)


def _proof(kind: str) -> tuple[Primitive, ...]:
    if kind == "trim":
        return (_tinted(TRIM_GREY),)
    return (*fill(kind, [chain(SWATCH)])[0], Line(SWATCH, THIN, closed=True))


def _feature(kind: str, form: str) -> tuple[Primitive, ...]:
    if form == "at":
        return point_symbol(kind).at((SAMPLE_MM / 2, 0.0))
    if form == "line":
        return (Line(((0.0, 0.0), (SAMPLE_MM, 0.0)), line_pen(kind)),)
    return _area(f"feature.{kind}", solid=False)


def legend(
    used: Iterable[str],
    width_mm: float,
    words: Words,
    keyed: Iterable[tuple[str, str]] = (),
    sides: Sequence[int] = (),
) -> Drawing:
    """A legend of the given width, in as many columns as fit; then the key numbers' texts.

    Under the columns are told the names and the numbers of pegs that are not on the drawing, and
    the numbers of ``sides`` that are not.
    """
    found, keyed = rows(used, words), tuple(keyed)
    if words["legend.side.note"] and any(key.startswith("side.") for key in used):
        found.append(Row((), words["legend.side.note"]))
    found += [
        Row((text_at(SAMPLE_MM / 2, 1.2, key, SIDE_TEXT, "middle"),), text)
        for key, text in keyed
        if key != NO_KEY
    ]
    columns = max(1, int(width_mm // COLUMN_MM))
    room = width_mm / columns
    blocks = [_block(row, room) for row in found]
    above = _flowed(blocks, columns, room, width_mm)
    left_out = [text for key, text in keyed if key == NO_KEY]
    items, y = list(above.items), above.height_mm
    told = [*missing(left_out, words)]
    if sides:
        told.append(words.count("legend.no-side", len(sides), numbers=", ".join(map(str, sides))))
    for text in told:
        lines, height = _block(Row((), text), width_mm)
        items.extend(shifted(line, 0.0, y) for line in lines)
        y += height
    return Drawing(width_mm, round(y, 3), tuple(items))


def missing(texts: Sequence[str], words: Words) -> Iterator[str]:
    """What is said of names that a drawing has no room for, and of the numbers of pegs."""
    numbers = [text for text in texts if text.isdigit()]
    names = [text for text in texts if not text.isdigit()]
    if names:
        yield words("legend.no-name", names="; ".join(names))
    if numbers:
        yield words.count("legend.no-number", len(numbers), numbers=", ".join(numbers))


def _block(row: Row, width: float) -> tuple[tuple[Primitive, ...], float]:
    """A row's primitives about its own top, and its height."""
    size = size_pt(LEGEND_TEXT)
    pitch = line_height_mm(LEGEND_TEXT.face, size)
    left = SAMPLE_MM + 2.0 if row.sample else 0.0
    text = row.text[:1].upper() + row.text[1:]
    lines = wrap(text, LEGEND_TEXT.face, size, width - left - 3.0)
    height = max(ROW_MM, 0.2 + pitch * len(lines))
    middle = height / 2
    first = middle - pitch * (len(lines) - 1) / 2 + LEGEND_TEXT.cap_mm / 2
    texts = [text_at(left, first + i * pitch, line, LEGEND_TEXT) for i, line in enumerate(lines)]
    return (*(shifted(item, 0.0, middle) for item in row.sample), *texts), height


def _flowed(
    blocks: list[tuple[tuple[Primitive, ...], float]], columns: int, room: float, width_mm: float
) -> Drawing:
    """Blocks down the columns, the columns about equally high."""
    goal = sum(height for _, height in blocks) / columns
    items: list[Primitive] = []
    column, y, highest = 0, 0.0, 0.0
    for parts, height in blocks:
        if y > 0 and y + height / 2 > goal and column < columns - 1:
            column, y = column + 1, 0.0
        items.extend(shifted(part, column * room, y) for part in parts)
        y += height
        highest = max(highest, y)
    return Drawing(width_mm, round(highest, 3), tuple(items))
