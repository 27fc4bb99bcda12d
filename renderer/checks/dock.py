"""The dock's place: level, straight wire, clear of corners, wires, sprinklers and passages."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import shapely

from renderer.checks.rule import Hit, Rule
from renderer.geometry.lines import stretch
from renderer.trade import DOCK_FAR_M, DOCK_OTHER_WIRE_M, DOCK_PASSAGE_M, DOCK_STRAIGHT_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shapely.geometry.base import BaseGeometry

    from renderer.checks.case import Case
    from renderer.ground.dockrun import DockRun
    from renderer.ground.lay import LoopLay
    from renderer.plan.model import Loop

LEAST_M = 1e-3


def docked(case: Case) -> Iterator[tuple[Loop, LoopLay, DockRun]]:
    """Each loop with a dock, and what lies about the start of its wire."""
    return (
        (loop, laid, case.runs[loop.name]) for loop, laid in case.pairs() if loop.name in case.runs
    )


def run_line(case: Case, laid: LoopLay) -> BaseGeometry:
    """The straight wire that the dock asks for, on both sides of the loop's start."""
    figures = case.plan.machine.dock
    start, end = float(laid.at_m[0]), float(laid.at_m[-1])
    half = (end - start) / 2
    ahead, _ = stretch(laid.path, laid.at_m, start, start + min(figures.straight_after, half))
    back, _ = stretch(laid.path, laid.at_m, end - min(figures.straight_before, half), end)
    return shapely.union_all([shapely.linestrings(line) for line in (ahead, back)])


def _at_start(laid: LoopLay, loop: Loop, message: str) -> Hit:
    return Hit(message, laid.start, loop.name, laid.tail_m)


def dock_not_straight(case: Case) -> Iterator[Hit]:
    """Docks with too little straight wire before or behind them."""
    figures = case.plan.machine.dock
    for loop, laid, run in docked(case):
        for there, needed, where in (
            (run.straight_after_m, figures.straight_after, "after"),
            (run.straight_before_m, figures.straight_before, "before"),
        ):
            if there < needed - LEAST_M:
                is_m, needed_m = case.show.lengths(there, needed)
                key = f"dock-not-straight.{where}"
                message = case.words(key, length=is_m, needed=needed_m)
                yield _at_start(laid, loop, message)
        straight = run.straight_before_m >= figures.straight_before - LEAST_M
        if straight and run.deviation_m > DOCK_STRAIGHT_M and run.straight_after_m >= LEAST_M:
            bend = case.show.length(run.deviation_m)
            yield _at_start(laid, loop, case.words("dock-not-straight.bend", bend=bend))


def dock_on_slope(case: Case) -> Iterator[Hit]:
    """Docks that do not stand level."""
    limit = case.plan.machine.dock.level_max_percent
    for loop, laid in case.pairs():
        if loop.dock is None:
            continue
        run = run_line(case, laid)
        for feature, shape in case.features("slope"):
            if (feature.percent or 0.0) > limit and shapely.intersects(shape, run):
                message = case.words(
                    "dock-on-slope.found",
                    loop=loop.name,
                    name=feature.name,
                    slope=case.show.percent(feature.percent or 0.0),
                    limit=case.show.percent(limit),
                )
                yield _at_start(laid, loop, message)


def dock_near_corner(case: Case) -> Iterator[Hit]:
    """Docks too near to a corner or bend of the wire."""
    needed = case.plan.machine.dock.clear_of_corner
    for loop, laid, run in docked(case):
        bends = [run.corner_m]
        bends += [
            length
            for length in (run.straight_before_m, run.straight_after_m)
            if abs(length - run.lead_m) > LEAST_M  # a lead pair ends the straight, too
        ]
        if min(bends) < needed - LEAST_M:
            is_m, needed_m = case.show.lengths(min(bends), needed)
            message = case.words("dock-near-corner.found", distance=is_m, needed=needed_m)
            yield _at_start(laid, loop, message)


def dock_near_wire(case: Case) -> Iterator[Hit]:
    """Docks with other wire beside their straight run."""
    for loop, laid, run in docked(case):
        if run.other_wire_m < DOCK_OTHER_WIRE_M - LEAST_M:
            is_m, needed = case.show.lengths(run.other_wire_m, DOCK_OTHER_WIRE_M)
            message = case.words("dock-near-wire.found", distance=is_m, needed=needed)
            yield _at_start(laid, loop, message)


def dock_far(case: Case) -> Iterator[Hit]:
    """Docks that the plan puts far from any wire, or nearer to another loop's wire."""
    for loop, laid in case.pairs():
        if loop.dock is None:
            continue
        place = shapely.Point(loop.dock.at)
        away = math.dist(loop.dock.at, laid.start)
        nearer = [
            name
            for name, wire in case.wires.items()
            if name != loop.name and shapely.distance(wire, place) < away
        ]
        facts = {"loop": loop.name, "away": case.show.length(away)}
        if nearer:
            message = case.words("dock-far-from-wire.loop", nearer=nearer[0], **facts)
            yield Hit(message, loop.dock.at, loop.name)
        elif away > DOCK_FAR_M:
            message = case.words("dock-far-from-wire.found", **facts)
            yield Hit(message, loop.dock.at, loop.name, laid.tail_m)


def dock_in_throw(case: Case) -> Iterator[Hit]:
    """Docks within the throw of a sprinkler."""
    for loop, laid, run in docked(case):
        if run.sprinkler_m < 0:
            message = case.words("dock-in-sprinkler-throw.found", loop=loop.name)
            yield _at_start(laid, loop, message)


def dock_in_passage(case: Case) -> Iterator[Hit]:
    """Docks in or beside a gate or a neck."""
    for loop, laid in case.pairs():
        if loop.dock is None:
            continue
        run = run_line(case, laid)
        for name, place in _narrows(case):
            if shapely.distance(run, place) < DOCK_PASSAGE_M:
                away = case.show.length(float(shapely.distance(run, place)))
                key = "dock-in-passage.found"
                message = case.words(key, loop=loop.name, away=away, name=name)
                yield _at_start(laid, loop, message)
                break


def _narrows(case: Case) -> Iterator[tuple[str, BaseGeometry]]:
    for feature, shape in case.features("gate"):
        yield feature.name, shape
    for cut in case.lay.cuts:
        if cut.kind == "pinch":
            yield case.words("neck", lawn=cut.lawn), shapely.Point(cut.at)


def generator_far(case: Case) -> Iterator[Hit]:
    """Generators that the tails do not reach."""
    for loop, laid in case.pairs():
        if loop.generator is None:
            continue
        away = math.dist(loop.generator.at, laid.start)
        if away > laid.tail_m + LEAST_M:
            is_m, tail = case.show.lengths(away, laid.tail_m)
            message = case.words("tails-too-short.found", loop=loop.name, away=is_m, tail=tail)
            yield Hit(message, loop.generator.at, loop.name, laid.tail_m)


RULES = (
    Rule(
        "dock-not-straight",
        "stop",
        dock_not_straight,
        "The machine finds its dock only along straight wire.",
    ),
    Rule(
        "dock-on-slope",
        "stop",
        dock_on_slope,
        "On a slope the machine misses the contacts or rolls off them.",
    ),
    Rule(
        "dock-near-corner",
        "warn",
        dock_near_corner,
        "The machine needs room to come back onto the line after a corner.",
    ),
    Rule(
        "dock-near-wire",
        "warn",
        dock_near_wire,
        "Other wire beside the dock disturbs the signal that leads the machine in.",
    ),
    Rule(
        "dock-far-from-wire",
        "warn",
        dock_far,
        "A dock stands on its own loop's wire.",
    ),
    Rule(
        "dock-in-sprinkler-throw",
        "warn",
        dock_in_throw,
        "Water on the contacts eats them.",
    ),
    Rule(
        "dock-in-passage",
        "warn",
        dock_in_passage,
        "A machine at rest blocks the passage, for people and for itself.",
    ),
    Rule(
        "tails-too-short",
        "note",
        generator_far,
        "The two ends of the wire have to reach the terminals, side by side.",
    ),
)
