"""Slopes that the machine mows or follows."""

from __future__ import annotations

from typing import TYPE_CHECKING

import shapely

from renderer.checks.case import middle
from renderer.checks.rule import Hit, Rule

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case
    from renderer.checks.fact import Facts

LEAST_M2 = 0.01
LEAST_M = 0.05


def too_steep(case: Case) -> Iterator[Hit]:
    """Slopes in a working area steeper than the machine climbs."""
    limit = case.plan.machine.slope_max_percent.inside
    for feature, shape in case.features("slope"):
        if (feature.percent or 0.0) <= limit:
            continue
        mown = shapely.intersection(shape, case.working)
        if mown.area > LEAST_M2:
            facts: Facts = {
                "name": feature.name,
                "slope_percent": feature.percent or 0.0,
                "area_m2": float(mown.area),
                "limit_percent": limit,
            }
            yield Hit("slope-too-steep.found", facts, middle(mown), feature.name)


def too_steep_at_wire(case: Case) -> Iterator[Hit]:
    """Slopes under a ring steeper than the machine turns on."""
    limit = case.plan.machine.slope_max_percent.at_wire
    for feature, shape in case.features("slope"):
        if (feature.percent or 0.0) <= limit:
            continue
        on_slope = [
            (each, part)
            for each in case.walked
            if each.leg.kind in ("outer", "island")
            and (part := shapely.intersection(each.line, shape)).length > LEAST_M
        ]
        if on_slope:
            each, part = on_slope[0]
            at = middle(max(shapely.get_parts(part), key=lambda piece: float(piece.length)))
            facts: Facts = {
                "length_m": sum(float(piece.length) for _, piece in on_slope),
                "name": feature.name,
                "slope_percent": feature.percent or 0.0,
                "limit_percent": limit,
            }
            yield Hit("slope-too-steep-at-wire.found", facts, at, feature.name, each.at_m(at))


RULES = (
    Rule("slope-too-steep", "stop", too_steep),
    Rule("slope-too-steep-at-wire", "warn", too_steep_at_wire, figure="slope_percent"),
)
