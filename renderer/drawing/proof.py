"""The proof picture: what is mown, kept out, or left for hand trimming, and why it is so.

The walk of the whole wire goes once round each place that is mown and not at all round
each place that is kept out: its winding number is one there, with the sign of the lay
direction, and nothing elsewhere. Both are computed from the laid path and printed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from shapely import Point, Polygon

from renderer.checks.winding import Winding, places_in
from renderer.drawing.areas import ring_of
from renderer.drawing.fills import fill
from renderer.drawing.kinds import LabelKind
from renderer.drawing.labels import Label, Spot, text_size
from renderer.drawing.pens import MARK_TEXT, MIDDLE, TRIM_GREY, WHITE
from renderer.drawing.plan import PlanDrawing, fit_plan, ground_points, lowered, view_drawing
from renderer.drawing.scene import FILL, PATTERN, Part, Scene
from renderer.drawing.spots import box_at, outside, within
from renderer.drawing.view import centred
from renderer.frozen import dataclass
from renderer.geometry.lines import as_points
from renderer.geometry.rects import Rect
from renderer.ground.setting_out import SettingOut
from renderer.primitives import Area, Line

if TYPE_CHECKING:
    from shapely import MultiPolygon

    from renderer.geometry.lines import Chain
    from renderer.ground.lay import Lay, LoopLay
    from renderer.language import Words
    from renderer.plan.model import Plan


@dataclass(frozen=True, slots=True)
class Verdict:
    """What the winding number says of one loop.

    ``mown`` are the numbers found on mown ground, ``kept_out`` those in islands and
    outside; ``right`` says that they are what they have to be; ``tested`` counts places.
    """

    loop: str
    expected: int
    mown: tuple[int, ...]
    kept_out: tuple[int, ...]
    tested: int

    @property
    def right(self) -> bool:
        return set(self.mown) == {self.expected} and set(self.kept_out) <= {0}


@dataclass(frozen=True, slots=True)
class Proof:
    """The picture, its legend keys, and the verdict of each loop in words."""

    plan: PlanDrawing
    verdicts: tuple[Verdict, ...]
    texts: tuple[str, ...]


def proof(
    plan: Plan,
    lay: Lay,
    *,
    box_mm: tuple[float, float],
    inch_paper: bool,
    words: Words,
    turn: float | None = None,
    setting: SettingOut | None = None,
) -> Proof:
    """The proof picture of the whole plan at the largest scale that fits the box.

    ``turn`` in degrees is used if the scale suffers little; ``setting`` is as for ``plan_drawing``.
    """
    points = ground_points(plan, lay)
    fit = fit_plan(plan, lay, box_mm, inch_paper=inch_paper, turn=turn)
    view = lowered(centred(points, fit, Rect(0.0, 0.0, *box_mm)), points, box_mm)
    show = frozenset({"wire", "arrows"})
    scene = Scene(plan, lay, (), view, words, setting or SettingOut(plan, lay), show)
    made = view_drawing(scene, _parts(scene))
    verdicts = tuple(verdict(plan, loop) for loop in lay.loops)
    texts = tuple(_text(found, words) for found in verdicts)
    drawing = replace(made.drawing, title=words["title.proof"], description=" ".join(texts))
    return Proof(replace(made, drawing=drawing), verdicts, texts)


def _text(found: Verdict, words: Words) -> str:
    key = "proof.right" if found.right else "proof.wrong"
    return words[key].format(
        loop=found.loop,
        mown=", ".join(f"{n:+d}" for n in sorted(set(found.mown))),
        out=", ".join(f"{n:+d}" if n else "0" for n in sorted(set(found.kept_out))),
        count=found.tested,
    )


def verdict(plan: Plan, loop: LoopLay) -> Verdict:
    """The winding numbers of a loop at places of its mown and of its kept-out ground."""
    winding = Winding(loop.path)
    mown = np.concatenate([places_in(part) for part in loop.working.geoms])
    x0, y0, _, _ = loop.working.bounds
    islands = [places_in(Polygon(ring.points)) for ring in loop.rings if ring.kind == "island"]
    out = np.concatenate((np.array([[x0 - 1.0, y0 - 1.0]]), *islands))
    mown, out = winding.clear(mown), winding.clear(out)
    return Verdict(
        loop.name,
        1 if plan.machine.lay_direction == "anticlockwise" else -1,
        tuple(winding.numbers(mown).tolist()),
        tuple(winding.numbers(out).tolist()),
        len(mown) + len(out),
    )


def _parts(scene: Scene) -> Iterator[Part]:
    """Shades and numbers; outline and wire come with the plan drawing."""
    for lawn in scene.lay.lawns:
        yield from _trim(scene, lawn.trim)
    for loop in scene.lay.loops:
        for part in loop.working.geoms:
            yield _mown(scene, part)
        yield Part(labels=tuple(_numbers(scene, loop)))
    for thing in scene.plan.obstacles:
        ring = ring_of(scene, thing.circle, thing.polygon)
        if len(ring):
            yield _out(ring)


def _rings(scene: Scene, part: Polygon) -> list[Chain]:
    lines = (part.exterior, *part.interiors)
    return [scene.view.chain(np.asarray(line.coords))[:-1] for line in lines]


def _mown(scene: Scene, part: Polygon) -> Part:
    lines, under = fill("mown", _rings(scene, part))
    return Part(tuple((PATTERN, line) for line in lines), under, (), frozenset({"proof.mown"}))


def _trim(scene: Scene, strip: MultiPolygon) -> Iterator[Part]:
    """The strip that is left for hand trimming, solid grey so that a narrow one still shows."""
    for part in strip.geoms:
        rings = tuple(as_points(ring) for ring in _rings(scene, part))
        yield Part(
            ((FILL, Area(rings, None, TRIM_GREY, role="trim")),), (), (), frozenset({"proof.trim"})
        )


def _out(ring: Chain) -> Part:
    """A kept-out thing, on white paper."""
    lines, under = fill("out", [ring])
    edge = Line(as_points(ring), MIDDLE, closed=True, fill=WHITE, role="out")
    items = ((FILL, edge), *((PATTERN, line) for line in lines))
    return Part(items, under, (), frozenset({"proof.out"}))


def _numbers(scene: Scene, loop: LoopLay) -> Iterator[Label]:
    """The winding number in each mown area and in each island."""
    winding = Winding(loop.path)
    for i, part in enumerate(loop.working.geoms):
        yield _number(scene, winding, f"mown {loop.name} {i}", part)
    for ring in loop.rings:
        if ring.kind == "island":
            yield _number(scene, winding, f"island {loop.name} {ring.id}", Polygon(ring.points))


def _number(scene: Scene, winding: Winding, key: str, part: Polygon) -> Label:
    at = part.representative_point().coords[0]
    number = int(winding.numbers(np.array([at]))[0])
    text = f"{number:+d}" if number else "0"
    size = text_size((text,), MARK_TEXT)
    x, y = scene.view.point(at)
    ring, *holes = _rings(scene, part)
    shape = Polygon(ring, holes)
    roomy = (spot for spot in within(ring, size) if shape.contains(Point(spot.box.x, spot.box.y)))
    spots, led = (Spot(0.0, box_at((x, y), size)), *roomy), outside(ring, size, dot=(x, y))
    return Label(key, (text,), MARK_TEXT, LabelKind.VERDICT, spots, listed=False, led=led)
