"""What a teaching sheet adds to a plan: numbered sides without wire, and mistakes in a pair."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import shapely

from renderer.drawing.areas import closed, line_parts
from renderer.drawing.boxes import LINE as LINE_KIND
from renderer.drawing.boxes import PEG as PEG_KIND
from renderer.drawing.boxes import SYMBOL, Occupied, disc, pieces
from renderer.drawing.kinds import MOVABLE, LabelKind
from renderer.drawing.labels import Label, Led, Placement, Spot, text_size
from renderer.drawing.pegs import mown_side, pegs
from renderer.drawing.pens import (
    FINE,
    FINE_MM,
    MIDDLE,
    PAIR_APART_MM,
    PAIR_COVER,
    SIDE_TEXT,
    THIN,
    WIRE,
)
from renderer.drawing.plan import fit_plan, ground_points, lettered, lowered, parts, placed
from renderer.drawing.scale import Fit, turned
from renderer.drawing.scene import MARK, PAIR, Part, Scene, joined
from renderer.drawing.scene import SYMBOL as SYMBOL_LAYER
from renderer.drawing.sides import BAND_MM
from renderer.drawing.spots import GAP_MM, beside, beyond
from renderer.drawing.stations import docks, marked, splices
from renderer.drawing.view import View, centred
from renderer.drawing.wire import wire
from renderer.frozen import dataclass
from renderer.geometry.lines import as_points, aside, at_distances, between, chain, length
from renderer.geometry.rects import Rect, clip_chain, clip_ring
from renderer.ground.setting_out import SettingOut
from renderer.ground.sides import foot, numbered_sides
from renderer.primitives import Circle, Line, Primitive, Text
from renderer.units import MM_PER_M

if TYPE_CHECKING:
    from renderer.drawing.plan import PlanDrawing
    from renderer.geometry.lines import Chain, Point
    from renderer.ground.lay import Lay, LoopLay
    from renderer.ground.sides import NumberedSide
    from renderer.language import Words
    from renderer.plan.model import Plan

    Off = tuple[Point, Point, float]  # a point of a line, the way off it, what that costs

# Layers of a plan that give away no part of the answer.
UNLAID = frozenset(
    {"sides", "obstacles", "features", "references", "dimensions", "names", "lawn-names"}
)
CROSS_MM = 3.0  # length of paper over which the wires of a pair change sides
CROSS_LEAST_MM = 1.2  # over less it is not seen
LEAST_LABEL_MM = 4.0
LEAST_SIDE_MM = 0.5  # of a whole side, to be numbered at the end of a leader
SAME_MM = 0.01
OVER_MM = 0.3  # that the number of a side may reach beyond its end
ON_SIDE_MM = 0.05  # of paper, from a side to the wire, below which that shows no direction
ALONE_COST = 1.0  # for the number of a side without its kind
LED_COST = 6.0  # for a number at the end of a leader
INSIDE_COST = 2.0  # for the number of a side on the lawn itself, as where a house is outside
RING_MM = 5.0  # radius of the ring round a mistake
# A setback that a pencil can show; common practice, no published source.
DRAWABLE_MM = 1.4
STILL_DRAWABLE_MM = 1.1  # where that shows an island whole
PLACES = 17  # of the start in a part, from edge to edge, that are tried
KEPT = 0.12  # of the width of a part, between its edge and the start of the wire, at least
FRAME_WEIGHT = 4.0  # what text pays to lie on the frame about a part
COIL_MM = 1.7  # radius of a coil's turns
COIL_OFF_MM = 3.6  # from the wire to the middle of the coil


# The parts of a drawing that a mistake can be in, each drawn by itself.
SWAPS: Mapping[str, Callable[[Scene], Iterable[Part]]] = MappingProxyType(
    {
        "wire": lambda scene: (_on_top(wire(scene)),),
        "pegs": lambda scene: (pegs(scene),),
        "dock": docks,
        "splices": splices,
    }
)


def _on_top(part: Part) -> Part:
    """The wire with its arrows over the pegs: which way it runs may be what is to be found."""
    items = tuple((SYMBOL_LAYER if at == MARK else at, item) for at, item in part.items)
    return replace(part, items=items)


def unlaid(scene: Scene) -> Iterator[Part]:
    """Numbers and kinds of the sides, and each dock square to the side it stands at."""
    sides = numbered_sides(scene.lay.lawns)
    for side in sides:
        for part in clip_chain(scene.view.chain(side.points), scene.view.frame):
            yield Part(labels=tuple(_side_label(scene, side, part)))
    for loop in scene.plan.loops:
        laid = next((found for found in scene.lay.loops if found.name == loop.name), None)
        if laid is not None and loop.dock is not None:
            yield _dock(scene, laid, sides)
        elif loop.generator is not None and scene.view.sees(loop.generator.at):
            text = scene.words["label.generator"].format(mounted="", loop=loop.name).strip()
            at = scene.view.point(loop.generator.at)
            yield marked("generator", f"generator {loop.name}", at, text, kind=LabelKind.GENERATOR)


def drawing_part(
    plan: Plan, lay: Lay, box_mm: tuple[float, float], whole: Fit, known: Sequence[float]
) -> View | None:
    """A part of the garden that fills a box, at the least of the ``known`` scales to draw wire at.

    ``whole`` is how the whole garden is drawn; nothing where the wire can be drawn on that. The
    part holds the start of the first loop, and as many islands as it can; where it can hold none,
    a coarser scale is tried.
    """
    setback = _usual_setback(plan, lay) * MM_PER_M
    scale = max((n for n in known if n <= setback / DRAWABLE_MM), default=min(known))
    if whole.scale <= scale or not lay.loops:
        return None
    coarser = (n for n in known if scale < n < min(whole.scale, setback / STILL_DRAWABLE_MM))
    found = [_best_part(lay, box_mm, Fit(n, whole.rotation_deg)) for n in (scale, *sorted(coarser))]
    return next((view for islands, view in found if islands), found[0][1])


def _best_part(lay: Lay, box_mm: tuple[float, float], fit: Fit) -> tuple[int, View]:
    """The part about the start that shows most at a scale, and how many islands it shows whole."""
    size = np.array(box_mm) * fit.scale / MM_PER_M
    start = turned(chain((lay.loops[0].start,)), fit.rotation_deg)[0]
    shares = np.linspace(KEPT, 1.0 - KEPT, PLACES)
    corners = [start - size * (x, y) for x in shares for y in shares]
    ground = _Turned.of(lay, fit)
    shown = [ground.shown(corner, size) for corner in corners]
    best = max(range(len(corners)), key=lambda number: shown[number])
    middle = turned((corners[best] + size / 2).reshape(1, 2), -fit.rotation_deg)[0]
    frame = Rect(0.0, 0.0, *box_mm)
    at = (float(middle[0]), float(middle[1]))
    return shown[best][0], View(fit.scale, fit.rotation_deg, at, frame.centre, frame)


def _usual_setback(plan: Plan, lay: Lay) -> float:
    """The setback of the kind of side that the lawns have most of, in metres."""
    found: dict[str, float] = defaultdict(float)
    for lawn in lay.lawns:
        for side in lawn.sides:
            found[side.kind] += length(side.points)
    kept = {kind: metres for kind, metres in found.items() if plan.machine.setback[kind] > 0}
    return plan.machine.setback[max(kept, key=lambda kind: kept[kind])] if kept else math.inf


class _Turned(NamedTuple):
    """The extents of all islands' wire, (low, high) each, and the lawns, turned as a fit says."""

    islands: tuple[tuple[Chain, Chain], ...]
    lawns: tuple[shapely.Polygon, ...]

    @classmethod
    def of(cls, lay: Lay, fit: Fit) -> _Turned:
        rings = [
            turned(ring.points, fit.rotation_deg)
            for loop in lay.loops
            for ring in loop.rings
            if ring.kind == "island"
        ]
        outlines = (np.asarray(lawn.outline.exterior.coords) for lawn in lay.lawns)
        return cls(
            tuple((points.min(axis=0), points.max(axis=0)) for points in rings),
            tuple(shapely.Polygon(turned(outline, fit.rotation_deg)) for outline in outlines),
        )

    def shown(self, low: Chain, size: Chain) -> tuple[int, int, float]:
        """How many islands a rectangle shows whole, less those it cuts, and how much lawn."""
        high = low + size
        whole = cut = 0
        for least, most in self.islands:
            is_whole = bool((least >= low).all() and (most <= high).all())
            whole += is_whole
            cut += not is_whole and bool((least < high).all() and (most > low).all())
        window = shapely.box(*low.tolist(), *high.tolist())
        lawn = sum(float(each.intersection(window).area) for each in self.lawns)
        return whole, -cut, round(lawn, 3)


def framed(corners: Chain) -> Callable[[Scene], Iterator[Part]]:
    """What ``unlaid`` adds, and a thin frame about a part of the garden given by its corners.

    The frame closes at the edge of the drawing where the part reaches beyond it.
    """

    def parts_of(scene: Scene) -> Iterator[Part]:
        yield from unlaid(scene)
        ring = clip_ring(scene.view.chain(corners), scene.view.frame.grown(-FINE_MM))
        yield from line_parts(
            scene, closed(ring), FINE, FRAME_WEIGHT, layer=MARK, title="", role="part"
        )

    return parts_of


def _side_label(scene: Scene, side: NumberedSide, part: Chain) -> Iterable[Label]:
    """The number and kind of a side, or its number alone, beside it or at the end of a leader."""
    total, number = length(part), str(side.number)
    whole = scene.view.mm(side.length_m) - total < SAME_MM
    if total < (LEAST_SIDE_MM if whole else LEAST_LABEL_MM):
        return
    text = f"{number} {scene.words[f'short.{side.kind}']}"
    if text_size((text,), SIDE_TEXT)[0] > total:
        text = number  # the table of sides has the kind
    near: tuple[Spot, ...] = ()
    if total >= LEAST_LABEL_MM:
        near = _side_spots(part, text)
        if text != number:
            near += _numbered(_side_spots(part, number), number, ALONE_COST)
    outwards, inwards = _side_places(part, (0.5,))
    led = beyond((*outwards, *inwards), text_size((number,), SIDE_TEXT))
    yield Label(
        side_key(side.number),
        (text,),
        SIDE_TEXT,
        LabelKind.SIDE_NUMBER,
        near,
        listed=False,  # told with the numbers of other sides
        led=tuple(
            Led(
                each.least + LED_COST,
                lambda opens, each=each: _numbered(each.make(opens), number, LED_COST),  # type: ignore[misc]
            )
            for each in led
        ),
    )


def _numbered(spots: Iterable[Spot], number: str, dear: float) -> tuple[Spot, ...]:
    """Places for the number of a side alone, dearer than for its kind too."""
    return tuple(spot._replace(cost=spot.cost + dear, lines=(number,)) for spot in spots)


def side_key(number: int) -> str:
    """The key of the label of a side's number."""
    return f"side number {number}"


def _side_spots(part: Chain, text: str) -> tuple[Spot, ...]:
    """Places for a text beside a side, outside first, none of them beside the next side too."""
    total, size = length(part), text_size((text,), SIDE_TEXT)
    over = max(total, size[0]) + 2 * OVER_MM - size[0]
    shares = [share for share in (0.5, 0.3, 0.7, 0.15, 0.85) if abs(2 * share - 1) * total <= over]
    outwards, inwards = _side_places(part, shares)
    spots = beside(outwards, size, BAND_MM + 0.4, along=True)
    return (*spots, *beside(inwards, size, GAP_MM, along=True))


def _side_places(part: Chain, shares: Sequence[float]) -> tuple[Sequence[Off], Sequence[Off]]:
    """Points of a side at shares of its length, each with the way outwards, or in, and its cost."""
    where, way = at_distances(part, np.array(shares) * length(part))
    outwards = [
        ((x, y), (-v, u), abs(share - 0.5))
        for (x, y), (u, v), share in zip(where.tolist(), way.tolist(), shares, strict=True)
    ]
    return outwards, [(at, (-x, -y), cost + INSIDE_COST) for at, (x, y), cost in outwards]


def unnumbered(lay: Lay, drawn: PlanDrawing, view: View | None = None) -> tuple[int, ...]:
    """The sides whose numbers a drawing has no room for, of those that it shows.

    ``view`` is that of a drawing of a part of the garden; a side that only just reaches into it
    is not looked for there.
    """
    roles = {item.role for item in drawn.drawing.items if isinstance(item, Text)}
    return tuple(
        side.number
        for side in numbered_sides(lay.lawns)
        if f"label {side_key(side.number)}" not in roles
        and (view is None or _reaches_in(view, side))
    )


def _reaches_in(view: View, side: NumberedSide) -> bool:
    parts = clip_chain(view.chain(side.points), view.frame)
    return any(length(part) >= LEAST_LABEL_MM for part in parts)


def _dock(scene: Scene, laid: LoopLay, sides: tuple[NumberedSide, ...]) -> Part:
    """The dock on its side of the lawn, not on the wire, which is for the learner to draw."""
    lawn = next(ring.lawn for ring in laid.rings if ring.kind == "outer")
    square = foot(laid.start, [side for side in sides if side.lawn == lawn])
    at = scene.view.point(square.at)
    start = scene.view.point(laid.start)
    way = (start[0] - at[0], start[1] - at[1])
    span = math.hypot(*way)
    if span > ON_SIDE_MM:
        inwards = (way[0] / span, way[1] / span)
    else:  # the wire lies on the side itself: square to that
        side = scene.view.chain(square.side.points)
        share = square.along_m / square.side.length_m
        _, ahead = at_distances(side, np.array([share * length(side)]))
        inwards = (float(ahead[0, 1]), -float(ahead[0, 0]))
    hand = 1.0 if scene.plan.machine.lay_direction == "anticlockwise" else -1.0
    along = (-hand * inwards[1], hand * inwards[0])
    text = scene.words["label.dock"].format(loop=laid.name)
    turn = math.degrees(math.atan2(-along[1], along[0]))
    return marked(
        "dock", f"dock {laid.name}", at, text, kind=LabelKind.DOCK, way=inwards, turn=turn
    )


def crossed_pair(scene: Scene, points: Chain) -> Part:
    """The two wires of a pair changing sides, where no peg and no arrow stands on them."""
    part = _free_stretch(scene, scene.view.chain(points))
    right, left = aside(part, PAIR_APART_MM / 2), aside(part, -PAIR_APART_MM / 2)
    cover = Line(as_points(part), PAIR_COVER, role="pair")
    strokes = [(right[0], left[-1]), (left[0], right[-1])]
    items = [cover, *(Line(as_points(np.array(ends)), MIDDLE, role="crossed") for ends in strokes)]
    boxes = tuple(Occupied(box, LINE_KIND, 8.0) for box in pieces(part, PAIR_APART_MM))
    return Part(tuple((PAIR, item) for item in items), boxes)


def crossing_at(scene: Scene, points: Chain) -> Point:
    """Where on the paper the wires of a crossed pair change sides."""
    part = _free_stretch(scene, scene.view.chain(points))
    x, y = at_distances(part, np.array([length(part) / 2]))[0][0].tolist()
    return x, y


def _free_stretch(scene: Scene, chain: Chain) -> Chain:
    """As much as a crossing takes of the widest stretch of a pair that no mark stands on.

    One behind the arrows is taken if it is wide enough: there each wire is still on its own side
    where its arrow stands.
    """
    total = length(chain)
    arrows = _covered(chain, wire(scene))
    covered = sorted((*arrows, *_covered(chain, pegs(scene)), (total, total)))
    free, start = [], 0.0
    for low, high in covered:
        if low > start:
            free.append((start, low))
        start = max(start, high)
    behind = max((high for _, high in arrows), default=0.0)
    last = [each for each in free if each[0] >= behind and each[1] - each[0] >= CROSS_LEAST_MM]
    low, high = max(last or free or [(0.0, total)], key=lambda each: round(each[1] - each[0], 3))
    middle, half = (low + high) / 2, min(CROSS_MM, high - low) / 2
    return between(chain, middle - half, middle + half)


def _covered(chain: Chain, part: Part) -> list[tuple[float, float]]:
    """From where to where, along a line, the pegs or arrows of a part stand on it."""
    line = shapely.linestrings(chain)
    spans = []
    for each in part.obstacles:
        half = max(each.box.hw, each.box.hh)
        at = shapely.Point(each.box.x, each.box.y)
        if each.kind == PEG_KIND and line.distance(at) < half:
            middle = float(line.project(at))
            spans.append((middle - half, middle + half))
    return spans


def coil(scene: Scene, loop: LoopLay, at_m: float) -> Part:
    """Wire left over, wound up beside the wire on the mown side."""
    normal = mown_side(scene, loop, np.array([at_m]))[0]
    run = scene.view.mm(at_m - loop.tail_m)
    where, way = at_distances(scene.view.chain(loop.path), np.array([run]))
    middle = where[0] + COIL_OFF_MM * normal
    turns: list[Primitive] = [
        Circle((round(x, 3), round(y, 3)), COIL_MM, THIN, role="coil")
        for x, y in (middle + off * way[0] for off in (-0.8, 0.0, 0.8))
    ]
    foot_of = where[0] + (COIL_OFF_MM - COIL_MM) * normal
    lines = [
        Line(
            as_points(np.array((where[0] + off * way[0], foot_of + off * way[0]))),
            WIRE,
            role="coil",
        )
        for off in (-0.8, 0.8)
    ]
    room = Occupied(disc((float(middle[0]), float(middle[1])), COIL_MM + 1.2), SYMBOL)
    items = (*((MARK, line) for line in lines), *((SYMBOL_LAYER, turn) for turn in turns))
    return Part(items, (room,))


def ring_round(scene: Scene, place: Point) -> Part:
    """A ring on paper round a place on the ground, which it leaves to be seen."""
    return ring_at(scene.view.point(place))


def ring_at(at: Point) -> Part:
    """A ring round a place on the paper."""
    x, y = at
    ring = Circle((round(x, 3), round(y, 3)), RING_MM, MIDDLE, role="mistake")
    return Part(((SYMBOL_LAYER, ring),))


@dataclass(frozen=True, slots=True, eq=False)
class Lesson:
    """A garden drawn once for all of its plates: what no mistake changes, and the parts it may.

    ``own`` are the parts by the keys of ``SWAPS`` as they are in the garden itself.
    """

    scene: Scene
    labels: Placement
    kept: Part
    own: Mapping[str, tuple[Part, ...]]

    def drawing(
        self,
        swapped: Mapping[str, tuple[Plan, Lay]],
        extra: Callable[[Scene], Iterable[Part]] | None = None,
    ) -> PlanDrawing:
        """The whole plan, some of its parts (keys of ``SWAPS``) drawn as another lay has them.

        Scale, view and the places of all labels are those of the plan itself, and what a mistake
        can move has no label, so that nothing but the mistake itself gives it away.
        """
        drawn: list[Part] = []
        for key, own in self.own.items():
            other = swapped.get(key)
            drawn += SWAPS[key](replace(self.scene, plan=other[0], lay=other[1])) if other else own
        drawn += extra(self.scene) if extra else ()
        return lettered(self.scene, self.labels, joined((self.kept, *drawn)))


def lesson(
    plan: Plan,
    lay: Lay,
    *,
    box_mm: tuple[float, float],
    inch_paper: bool,
    words: Words,
    show: frozenset[str],
    setting: SettingOut | None = None,
    others: Iterable[tuple[Plan, Lay]] = (),
    coils: Iterable[tuple[LoopLay, float]] = (),
    scales: Sequence[float] | None = None,
) -> Lesson:
    """The garden as all of its plates show it, in a box, at one of the ``scales`` 1:N.

    ``others`` are what is laid on plates with a mistake, so that no name stands on their wire, and
    ``coils`` where wire is coiled up, by loop and running distance.
    Raises ``DrawError`` where no scale fits the box.
    """
    points = ground_points(plan, lay)
    fit = fit_plan(plan, lay, box_mm, inch_paper=inch_paper, scales=scales)
    view = lowered(centred(points, fit, Rect(0.0, 0.0, *box_mm)), points, box_mm)
    scene = Scene(plan, lay, (), view, words, setting or SettingOut(plan, lay), show)
    whole = joined(parts(scene))
    labels = tuple(each for each in whole.labels if each.kind not in MOVABLE)
    laid = [wire(replace(scene, plan=other, lay=theirs)) for other, theirs in others]
    wires = (*whole.wires, *(line for each in laid for line in each.wires))
    whole = joined((whole, *(coil(scene, *each) for each in coils)))
    return Lesson(
        scene,
        placed(scene, replace(whole, labels=labels, wires=wires)),
        joined(parts(replace(scene, show=show - frozenset(SWAPS)))),
        {key: tuple(draw(scene)) for key, draw in SWAPS.items() if key in show},
    )
