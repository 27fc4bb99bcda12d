"""Single places on the plan: dock, generator, supply, splices, reference points, findings."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from renderer.drawing.boxes import CLEAR_MM, LINE, SYMBOL, Box, Occupied, disc, pieces
from renderer.drawing.kinds import LabelKind
from renderer.drawing.labels import LEADER_DOT_MM, Label, Led, Opens, Spot, text_size
from renderer.drawing.pegs import mown_side
from renderer.drawing.pens import MARK_TEXT, MIDDLE, NAME_TEXT, SIDE_TEXT, SUPPLY, WHITE, Lettering
from renderer.drawing.scene import MARK, Part, Scene
from renderer.drawing.scene import SYMBOL as SYMBOL_LAYER
from renderer.drawing.spots import about, led_about
from renderer.drawing.symbols import SYMBOLS, named, six_sided
from renderer.geometry.lines import as_points, at_distances
from renderer.geometry.rects import clip_chain
from renderer.primitives import BLACK, Circle, Line, Primitive

if TYPE_CHECKING:
    from renderer.geometry.lines import Chain, Point
    from renderer.ground.lay import LoopLay

TURNS = (0, *(turn * side for turn in range(20, 161, 20) for side in (1, -1)), 180)
AROUND = tuple((turn, abs(turn) / 225) for turn in TURNS)
FAR = (2.0, 5.0, 9.0, 14.0, 20.0, 27.0)
BESIDE_MM = 2.0
CORNER_M = 0.05
FLAG_TIP_MM = 2.0
# The leader of a flag ends at its place, or at the edge of a symbol that stands there.
FLAG_REACH_MM = (0.2, 1.6, 3.4, 4.6)


def marked(
    name: str,
    key: str,
    at: Point,
    text: str,
    *,
    kind: LabelKind,
    way: Point = (1.0, 0.0),
    turn: float = 0.0,
    id: str = "",
    title: str = "",
    lettering: Lettering = MARK_TEXT,
) -> Part:
    """A symbol with its name beside it."""
    symbol = SYMBOLS[name]
    at = (round(at[0], 3), round(at[1], 3))
    marks = symbol.at(at, turn)
    if id:
        marks = named(marks, id, title)
    labels: tuple[Label, ...] = ()
    if text:
        size = text_size((text,), lettering)
        spots, led = about(symbol.room(at), size, way, swing=AROUND, far=FAR)
        if kind is LabelKind.PIN:  # out of the room of a symbol that stands beside it, too
            own = symbol.room(at)
            beside = own.grown(BESIDE_MM)
            led = (*led, *led_about(beside, size, way, swing=AROUND, far=FAR, on_to=own))
        labels = (Label(key, (text,), lettering, kind, spots, led=led),)
    return Part(
        tuple((SYMBOL_LAYER, mark) for mark in marks),
        (Occupied(symbol.room(at), SYMBOL),),
        labels,
        frozenset({name}),
    )


def splices(scene: Scene) -> Iterable[Part]:
    """Each splice with its number, on the wire."""
    for loop in scene.lay.loops:
        for splice in loop.splices:
            if scene.view.sees((splice.x, splice.y)):
                normal = mown_side(scene, loop, np.array([splice.at_m]))[0]
                yield marked(
                    "splice",
                    f"splice {splice.id}",
                    scene.view.point((splice.x, splice.y)),
                    splice.id,
                    kind=LabelKind.SPLICE,
                    way=(float(normal[0]), float(normal[1])),
                    turn=math.degrees(math.atan2(-float(normal[1]), float(normal[0]))) - 90.0,
                    id=f"splice-{splice.id}",
                    title=scene.words["title.splice"].format(id=splice.id),
                )


def docks(scene: Scene) -> Iterable[Part]:
    """The dock of each loop on its wire, or its generator where that stands."""
    for loop in scene.plan.loops:
        laid = next((found for found in scene.lay.loops if found.name == loop.name), None)
        if laid is None:
            continue
        if loop.generator is not None:
            if scene.view.sees(loop.generator.at):
                text = scene.words["label.generator"].format(
                    mounted=loop.generator.mounted, loop=loop.name
                )
                yield marked(
                    "generator",
                    f"generator {loop.name}",
                    scene.view.point(loop.generator.at),
                    text.strip(),
                    kind=LabelKind.GENERATOR,
                )
        elif scene.view.sees(laid.start):
            yield _dock(scene, laid)


def _dock(scene: Scene, loop: LoopLay) -> Part:
    """A plate along the wire at its start; its two long sides keep labels off."""
    at = scene.view.point(loop.start)
    _, way = at_distances(scene.view.chain(loop.path), np.array([0.5]))
    dx, dy = float(way[0, 0]), float(way[0, 1])
    normal = mown_side(scene, loop, np.array([loop.tail_m]))[0]
    part = marked(
        "dock",
        f"dock {loop.name}",
        at,
        scene.words["label.dock"].format(loop=loop.name),
        kind=LabelKind.DOCK,
        way=(-float(normal[0]), -float(normal[1])),
        turn=math.degrees(math.atan2(-dy, dx)),
    )
    plate = Occupied(Box(at[0], at[1], 3.5, 2.3, dx, dy), SYMBOL)
    return Part(part.items, (plate,), part.labels, part.used)


def supplies(scene: Scene) -> Iterable[Part]:
    """The supply of each loop and the lead from it to the dock or generator."""
    for loop in scene.plan.loops:
        run = scene.setting.supply_runs.get(loop.name)
        if loop.supply is None or run is None:
            continue
        yield _supply_lead(scene, run.points)
        if scene.view.sees(loop.supply.at):
            text = scene.words["label.supply"].format(loop=loop.name)
            at = scene.view.point(loop.supply.at)
            away = scene.view.point((float(run.points[1, 0]), float(run.points[1, 1])))
            way = (at[0] - away[0], at[1] - away[1])
            span = math.hypot(*way) or 1.0
            yield marked(
                "supply",
                f"supply {loop.name}",
                at,
                text,
                way=(way[0] / span, way[1] / span),
                lettering=NAME_TEXT,
                kind=LabelKind.SUPPLY,
            )


def _supply_lead(scene: Scene, run: Chain) -> Part:
    items: list[tuple[int, Primitive]] = []
    obstacles: list[Occupied] = []
    for part in clip_chain(scene.view.chain(run), scene.view.frame):
        items.append((MARK, Line(as_points(part), SUPPLY, role="supply")))
        obstacles.extend(Occupied(box, LINE, 3.0) for box in pieces(part, 0.5))
    return Part(tuple(items), tuple(obstacles), (), frozenset({"supply-lead"} if items else ()))


def references(scene: Scene) -> Iterable[Part]:
    """Points that can be found again on the ground, with their letter.

    ``survey-points`` leaves those of the plan's own survey: whoever measures anew letters the rest.
    """
    given = {point.name for point in scene.plan.survey.points}
    for name, at in reference_points(scene):
        if "survey-points" in scene.show and name not in given:
            continue
        if scene.view.sees(at):
            way = _outwards(scene, at)
            yield marked(
                "reference",
                f"reference {name}",
                scene.view.point(at),
                name,
                way=way,
                kind=LabelKind.REFERENCE,
            )


def _outwards(scene: Scene, at: Point) -> Point:
    """The unit direction on paper away from the ground at a corner; upwards elsewhere."""
    for lawn in scene.lay.lawns:
        for before, side in zip((lawn.sides[-1], *lawn.sides[:-1]), lawn.sides, strict=True):
            if math.dist(side.points[0], at) > CORNER_M:
                continue
            last, corner, following = scene.view.chain(
                np.array((before.points[-2], side.points[0], side.points[1]))
            )
            return _away(corner - last, following - corner)
    return 0.0, -1.0


def _away(arriving: Chain, leaving: Chain) -> Point:
    """The middle of the outside of a corner; the outside is to the right of both directions."""
    a, b = arriving / np.hypot(*arriving), leaving / np.hypot(*leaving)
    x, y = -a[1] - b[1], a[0] + b[0]
    span = math.hypot(x, y)
    return (float(x / span), float(y / span)) if span > 1e-6 else (float(a[0]), float(a[1]))


def reference_points(scene: Scene) -> tuple[tuple[str, tuple[float, float]], ...]:
    """Names and places of the points to tape from."""
    chosen = scene.setting.references
    return tuple((point.name, (float(point.at[0]), float(point.at[1]))) for point in chosen)


def findings(scene: Scene) -> Iterable[Part]:
    """A flag led to the place of each finding that is more than a note, numbered as in the list."""
    for number, finding in enumerate(scene.findings, 1):
        if finding.at is not None and finding.level != "note" and scene.view.sees(finding.at):
            text = scene.words["label.finding"].format(number=number)
            at = scene.view.point(finding.at)
            label = _flag(f"finding {number}", text, (round(at[0], 3), round(at[1], 3)))
            yield Part(labels=(label,), used=frozenset({"finding"}))


def _flag(key: str, text: str, at: Point) -> Label:
    """A text in a six-sided frame with a leader to the place that it refers to."""
    wide, high = text_size((text,), SIDE_TEXT)
    size = (wide + 2 * FLAG_TIP_MM, high + 0.8)
    led = tuple(
        Led(each.least + radius, partial(_flags, each, at, radius))
        for radius in FLAG_REACH_MM
        for each in led_about(disc(at, radius), size, (0.7071, -0.7071), swing=AROUND, far=FAR)
    )
    return Label(key, (text,), SIDE_TEXT, LabelKind.FINDING, (), badge=True, led=led, frame=_frame)


def _flags(led: Led, at: Point, radius: float, opens: Opens) -> tuple[Spot, ...]:
    """The places, with a dot where the leader ends at its place."""
    if radius != FLAG_REACH_MM[0]:
        return tuple(spot._replace(cost=spot.cost + radius) for spot in led.make(opens))
    dot = (Circle(at, LEADER_DOT_MM, None, BLACK, role="finding"),)
    room = (disc(at, LEADER_DOT_MM + CLEAR_MM),)
    return tuple(
        Spot(spot.cost + radius, spot.box, (*spot.strokes, *room), dot, (), spot.leader)
        for spot in led.make(opens)
    )


def _frame(box: Box) -> Line:
    return Line(six_sided(box), MIDDLE, closed=True, fill=WHITE, role="finding")


def pins(scene: Scene) -> Iterable[Part]:
    """The places that the sheet wants marked, each with its text."""
    for number, pin in enumerate(scene.pins):
        if scene.view.sees(pin.at):
            at = scene.view.point(pin.at)
            yield marked(
                pin.symbol, f"pin {number}", at, pin.text, lettering=SIDE_TEXT, kind=LabelKind.PIN
            )
