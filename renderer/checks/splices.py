"""Splices: none where wire is bent, buried, wetted or hard to find again."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.checks.rule import Hit, Rule
from renderer.checks.services import SERVICES
from renderer.trade import SERVICE_STRIP_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case
    from renderer.checks.fact import Facts
    from renderer.ground.lay import LoopLay, Splice

LEAST_M = 1e-3
STEP_M = 0.05  # steps in which the wire about a splice is looked at
BEND_DEG = 22.0  # a corner turns by 20 degrees; what steps and rounding add is not a bend


def _hit(splice: Splice, key: str, facts: Facts, apart: tuple[str, ...] = ()) -> Hit:
    named = {"id": splice.id, **facts}
    return Hit(key, named, (splice.x, splice.y), splice.id, splice.at_m, apart)


def _each(case: Case) -> Iterator[tuple[LoopLay, Splice]]:
    return ((loop, splice) for loop in case.lay.loops for splice in loop.splices)


def in_pair(case: Case) -> Iterator[Hit]:
    """Splices in a lead pair or a crossing."""
    for loop, splice in _each(case):
        for leg in loop.legs:
            inside = leg.from_m + 1e-6 < splice.at_m < leg.to_m - 1e-6
            if inside and leg.kind in ("lead", "crossing"):
                yield _hit(splice, f"splice-in-lead-pair.{leg.kind}", {"of": leg.of})


def in_dock_run(case: Case) -> Iterator[Hit]:
    """Splices in the dock's straight run, or in a tail."""
    figures = case.plan.machine.dock
    docks = {loop.name for loop in case.plan.loops if loop.dock}
    for loop, splice in _each(case):
        start, end = float(loop.at_m[0]), float(loop.at_m[-1])
        after = figures.straight_after if loop.name in docks else 0.0
        before = figures.straight_before if loop.name in docks else 0.0
        if splice.at_m < start + after - LEAST_M or splice.at_m > end - before + LEAST_M:
            away = min(abs(splice.at_m - start), abs(end - splice.at_m))
            yield _hit(splice, "splice-in-dock-run.found", {"away_m": away})


def near_corner(case: Case) -> Iterator[Hit]:
    """Splices too near to a bend, or to the place where a pair leaves."""
    clear = case.plan.machine.splice_clear
    for loop, splice in _each(case):
        pairs = [leg for leg in loop.legs if leg.kind in ("lead", "crossing")]
        if any(leg.from_m < splice.at_m < leg.to_m for leg in pairs):
            continue
        ends = [at for leg in pairs for at in (leg.from_m, leg.to_m)]
        away = min((abs(at - splice.at_m) for at in ends), default=clear)
        turned = _turned(loop, splice.at_m, clear - LEAST_M)
        if away < clear - LEAST_M:
            near = {"away_m": away, "needed_m": clear}
            yield _hit(splice, "splice-near-corner.pair", near, ("away_m", "needed_m"))
        elif turned >= BEND_DEG:
            bend = {"turned_deg": round(turned), "needed_m": clear}
            yield _hit(splice, "splice-near-corner.bend", bend)


def _turned(loop: LoopLay, at_m: float, clear_m: float) -> float:
    """Degrees that the wire turns, either way, within a distance of a place on both sides.

    By the headings from each few centimetres of wire to the next; what is bent sharply and what is
    bent little by little come out alike.
    """
    if clear_m <= STEP_M:
        return 0.0
    here = next((leg for leg in loop.legs if leg.from_m <= at_m <= leg.to_m), None)
    if here is None:
        return 0.0
    first, last = max(here.from_m, at_m - clear_m), min(here.to_m, at_m + clear_m)
    at = np.linspace(first, last, max(2, round((last - first) / STEP_M)) + 1)
    x, y = (np.interp(at, loop.at_m, loop.path[:, axis]) for axis in (0, 1))
    heading = np.unwrap(np.arctan2(np.diff(y), np.diff(x)))
    return float(np.degrees(np.abs(np.diff(heading)).sum()))


def under_paving(case: Case) -> Iterator[Hit]:
    """Splices that paving would cover, or a crossing would bury."""
    for feature, shape in case.features("paving", "building"):
        for _, splice in _each(case):
            if shapely.contains(shape, shapely.Point(splice.x, splice.y)):
                yield _hit(splice, "splice-under-paving.found", {"name": feature.name})


def in_throw(case: Case) -> Iterator[Hit]:
    """Splices that a sprinkler wets."""
    for feature, shape in case.features("sprinkler"):
        for _, splice in _each(case):
            away = float(shapely.distance(shape, shapely.Point(splice.x, splice.y)))
            if away < (feature.radius or 0.0):
                yield _hit(splice, "splice-in-sprinkler-throw.found", {"name": feature.name})


def in_service_strip(case: Case) -> Iterator[Hit]:
    """Splices that lie in the strip of a service, where nobody digs."""
    for feature, shape in case.features(*SERVICES):
        for _, splice in _each(case):
            away = float(shapely.distance(shape, shapely.Point(splice.x, splice.y)))
            if away < SERVICE_STRIP_M - LEAST_M:
                key = "splice-in-service-strip.found"
                facts: Facts = {
                    "name": feature.name,
                    "distance_m": away,
                    "strip_m": SERVICE_STRIP_M,
                }
                yield _hit(splice, key, facts, ("distance_m", "strip_m"))


RULES = (
    Rule("splice-under-paving", "stop", under_paving),
    Rule("splice-in-lead-pair", "warn", in_pair),
    Rule("splice-in-dock-run", "warn", in_dock_run),
    Rule("splice-near-corner", "warn", near_corner),
    Rule("splice-in-sprinkler-throw", "warn", in_throw),
    Rule("splice-in-service-strip", "warn", in_service_strip),
)
