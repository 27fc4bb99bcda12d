"""Sizes that no garden or machine has: a wrong unit or digit; and the area for a machine."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.checks.case import middle
from renderer.checks.fact import Phrase
from renderer.checks.rule import Hit, Rule
from renderer.trade import (
    CORNER_OUT_RATIO,
    GATE_WIDE_M,
    LAWN_FEET_M2,
    LAWN_METRES_M2,
    LAWN_WIDE_M,
    PASSAGE_SUSPECT_M,
    PEG_SPACING_SUSPECT_M,
    SETBACK_SUSPECT_M,
    TAIL_SUSPECT_M,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case
    from renderer.checks.fact import Facts
    from renderer.ground.lay import LawnGround, Point

HALF = 0.5
AWG_AND_MORE = 2  # signs of feet: metric gardens may be large, and wire in AWG is sold everywhere


def figure_odd(case: Case) -> Iterator[Hit]:
    """Machine figures so large or small that they can hardly be meant in this unit."""
    machine = case.plan.machine
    kinds = dict.fromkeys(edge.kind for edge in case.edges)
    figures = [
        (f"machine.setback.{kind}", machine.setback[kind], 0.0, SETBACK_SUSPECT_M) for kind in kinds
    ]
    figures += [
        ("machine.passage_min", machine.passage_min, *PASSAGE_SUSPECT_M),
        ("machine.peg_spacing.first", machine.peg_spacing.first, 0.0, PEG_SPACING_SUSPECT_M),
        ("machine.tail", machine.tail, 0.0, TAIL_SUSPECT_M),
    ]
    for key, length_m, least, most in figures:
        if not least <= length_m <= most:
            which = "large" if length_m > most else "small"
            facts: Facts = {"figure": key, "length_m": length_m}
            yield Hit(f"figure-odd.{which}", facts, about=key)


def lawn_odd(case: Case) -> Iterator[Hit]:
    """Lawns of an unlikely width, or with one corner far from all others."""
    for lawn in case.lay.lawns:
        left, low, right, high = lawn.outline.bounds
        across = max(right - left, high - low)
        out = _corner_out(lawn)
        if out is not None:
            facts: Facts = {"lawn": lawn.name, "x_m": out[0], "y_m": out[1]}
            yield Hit("lawn-odd.corner", facts, out, lawn.name)
        elif across > LAWN_WIDE_M:
            facts = {"lawn": lawn.name, "length_m": across}
            yield Hit("lawn-odd.wide", facts, middle(lawn.outline), lawn.name)


def _corner_out(lawn: LawnGround) -> Point | None:
    """The corner that lies far from all the others, where there is one."""
    corners = np.array([side.points[0] for side in lawn.sides])
    if len(corners) < 4:
        return None
    for k, corner in enumerate(corners):
        others = np.delete(corners, k, axis=0)
        apart = float(np.hypot(*(others.max(axis=0) - others.min(axis=0))))
        away = float(np.hypot(*(others - corner).T).min())
        if away > CORNER_OUT_RATIO * apart:
            x, y = corner.tolist()
            return (x, y)
    return None


def obstacle_over_lawn(case: Case) -> Iterator[Hit]:
    """Obstacles that take up more than half of a lawn."""
    for obstacle, ground in case.grounds:
        for lawn in case.lay.lawns:
            taken = shapely.intersection(ground, lawn.outline).area / lawn.outline.area
            if taken > HALF:
                facts: Facts = {
                    "name": obstacle.name,
                    "lawn": lawn.name,
                    "percent": round(100 * taken),
                    "wide_m": _across(ground),
                }
                yield Hit("obstacle-over-lawn.found", facts, middle(lawn.outline), obstacle.name)


def _across(ground: shapely.Polygon) -> float:
    left, low, right, high = ground.bounds
    return float(max(right - left, high - low))


def unit_suspected(case: Case) -> Iterator[Hit]:
    """Plans whose sizes fit the other unit better than their own."""
    signs = tuple(_signs(case))
    in_feet = case.plan.units == "ft"
    if len(signs) >= (1 if in_feet else AWG_AND_MORE):
        key = f"unit-suspected.{'feet' if in_feet else 'metres'}"
        yield Hit(key, {"signs": signs})


def _signs(case: Case) -> Iterator[Phrase]:
    """Each sign of another unit, with its figures."""
    plan = case.plan
    largest = max(case.lay.lawns, key=lambda lawn: lawn.outline.area)
    size: Facts = {"lawn": largest.name, "area_m2": float(largest.outline.area)}
    if plan.units == "ft":
        if largest.outline.area < LAWN_METRES_M2:
            yield Phrase("unit-sign.small", size)
        return
    if plan.wire.conductor_awg is None:
        return
    yield Phrase("unit-sign.awg")
    if largest.outline.area > LAWN_FEET_M2:
        yield Phrase("unit-sign.large", size)
    for gate, shape in case.features("gate"):
        if shape.length > GATE_WIDE_M:
            yield Phrase("unit-sign.gate", {"name": gate.name, "width_m": float(shape.length)})
            return


def area_over_limit(case: Case) -> Iterator[Hit]:
    """Loops with more ground than the machine is made to mow."""
    most = case.plan.machine.area_max
    for loop in case.lay.loops:
        if most is not None and loop.working_area_m2 > most:
            facts: Facts = {"loop": loop.name, "area_m2": loop.working_area_m2, "limit_m2": most}
            yield Hit("area-too-large.found", facts, loop.start, loop.name)


RULES = (
    Rule("figure-odd", "warn", figure_odd),
    Rule("lawn-odd", "warn", lawn_odd),
    Rule("obstacle-over-lawn", "warn", obstacle_over_lawn),
    Rule("unit-suspected", "warn", unit_suspected),
    Rule("area-too-large", "warn", area_over_limit),
)
