"""Buried cables and pipes near the wire, and whether anyone asked for them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.checks.case import where_nearest
from renderer.checks.fact import Phrase
from renderer.checks.rule import Hit, Rule
from renderer.geometry.lines import distances, points_at
from renderer.ground.stations import corner_indices
from renderer.trade import SERVICE_MARKS_DAYS, SERVICE_NEAR_M, SERVICE_SQUARE_DEG

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shapely.geometry.base import BaseGeometry

    from renderer.checks.case import Case
    from renderer.checks.fact import Facts
    from renderer.ground.lay import LoopLay, Point, Points
    from renderer.plan.model import Feature

SERVICES = ("buried cable", "buried pipe")
ASIDE_M = 0.05  # a crossing is looked at over this much of the wire on both sides


def services_near(case: Case) -> Iterator[tuple[Feature, float, Point, LoopLay]]:
    """Each buried service near the wire: how near, where, and to which loop."""
    for feature, shape in case.features(*SERVICES):
        found = [
            (*where_nearest(case.wires[loop.name], shape), loop)
            for loop in case.lay.loops
            if shapely.dwithin(case.wires[loop.name], shape, SERVICE_NEAR_M)
        ]
        if found:
            distance, at, loop = min(found, key=lambda each: each[0])
            yield feature, distance, at, loop


def service_not_located(case: Case) -> Iterator[Hit]:
    """Services near the wire that nobody has located."""
    for feature, distance, at, loop in services_near(case):
        if feature.located is None:
            key = f"service-not-located.{'near' if distance else 'crosses'}"
            kind = Phrase(f"service.{feature.kind.replace(' ', '-')}")
            facts: Facts = {"name": feature.name, "kind": kind, "distance_m": distance}
            yield Hit(key, facts, at, feature.name, case.station(at, loop))


def located_late(case: Case) -> Iterator[Hit]:
    """Services whose date of locating comes after the planned day."""
    planned = case.plan.job.planned_for
    for feature, _, at, loop in services_near(case):
        if planned and feature.located and feature.located > planned:
            yield _dated(case, "service-located-late.found", feature, at, loop)


def located_long_ago(case: Case) -> Iterator[Hit]:
    """Services whose marks will have gone by the planned day."""
    planned = case.plan.job.planned_for
    for feature, _, at, loop in services_near(case):
        if planned and feature.located:
            days = (planned - feature.located).days
            if days > SERVICE_MARKS_DAYS:
                key = "service-located-long-ago.found"
                yield _dated(case, key, feature, at, loop, days=days, most=SERVICE_MARKS_DAYS)


def _dated(case: Case, key: str, feature: Feature, at: Point, loop: LoopLay, **facts: int) -> Hit:
    located, planned = feature.located, case.plan.job.planned_for
    assert located is not None and planned is not None
    dated: Facts = {"name": feature.name, "located": located, "planned": planned}
    return Hit(key, {**dated, **facts}, at, feature.name, case.station(at, loop))


def service_crossed_askew(case: Case) -> Iterator[Hit]:
    """Wires that cross a service far from a right angle."""
    for feature, _ in case.features(*SERVICES):
        if feature.line is None:
            continue
        service = np.array(feature.line)
        for loop in case.lay.loops:
            places = _meeting_places(case.wires[loop.name], shapely.linestrings(service))
            angles = [(_crossing_angle(loop.path, service, at), at) for at in places]
            angle, at = min(angles, default=(90.0, (0.0, 0.0)))
            if angle < 90.0 - SERVICE_SQUARE_DEG:
                facts: Facts = {
                    "name": feature.name,
                    "angle_deg": round(angle),
                    "least_deg": round(90 - SERVICE_SQUARE_DEG),
                }
                at_m = case.station(at, loop)
                yield Hit("service-crossed-askew.found", facts, at, feature.name, at_m)


def _meeting_places(wire: BaseGeometry, shape: BaseGeometry) -> list[Point]:
    places = shapely.get_parts(shapely.intersection(wire, shape))
    return [(float(p.x), float(p.y)) for p in places if p.geom_type == "Point"]


def _crossing_angle(wire: Points, service: Points, at: Point) -> float:
    """The sharp angle between wire and service where they cross, degrees."""
    one, two = _way(wire, at), _way(service, at)
    cosine = abs(float(np.dot(one, two))) / max(float(np.hypot(*one) * np.hypot(*two)), 1e-9)
    return math.degrees(math.acos(min(1.0, cosine)))


def _way(line: Points, at: Point) -> Points:
    """The direction of a line about a place on it, over a short stretch without a corner."""
    here = float(shapely.line_locate_point(shapely.linestrings(line), shapely.Point(at)))
    run = distances(line)
    stops = np.concatenate(([0.0], run[corner_indices(line)], [run[-1]]))
    before = int(np.clip(np.searchsorted(stops, here, side="right"), 1, len(stops) - 1)) - 1
    ends = (max(stops[before], here - ASIDE_M), min(stops[before + 1], here + ASIDE_M))
    one, two = points_at(line, run, ends)
    return np.asarray(two - one)


def services_not_asked(case: Case) -> Iterator[Hit]:
    """The enquiry about buried services has no answer."""
    if not case.plan.job.services_asked:
        yield Hit("services-not-asked.found")


RULES = (
    Rule("service-not-located", "stop", service_not_located),
    Rule("service-located-late", "stop", located_late),
    Rule("service-located-long-ago", "warn", located_long_ago),
    Rule("service-crossed-askew", "warn", service_crossed_askew),
    Rule("services-not-asked", "warn", services_not_asked),
)
