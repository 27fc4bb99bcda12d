"""The dock's place: level, straight wire, clear of corners, wires, sprinklers and passages."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import shapely

from renderer.checks.fact import Phrase
from renderer.checks.rule import Hit, Rule
from renderer.geometry.lines import stretch
from renderer.trade import DOCK_FAR_M, DOCK_OTHER_WIRE_M, DOCK_PASSAGE_M, DOCK_STRAIGHT_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shapely.geometry.base import BaseGeometry

    from renderer.checks.case import Case
    from renderer.checks.fact import Facts
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


def _at_start(
    laid: LoopLay, loop: Loop, key: str, facts: Facts, apart: tuple[str, ...] = ()
) -> Hit:
    return Hit(key, facts, laid.start, loop.name, laid.tail_m, apart)


def dock_not_straight(case: Case) -> Iterator[Hit]:
    """Docks with too little straight wire before or behind them."""
    figures = case.plan.machine.dock
    for loop, laid, run in docked(case):
        for there, needed, where in (
            (run.straight_after_m, figures.straight_after, "after"),
            (run.straight_before_m, figures.straight_before, "before"),
        ):
            if there < needed - LEAST_M:
                key = f"dock-not-straight.{where}"
                facts = {"length_m": there, "needed_m": needed}
                yield _at_start(laid, loop, key, facts, ("length_m", "needed_m"))
        straight = run.straight_before_m >= figures.straight_before - LEAST_M
        if straight and run.deviation_m > DOCK_STRAIGHT_M and run.straight_after_m >= LEAST_M:
            yield _at_start(laid, loop, "dock-not-straight.bend", {"bend_m": run.deviation_m})


def dock_on_slope(case: Case) -> Iterator[Hit]:
    """Docks that do not stand level."""
    limit = case.plan.machine.dock.level_max_percent
    for loop, laid in case.pairs():
        if loop.dock is None:
            continue
        run = run_line(case, laid)
        for feature, shape in case.features("slope"):
            if (feature.percent or 0.0) > limit and shapely.intersects(shape, run):
                facts: Facts = {
                    "loop": loop.name,
                    "name": feature.name,
                    "slope_percent": feature.percent or 0.0,
                    "limit_percent": limit,
                }
                yield _at_start(laid, loop, "dock-on-slope.found", facts)


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
            facts = {"distance_m": min(bends), "needed_m": needed}
            apart = ("distance_m", "needed_m")
            yield _at_start(laid, loop, "dock-near-corner.found", facts, apart)


def dock_near_wire(case: Case) -> Iterator[Hit]:
    """Docks with other wire beside their straight run."""
    for loop, laid, run in docked(case):
        if run.other_wire_m < DOCK_OTHER_WIRE_M - LEAST_M:
            facts = {"distance_m": run.other_wire_m, "needed_m": DOCK_OTHER_WIRE_M}
            apart = ("distance_m", "needed_m")
            yield _at_start(laid, loop, "dock-near-wire.found", facts, apart)


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
        facts: Facts = {"loop": loop.name, "away_m": away}
        if nearer:
            named = {**facts, "nearer": nearer[0]}
            yield Hit("dock-far-from-wire.loop", named, loop.dock.at, loop.name)
        elif away > DOCK_FAR_M:
            yield Hit("dock-far-from-wire.found", facts, loop.dock.at, loop.name, laid.tail_m)


def dock_in_throw(case: Case) -> Iterator[Hit]:
    """Docks within the throw of a sprinkler."""
    for loop, laid, run in docked(case):
        if run.sprinkler_m < 0:
            yield _at_start(laid, loop, "dock-in-sprinkler-throw.found", {"loop": loop.name})


def dock_in_passage(case: Case) -> Iterator[Hit]:
    """Docks in or beside a gate or a neck."""
    for loop, laid in case.pairs():
        if loop.dock is None:
            continue
        run = run_line(case, laid)
        for name, place in _narrows(case):
            if shapely.distance(run, place) < DOCK_PASSAGE_M:
                away = float(shapely.distance(run, place))
                facts: Facts = {"loop": loop.name, "away_m": away, "name": name}
                yield _at_start(laid, loop, "dock-in-passage.found", facts)
                break


def _narrows(case: Case) -> Iterator[tuple[str | Phrase, BaseGeometry]]:
    for feature, shape in case.features("gate"):
        yield feature.name, shape
    for cut in case.lay.cuts:
        if cut.kind == "pinch":
            yield Phrase("neck", {"lawn": cut.lawn}), shapely.Point(cut.at)


def generator_far(case: Case) -> Iterator[Hit]:
    """Generators that the tails do not reach."""
    for loop, laid in case.pairs():
        if loop.generator is None:
            continue
        away = math.dist(loop.generator.at, laid.start)
        if away > laid.tail_m + LEAST_M:
            facts: Facts = {"loop": loop.name, "away_m": away, "tail_m": laid.tail_m}
            at, apart = loop.generator.at, ("away_m", "tail_m")
            yield Hit("tails-too-short.found", facts, at, loop.name, laid.tail_m, apart)


RULES = (
    Rule("dock-not-straight", "stop", dock_not_straight),
    Rule("dock-on-slope", "stop", dock_on_slope),
    Rule("dock-near-corner", "warn", dock_near_corner),
    Rule("dock-near-wire", "warn", dock_near_wire),
    Rule("dock-far-from-wire", "warn", dock_far),
    Rule("dock-in-sprinkler-throw", "warn", dock_in_throw),
    Rule("dock-in-passage", "warn", dock_in_passage),
    Rule("tails-too-short", "note", generator_far),
)
