"""Areas on paper, round or with corners: their edge, their fill and their name."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from renderer.drawing.boxes import LINE, Occupied, pieces
from renderer.drawing.fills import fill
from renderer.drawing.kinds import LabelKind
from renderer.drawing.labels import Label, Led, Places, Spot, text_size, two_lines
from renderer.drawing.pens import NAME_TEXT
from renderer.drawing.scene import OUTLINE, PATTERN, Part, Scene
from renderer.drawing.spots import GAPS_MM, farther, outside, within
from renderer.geometry.lines import as_points, chain
from renderer.geometry.rects import clip_chain, clip_ring
from renderer.geometry.rings import area
from renderer.primitives import Line, Pen

if TYPE_CHECKING:
    from renderer.geometry.lines import Chain, Point
    from renderer.plan.model import Circle

# What a name pays to stand in two lines, in its thing and beside it; a shorter one does not there.
BROKEN, BROKEN_OUTSIDE = 0.5, 1.5
LONG_MM = 16.0
MOST_WITHIN = 30  # places tried inside an area


def ring_of(scene: Scene, circle: Circle | None, polygon: Sequence[Point] | None) -> Chain:
    """A circle or polygon of the plan on paper, not closed again; none of a circle out of sight."""
    if circle is not None:
        at, radius = scene.view.point(circle.at), scene.view.mm(circle.radius)
        if not scene.view.frame.grown(radius).holds(at):
            return np.zeros((0, 2))
        return round_ring(at, radius)
    return scene.view.chain(chain(polygon or ()))


def round_ring(at: Point, radius: float) -> Chain:
    """A circle as a chain of points, the chords within 0.02 mm of it."""
    count = max(16, math.ceil(math.pi / math.acos(max(0.0, 1 - 0.02 / max(radius, 0.03)))))
    angle = np.linspace(0, 2 * math.pi, count, endpoint=False)
    return np.column_stack((at[0] + radius * np.cos(angle), at[1] + radius * np.sin(angle)))


def closed(ring: Chain) -> Chain:
    """The ring with its first point again at the end."""
    return np.concatenate((ring, ring[:1]))


def line_parts(
    scene: Scene, points: Chain, pen: Pen, weight: float, *, layer: int, title: str, role: str
) -> Iterator[Part]:
    """The pieces of a line in the frame; text pays ``weight`` to lie on them."""
    for part in clip_chain(points, scene.view.frame):
        line = Line(as_points(part), pen, title=title, role=role)
        boxes = pieces(part, pen.width_mm)
        yield Part(((layer, line),), tuple(Occupied(box, LINE, weight) for box in boxes))


def filled(
    scene: Scene, ring: Chain, kind: str, pen: Pen, weight: float, *, title: str, role: str
) -> Iterator[Part]:
    """What the frame shows of an area: the fill of its kind, and its edge."""
    seen = clip_ring(ring, scene.view.frame) if len(ring) else ring
    if len(seen) < 3:
        return
    lines, under = fill(kind, [seen])
    yield Part(tuple((PATTERN, line) for line in lines), under)
    yield from line_parts(scene, closed(ring), pen, weight, layer=OUTLINE, title=title, role=role)


def area_label(scene: Scene, key: str, text: str, ring: Chain, kind: LabelKind) -> Iterable[Label]:
    """The name of an area: inside where it fits, else led to, else a key number."""
    seen = clip_ring(ring, scene.view.frame) if len(ring) else ring
    if len(seen) < 3 or "names" not in scene.show:
        return
    size, short = text_size((text,), NAME_TEXT), text_size(("N88",), NAME_TEXT)
    near = (*within(seen, size, most=MOST_WITHIN), *_broken(seen, text))
    # Where most of an area lies on other sheets, its name stands there.
    if abs(area(seen)) <= 0.5 * abs(area(ring)):
        led = outside(seen, size, gaps=GAPS_MM[:3])
        yield Label(key, (text,), NAME_TEXT, kind, near, listed=False, led=led)
        return
    yield Label(
        key,
        (text,),
        NAME_TEXT,
        kind,
        near,
        lambda: (
            *Places(within(seen, short), outside(seen, short)).all(),
            *farther(seen, short),
        ),
        more=lambda: farther(seen, size),
        led=(*outside(seen, size), *_led_broken(seen, text)),
    )


def _broken(seen: Chain, text: str) -> tuple[Spot, ...]:
    """Places inside an area for the text in two lines, broken where they are shortest."""
    lines = two_lines(text, NAME_TEXT)
    return _in_lines(lines, BROKEN, within(seen, text_size(lines, NAME_TEXT))) if lines else ()


def _led_broken(seen: Chain, text: str) -> Iterator[Led]:
    """The same of a long text outside it, at the end of a leader."""
    if text_size((text,), NAME_TEXT)[0] < LONG_MM:
        return
    lines = two_lines(text, NAME_TEXT)
    for each in outside(seen, text_size(lines, NAME_TEXT)) if lines else ():
        yield each.then(partial(_in_lines, lines, BROKEN_OUTSIDE))


def _in_lines(lines: tuple[str, ...], dear: float, spots: Sequence[Spot]) -> tuple[Spot, ...]:
    return tuple(spot._replace(cost=spot.cost + dear, lines=lines) for spot in spots)
