"""What a dock is in the way of: the passage that it stands in, and play."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.checks.case import middle
from renderer.checks.dock import run_line
from renderer.checks.rule import Hit, Rule
from renderer.geometry.lines import points_at
from renderer.ground.outline import signed_area
from renderer.trade import DOCK_PLAY_M, DOCK_SIDE_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case
    from renderer.checks.fact import Facts
    from renderer.ground.lay import LoopLay

LEAST_M = 1e-3
STEP_M = 0.25  # of the dock's run, at which the width across is looked at
OFF_M = 0.01  # a line across starts this far inside the wire
SLIVER_M2 = 1e-3


def dock_blocks(case: Case) -> Iterator[Hit]:
    """Docks beside which the machine does not pass."""
    needed = case.plan.machine.passage_min + DOCK_SIDE_M
    for loop, laid in case.pairs():
        if loop.dock is None:
            continue
        across = _width_across(case, laid, needed)
        if across < needed - LEAST_M:
            facts: Facts = {
                "loop": loop.name,
                "width_m": across,
                "needed_m": needed,
                "passage_m": case.plan.machine.passage_min,
                "side_m": DOCK_SIDE_M,
            }
            at, apart = laid.start, ("width_m", "needed_m")
            yield Hit("dock-blocks-passage.found", facts, at, loop.name, laid.tail_m, apart)


def _width_across(case: Case, laid: LoopLay, most_m: float) -> float:
    """Least width of the mown ground square to the dock's run, metres; at most ``most_m``."""
    figures = case.plan.machine.dock
    start, end = float(laid.at_m[0]), float(laid.at_m[-1])
    half = (end - start) / 2
    ahead = np.arange(0.0, min(figures.straight_after, half) + LEAST_M, STEP_M)
    back = np.arange(0.0, min(figures.straight_before, half) + LEAST_M, STEP_M)
    at = np.concatenate((start + ahead, end - back))
    places, ways = points_at(laid.path, laid.at_m, at), _ways(laid, at)
    inwards = ways @ np.array([[0.0, 1.0], [-1.0, 0.0]])
    outer = next(ring for ring in laid.rings if ring.kind == "outer")
    ground = shapely.make_valid(shapely.Polygon(outer.points))
    if signed_area(outer.points) < 0:
        inwards = -inwards  # laid clockwise, or the wrong way round
    ends = np.stack((places + OFF_M * inwards, places + most_m * inwards), axis=1)
    return min(
        (
            OFF_M + float(shapely.get_parts(inside)[0].length)
            for inside in shapely.intersection(shapely.linestrings(ends), ground)
            if not inside.is_empty
        ),
        default=most_m,
    )


def _ways(laid: LoopLay, at: np.ndarray) -> np.ndarray:
    """Unit directions of the walk at some running distances; shape (n, 2)."""
    last = len(laid.path) - 2
    k = np.clip(np.searchsorted(laid.at_m, at, side="right") - 1, 0, last)
    steps = laid.path[k + 1] - laid.path[k]
    return np.asarray(steps / np.maximum(np.hypot(*steps.T), 1e-12)[:, None])


def dock_in_play(case: Case) -> Iterator[Hit]:
    """Docks where children play."""
    for loop, laid in case.pairs():
        if loop.dock is None:
            continue
        run = run_line(case, laid)
        for feature, shape in case.features("play"):
            away = float(shapely.distance(run, shape))
            if away < DOCK_PLAY_M - LEAST_M:
                key = f"dock-in-play.{'beside' if away > 0 else 'found'}"
                facts: Facts = {"loop": loop.name, "name": feature.name, "away_m": away}
                yield Hit(key, facts, laid.start, loop.name, laid.tail_m)


def play_on_lawn(case: Case) -> Iterator[Hit]:
    """Places for play where the machine mows."""
    for feature, shape in case.features("play"):
        inside = shapely.intersection(shape, case.working)
        if inside.is_empty or (shape.area > 0 and inside.area < SLIVER_M2):
            continue
        key = f"play-where-mown.{'area' if inside.area else 'found'}"
        facts: Facts = {"name": feature.name, "area_m2": float(inside.area)}
        yield Hit(key, facts, middle(inside), feature.name)


RULES = (
    Rule("dock-blocks-passage", "warn", dock_blocks),
    Rule("dock-in-play", "warn", dock_in_play),
    Rule("play-where-mown", "warn", play_on_lawn),
)
