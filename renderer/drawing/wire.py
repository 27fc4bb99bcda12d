"""The wire on paper: its true path, lead pairs opened so that both wires show, direction arrows."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np

from renderer.drawing.board import WIRE_WEIGHT
from renderer.drawing.boxes import LINE, PEG, Occupied, pieces
from renderer.drawing.kinds import LabelKind
from renderer.drawing.labels import Label, Spot, text_size, two_lines
from renderer.drawing.measures import length_text
from renderer.drawing.pens import NAME_TEXT, PAIR_APART_MM, PAIR_CORE, PAIR_PEN, WIDE_MM, WIRE
from renderer.drawing.scene import MARK, PAIR, Part, Scene, slug
from renderer.drawing.scene import WIRE as WIRE_LAYER
from renderer.drawing.spots import beside
from renderer.drawing.symbols import SYMBOLS
from renderer.geometry.lines import as_points, at_distances, length
from renderer.geometry.rects import clip_chain
from renderer.ground.whereabouts import meeting
from renderer.primitives import Line, Primitive

if TYPE_CHECKING:
    from renderer.geometry.lines import Chain, Point
    from renderer.geometry.rects import Rect
    from renderer.ground.lay import Lead, Leg, LoopLay
    from renderer.ground.whereabouts import LoopPlaces

ARROW_PITCH_MM = 40.0
LARGE_MM = 12.0  # of a leg, below which a large arrow would hide what the wire goes round
OVER_ARROW = 8.0  # what a leader pays to pass over one
NEAR_MM = 3.0  # things this near to the frame are looked at, at least half the width of a pair


def wire(scene: Scene) -> Part:
    """The wire of each loop with its lead pairs and arrows."""
    items: list[tuple[int, Primitive]] = []
    obstacles: list[Occupied] = []
    labels: list[Label] = []
    used: set[str] = set()
    drawn: list[Chain] = []
    window = scene.view.window(NEAR_MM)
    for places in scene.places.loops:
        loop = places.loop
        seen = _seen(scene, places.near(window))
        items.extend((WIRE_LAYER, line) for line in _path(scene, loop, seen))
        drawn.extend(seen)
        for part in seen:
            obstacles.extend(Occupied(b, LINE, WIRE_WEIGHT) for b in pieces(part, WIDE_MM))
            used.add("wire")
        for number in meeting(places.leads, window):
            lead = loop.leads[number]
            pair = _pair(scene, lead)
            items.extend((PAIR, line) for line in pair)
            used.update({lead.kind} if pair else ())
            labels.extend(_pair_label(scene, loop, lead))
        if "arrows" in scene.show:
            for at, turn, name in _arrows(scene, places, window):
                symbol = SYMBOLS[name]
                items.extend((MARK, item) for item in symbol.at(at, turn))
                obstacles.append(Occupied(symbol.room(at), PEG, OVER_ARROW))
                used.add("arrow")
    return Part(tuple(items), tuple(obstacles), tuple(labels), frozenset(used), wires=tuple(drawn))


def _seen(scene: Scene, near: Iterable[Chain]) -> list[Chain]:
    """The pieces of the wire in the frame; one that comes back where it went out goes on."""
    found: list[Chain] = []
    for each in near:
        for part in clip_chain(scene.view.chain(each), scene.view.frame):
            if found and (found[-1][-1] == part[0]).all():
                found[-1] = np.concatenate((found[-1], part[1:]))
            else:
                found.append(part)
    return found


def _path(scene: Scene, loop: LoopLay, parts: Sequence[Chain]) -> Iterator[Line]:
    """The true path as one line with the loop's id, or the pieces of it inside the frame."""
    whole = len(parts) == 1 and len(parts[0]) == len(loop.path)
    id = f"wire-{slug(loop.name)}" if whole else None
    title = scene.words["title.wire"].format(loop=loop.name)
    for part in parts:
        yield Line(as_points(part), WIRE, id=id, title=title, role="wire")


def _pair(scene: Scene, lead: Lead) -> list[Line]:
    """The pair as two thin lines; the white between them also opens the rings at both ends."""
    points = scene.view.chain(lead.points)
    lines = []
    for pen, over in ((PAIR_PEN, 0.0), (PAIR_CORE, WIDE_MM / 2 + 0.05)):
        for part in clip_chain(_longer(points, over), scene.view.frame):
            lines.append(Line(as_points(part), pen, role="pair"))
    return lines


def _longer(points: Chain, by: float) -> Chain:
    """The chain drawn out beyond both ends."""
    if by == 0 or len(points) < 2:
        return points
    first, last = points[0] - points[1], points[-1] - points[-2]
    head = points[0] + by * first / max(float(np.hypot(*first)), 1e-9)
    tail = points[-1] + by * last / max(float(np.hypot(*last)), 1e-9)
    return np.concatenate((head[None], points, tail[None]))


def _pair_label(scene: Scene, loop: LoopLay, lead: Lead) -> Iterable[Label]:
    if "names" not in scene.show:
        return
    kind = lead.kind if lead.under else "lead"  # a crossing of nothing that has a name
    text = scene.words[f"label.{kind}"].format(
        length=length_text(lead.length_m, scene.units, scene.words), under=lead.under
    )
    size = text_size((text,), NAME_TEXT)
    places = []
    for part in clip_chain(scene.view.chain(lead.points), scene.view.frame):
        total = length(part)
        if total < 4.0:
            continue
        for share in (0.5, 0.35, 0.65, 0.2, 0.8):
            at, way = at_distances(part, np.array([share * total]))
            for side in (1, -1):
                normal = (side * -float(way[0, 1]), side * float(way[0, 0]))
                places.append(((float(at[0, 0]), float(at[0, 1])), normal, abs(share - 0.5)))
    if places:
        spots = beside(places, size, PAIR_PEN.width_mm / 2)
        if lead.kind == "crossing":
            spots += tuple(_along(places, text))
        yield Label(
            f"{lead.kind} {loop.name} {lead.id}",
            (text,),
            NAME_TEXT,
            LabelKind.PAIR,
            spots,
            listed=False,
        )


def _along(places: Sequence[tuple[Point, Point, float]], text: str) -> Iterator[Spot]:
    """Places for a long text along its pair, in one line or in two."""
    off = PAIR_PEN.width_mm / 2 + 0.5
    yield from beside(places, text_size((text,), NAME_TEXT), off, along=True)
    lines = two_lines(text, NAME_TEXT)
    for spot in beside(places, text_size(lines, NAME_TEXT), off, along=True) if lines else ():
        yield spot._replace(cost=spot.cost + 0.5, lines=lines)


def _arrows(scene: Scene, places: LoopPlaces, window: Rect) -> Iterator[tuple[Point, float, str]]:
    """Places, turns and symbols of the direction arrows, clear of the pegs.

    Only legs that the window on the ground meets are looked at.
    """
    view, loop, pegs = scene.view, places.loop, _kept_clear_of(scene, places)
    large = "large-arrows" in scene.show
    marks = [
        (_between(wanted, _on(leg, pegs)), _symbol(leg, view.mm(1.0), large=large))
        for leg in (loop.legs[number] for number in meeting(places.legs, window))
        for wanted in _wanted(leg, view.mm(1.0))
    ]
    if not marks:
        return
    at_m = np.array([at for at, _ in marks])
    first, last = places.stretch(at_m, 0.0)
    points = view.chain(loop.path[first : last + 1])
    where, way = at_distances(points, view.mm_per_m * (at_m - loop.at_m[first]))
    # Each wire of a pair that is drawn apart has the mown side on its own hand.
    hand = 1.0 if scene.plan.machine.lay_direction == "anticlockwise" else -1.0
    for (x, y), (dx, dy), (_, name) in zip(where.tolist(), way.tolist(), marks, strict=True):
        off = hand * PAIR_APART_MM / 2 if name == "arrow.small" else 0.0
        at = (round(x + off * dy, 3), round(y - off * dx, 3))
        if view.frame.holds(at):
            yield at, math.degrees(math.atan2(-dy, dx)), name


def _kept_clear_of(scene: Scene, places: LoopPlaces) -> Chain:
    """Running distances of the pegs that large arrows keep clear of, in the order of the wire.

    Where control pegs alone are shown a large arrow is longer than the gaps between all pegs.
    """
    if not {"control-only", "large-arrows"} <= scene.show:
        return places.passed_at_m
    controls = [peg for peg in places.loop.pegs if peg.control]
    passed = (at for peg in controls for at in (peg.at_m, peg.also_at_m) if at is not None)
    return np.array(sorted(passed))


def _symbol(leg: Leg, mm_per_m: float, *, large: bool) -> str:
    """The arrow on a leg: the two of a pair stand side by side, a large one wants a long leg."""
    if leg.kind in ("lead", "crossing"):
        return "arrow.small"
    return "arrow.large" if large and leg.length_m * mm_per_m >= LARGE_MM else "arrow"


def _wanted(leg: Leg, mm_per_m: float) -> list[float]:
    """Where arrows are wanted on a leg; the two of a pair stand apart."""
    if leg.kind == "tail" or leg.length_m * mm_per_m < 5.0:
        return []
    if leg.kind in ("lead", "crossing"):
        return [leg.from_m + leg.length_m * 0.35]
    count = max(1, round(leg.length_m * mm_per_m / ARROW_PITCH_MM))
    step = leg.length_m / count
    return [leg.from_m + (i + 0.5) * step for i in range(count)]


def _on(leg: Leg, pegs: Chain) -> Chain:
    """The running distances that lie on a leg, so that its arrow does not stray to another."""
    on: Chain = pegs[(pegs >= leg.from_m - 1e-6) & (pegs <= leg.to_m + 1e-6)]
    return on


def _between(at_m: float, pegs: Chain) -> float:
    """The middle of the widest of the five gaps between pegs about a running distance."""
    after = int(np.searchsorted(pegs, at_m))
    first, last = max(0, after - 3), min(len(pegs), after + 3)
    near = pegs[first:last]
    if len(near) < 2:
        return at_m
    gaps = np.diff(near)
    off = np.abs(near[:-1] + gaps / 2 - at_m)
    widest = np.flatnonzero(gaps > gaps.max() - 0.02)
    best = widest[np.argmin(off[widest])]
    return float(near[best] + gaps[best] / 2)
