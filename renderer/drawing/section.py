"""Side sections: the ground cut across an edge, with wire, peg and gauge, drawn to scale.

One for each kind of side or obstacle whose setback is in use. The edge stands at the
left, the lawn lies at the right; heights of walls and hedges are cut off.
"""

from __future__ import annotations

from collections.abc import Iterator

from renderer.drawing.dimensions import dimension_spot
from renderer.drawing.edges import EDGES, Cut, earth, grass, outline, stroke
from renderer.drawing.furniture import text_at
from renderer.drawing.kinds import LabelKind
from renderer.drawing.labels import Label, text_size, texts_at
from renderer.drawing.measures import length_text
from renderer.drawing.pens import LEGEND_TEXT, MIDDLE, VALUE_TEXT
from renderer.drawing.scale import METRIC
from renderer.language import Words
from renderer.plan.kinds import drawn_as
from renderer.primitives import BLACK, Circle, Drawing, Primitive
from renderer.trade import GRASS_M, PEG_M
from renderer.units import MM_PER_M

LEFT_MM = 14.0
RIGHT_MM = 28.0
ABOVE_MM = 20.5
BELOW_MM = 17.0
SCALES = (5.0, *METRIC)


def section(
    kind: str,
    setback_m: float,
    units: str,
    words: Words,
    *,
    width_mm: float,
    gauge: str = "",
) -> Drawing:
    """The section at an edge of a kind, at the largest scale that fits the width.

    ``setback_m`` is the distance from the edge to the wire, ``gauge`` the name of the
    gauge board cut to it, if there is one.
    """
    room = width_mm - LEFT_MM - RIGHT_MM
    fitting = [n for n in SCALES if setback_m * MM_PER_M / n <= room]
    scale = min(fitting, default=METRIC[-1])
    cut = Cut(LEFT_MM, ABOVE_MM, MM_PER_M / scale)
    wire = cut.x + setback_m * cut.mm_per_m
    right = wire + RIGHT_MM
    items: list[Primitive] = [*EDGES[drawn_as(kind)](cut), *_lawn(cut, right), *_wire(cut, wire)]
    if setback_m > 0:
        items += _gauge(cut, wire, length_text(setback_m, units, words), words, gauge)
    items += _names(cut, wire, words)
    full = words["title.section"].format(name=words[f"obstacle.{kind}"])
    return Drawing(round(right, 3), ABOVE_MM + BELOW_MM, tuple(items), scale=scale, title=full)


def _lawn(cut: Cut, right: float) -> Iterator[Primitive]:
    """The ground line with its earth below and its grass above."""
    yield from earth(cut.x, right, cut.y)
    yield from grass(cut.x + 0.8, right, cut.y, cut.up(GRASS_M, 1.2, 5.0))


def _wire(cut: Cut, x: float) -> Iterator[Primitive]:
    """The wire end on, and the peg over it with its head below the surface."""
    deep = cut.up(PEG_M, 8.0, 14.0)
    y = cut.y
    yield stroke(
        ((x + 1.3, y + deep), (x + 1.3, y + 0.8), (x - 1.3, y + 0.8), (x - 1.3, y + 3.4)), MIDDLE
    )
    yield Circle(
        (round(x, 3), round(y + 2.05, 3)), 0.75, None, BLACK, role="section-wire", ink="wire"
    )


def _gauge(cut: Cut, wire: float, value: str, words: Words, gauge: str) -> Iterator[Primitive]:
    """The gauge board from the edge to the wire, its length and its name."""
    low = cut.y - cut.up(GRASS_M, 1.2, 5.0) - 0.8
    high = low - 1.8
    yield outline(((cut.x, high), (wire, high), (wire, low), (cut.x, low)), MIDDLE)
    spot = dimension_spot(
        (cut.x, high), (wire, high), -5.0, 0.5, text_size((value,), VALUE_TEXT), 0.0
    )
    yield from spot.marks
    yield from texts_at(Label("setback", (value,), VALUE_TEXT, LabelKind.SETBACK, ()), spot)
    name = words["section.gauge"].format(gauge=gauge).strip()
    yield text_at(wire + 1.2, low - 0.9, name, LEGEND_TEXT)


def _names(cut: Cut, wire: float, words: Words) -> Iterator[Primitive]:
    """The names of the wire and the peg, each led to what it names."""
    x = wire + 4.0
    for row, (key, target) in enumerate(
        (("section.wire", (wire + 0.9, cut.y + 2.4)), ("section.peg", (wire + 1.7, cut.y + 7.2)))
    ):
        y = cut.y + 7.5 + 5.0 * row
        yield text_at(x + 1.0, y, words[key], LEGEND_TEXT)
        yield stroke(((x + 0.5, y - LEGEND_TEXT.cap_mm / 2), target))
