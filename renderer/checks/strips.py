"""The strip along a marked service: what is driven into it, and wire that runs on in it.

Distances are taken from the plan's own points, not from the strips that pegs are laid by.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.checks.case import middle
from renderer.checks.rule import Hit, Rule
from renderer.checks.services import SERVICES
from renderer.trade import PEG_M, SERVICE_ALONG_M, SERVICE_NEAR_M, SERVICE_STRIP_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case
    from renderer.checks.fact import Facts
    from renderer.plan.model import Feature

LEAST_M = 1e-3


def peg_in_strip(case: Case) -> Iterator[Hit]:
    """Pegs that would be driven into the strip of a service, one finding a service and loop."""
    for feature, shape in case.features(*SERVICES):
        for loop in case.lay.loops:
            places = shapely.points([(peg.x, peg.y) for peg in loop.pegs])
            away = np.atleast_1d(shapely.distance(places, shape))
            inside = np.flatnonzero(away < SERVICE_STRIP_M - LEAST_M)
            if len(inside) == 0:
                continue
            nearest = loop.pegs[int(inside[np.argmin(away[inside])])]
            facts: Facts = {
                "count": len(inside),
                "id": nearest.id,
                "name": feature.name,
                "distance_m": float(away[inside].min()),
                "strip_m": SERVICE_STRIP_M,
            }
            at = (nearest.x, nearest.y)
            yield Hit("peg-in-service-strip.found", facts, at, feature.name, nearest.at_m)


def wire_along(case: Case) -> Iterator[Hit]:
    """Wire that keeps in the strip of a service for longer than it takes to cross it."""
    for feature, shape in case.features(*SERVICES):
        strip = shapely.buffer(shape, SERVICE_STRIP_M)
        for loop in case.lay.loops:
            inside = shapely.intersection(case.wires[loop.name], strip)
            runs = shapely.get_parts(shapely.line_merge(shapely.union_all(inside)))
            longest = max(runs, key=lambda run: float(run.length), default=None)
            if longest is None or longest.length <= SERVICE_ALONG_M:
                continue
            at = middle(longest)
            facts: Facts = {
                "name": feature.name,
                "length_m": float(longest.length),
                "strip_m": SERVICE_STRIP_M,
            }
            at_m = case.station(at, loop)
            yield Hit("service-along-wire.found", facts, at, feature.name, at_m)


def dock_over_service(case: Case) -> Iterator[Hit]:
    """Docks and generators whose ground anchors would come into the strip of a service."""
    for feature, shape in case.features(*SERVICES):
        for planned, loop in case.pairs():
            at = planned.generator.at if planned.generator else loop.start
            away = float(shapely.distance(shapely.Point(at), shape))
            if away < SERVICE_NEAR_M:
                what = "dock" if planned.dock else "generator"
                facts: Facts = {
                    "loop": planned.name,
                    "name": feature.name,
                    "distance_m": away,
                    "needed_m": SERVICE_NEAR_M,
                }
                at_m = case.station(at, loop)
                yield Hit(f"dock-over-service.{what}", facts, at, feature.name, at_m)


def supply_over_service(case: Case) -> Iterator[Hit]:
    """Supplies that stand in the strip of a service which does not end there."""
    for feature, shape in case.features(*SERVICES):
        for planned in case.plan.loops:
            if planned.supply is None:
                continue
            at = planned.supply.at
            place = shapely.Point(at)
            if shapely.distance(place, shape) < SERVICE_STRIP_M and not _feeds(feature, place):
                facts: Facts = {
                    "loop": planned.name,
                    "name": feature.name,
                    "strip_m": SERVICE_STRIP_M,
                }
                yield Hit("supply-over-service.found", facts, at, feature.name)


def _feeds(feature: Feature, place: shapely.Point) -> bool:
    """Whether a line ends at a place, as the cable of a socket does."""
    ends = (feature.line[0], feature.line[-1]) if feature.line else ()
    return any(place.distance(shapely.Point(end)) < SERVICE_STRIP_M for end in ends)


def service_shallow(case: Case) -> Iterator[Hit]:
    """Services near the wire that lie no deeper than a peg is long."""
    for feature, shape in case.features(*SERVICES):
        if feature.depth is None or feature.depth > PEG_M:
            continue
        for loop in case.lay.loops:
            wire = case.wires[loop.name]
            if shapely.distance(wire, shape) <= SERVICE_NEAR_M:
                x, y = shapely.get_coordinates(shapely.shortest_line(wire, shape))[0].tolist()
                facts: Facts = {"name": feature.name, "depth_m": feature.depth, "peg_m": PEG_M}
                at_m = case.station((x, y), loop)
                yield Hit("service-shallow.found", facts, (x, y), feature.name, at_m)
                break


RULES = (
    Rule("service-shallow", "stop", service_shallow),
    Rule("peg-in-service-strip", "stop", peg_in_strip),
    Rule("dock-over-service", "stop", dock_over_service),
    Rule("supply-over-service", "warn", supply_over_service),
    Rule("service-along-wire", "warn", wire_along),
)
