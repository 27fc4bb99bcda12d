"""The dock seen from above: the straight run before and behind, the two ends of the wire."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from renderer.drawing.boxes import SYMBOL, Occupied, disc, segment
from renderer.drawing.dimensions import dimension_spot
from renderer.drawing.kinds import LabelKind
from renderer.drawing.labels import Label, text_size
from renderer.drawing.measures import length_text
from renderer.drawing.pegs import mown_side
from renderer.drawing.pens import MIDDLE, SIDE_TEXT, VALUE_TEXT, WHITE, WIRE
from renderer.drawing.scene import MARK, Part, Scene, joined
from renderer.drawing.scene import SYMBOL as SYMBOL_LAYER
from renderer.drawing.spots import about
from renderer.drawing.symbols import SYMBOLS
from renderer.geometry.lines import at_distances, between, length
from renderer.primitives import Circle, Line

if TYPE_CHECKING:
    from renderer.geometry.lines import Chain, Point
    from renderer.ground.lay import LoopLay
    from renderer.plan.model import Plan

BEYOND_M = 0.2
AROUND_M = 0.8  # of wire to each side of a generator's start
TAIL_MM = 9.0
TAIL_APART_MM = 2.6
AROUND = tuple((turn, 0.2 * rank) for rank, turn in enumerate((0, 45, -45, 90, -90, 135, -135)))


def _ends(plan: Plan, loop: LoopLay) -> tuple[Chain, Chain]:
    """The wire behind the dock and before it, each from the start outwards, in metres.

    Behind is the end of the walk, before its beginning.
    """
    rules = plan.machine.dock
    total = length(loop.path)
    ahead = min(rules.straight_after, total / 3)
    behind = min(rules.straight_before, total / 3)
    return between(loop.path[::-1], 0.0, behind), between(loop.path, 0.0, ahead)


def has_dock(plan: Plan, loop: LoopLay) -> bool:
    """Whether a loop starts at a dock, which asks for straight wire, or at a generator."""
    return any(own.dock is not None for own in plan.loops if own.name == loop.name)


def dock_stretch(plan: Plan, loop: LoopLay, *, supplied: bool) -> Chain:
    """The ground that a dock's plate shows: the straight run, something more, maybe the supply."""
    rules = plan.machine.dock
    own = next(own for own in plan.loops if own.name == loop.name)
    runs = (rules.straight_before, rules.straight_after) if own.dock else (AROUND_M, AROUND_M)
    half = length(loop.path) / 2
    points = [
        between(path, 0.0, min(run + BEYOND_M, half))
        for path, run in zip((loop.path[::-1], loop.path), runs, strict=True)
    ]
    if own.generator is not None:
        points.append(np.array([own.generator.at]))
    supply = own.supply
    if supplied and supply is not None and np.hypot(*(np.array(supply.at) - loop.path[0])) < 3.0:
        points.append(np.array([supply.at]))
    return np.concatenate(points)


def dock_part(scene: Scene, loop: LoopLay) -> Part:
    """The straight run with its dimensions, and both ends of the wire with their names."""
    normal = mown_side(scene, loop, np.array([loop.tail_m]))[0]
    runs = _runs(scene, loop, normal) if has_dock(scene.plan, loop) else ()
    return joined((*runs, *_tails(scene, loop, normal)))


def _runs(scene: Scene, loop: LoopLay, normal: Chain) -> Iterator[Part]:
    """A dimension of each straight run, on the mown side."""
    for key, run in zip(("behind", "before"), _ends(scene.plan, loop), strict=True):
        ends = scene.view.chain(run[[0, -1]])
        span = length(ends)
        if span < 8.0:
            continue
        text = scene.words["label.straight"].format(
            length=length_text(length(run), scene.units, scene.words)
        )
        size = text_size((text,), VALUE_TEXT)
        a, b = ((float(x), float(y)) for x, y in ends)
        right = np.array((-(b[1] - a[1]), b[0] - a[0]))
        side = 1.0 if float(right @ normal) > 0 else -1.0
        spots = tuple(
            dimension_spot(a, b, side * offset, 0.5, size, offset / 10)
            for offset in (8.0, 11.0, 13.5)
        )
        yield Part(
            labels=(
                Label(
                    f"run {key}", (text,), VALUE_TEXT, LabelKind.STRAIGHT_RUN, spots, listed=False
                ),
            )
        )


def _tails(scene: Scene, loop: LoopLay, normal: Chain) -> Iterator[Part]:
    """The two ends of the wire led out of the lawn to the terminals, first and last."""
    start = scene.view.chain(loop.path[:1])[0]
    _, way = at_distances(scene.view.chain(loop.path), np.array([0.2]))
    for sign, key in ((1.0, "first"), (-1.0, "last")):
        foot = start + sign * way[0] * TAIL_APART_MM / 2
        tip = foot - normal * TAIL_MM
        yield _tail(scene, key, _pair(foot), _pair(tip), _pair(sign * way[0]), sign)


def _tail(scene: Scene, key: str, foot: Point, tip: Point, way: Point, sign: float) -> Part:
    text = scene.words[f"label.tail.{key}"]
    size = text_size((text,), SIDE_TEXT)
    room = disc(tip, 1.0)
    spots, led = about(room, size, way, swing=AROUND, far=(2.0, 5.0, 9.0))
    middle = ((foot[0] + tip[0]) / 2, (foot[1] + tip[1]) / 2)
    turn = np.degrees(np.arctan2(foot[1] - tip[1], tip[0] - foot[0])) + (180.0 if sign > 0 else 0.0)
    head = SYMBOLS["arrow.small"].at(middle, float(turn))
    return Part(
        (
            (MARK, Line((foot, tip), WIRE, role="tail")),
            *((MARK, item) for item in head),
            (SYMBOL_LAYER, Circle(tip, 0.8, MIDDLE, WHITE, role="terminal")),
        ),
        (Occupied(segment(foot, tip, 1.4), SYMBOL), Occupied(room, SYMBOL)),
        (Label(f"tail {key}", (text,), SIDE_TEXT, LabelKind.TAIL, spots, led=led),),
    )


def _pair(row: Chain) -> Point:
    return round(float(row[0]), 3), round(float(row[1]), 3)
