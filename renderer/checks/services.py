"""Buried cables and pipes near the wire, and whether anyone asked for them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.checks.case import where_nearest
from renderer.checks.rule import Hit, Rule
from renderer.trade import SERVICE_NEAR_M, SERVICE_SQUARE_DEG

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shapely.geometry.base import BaseGeometry

    from renderer.checks.case import Case
    from renderer.ground.lay import LoopLay, Point
    from renderer.plan.model import Feature

SERVICES = ("buried cable", "buried pipe")
ASIDE_M = 0.5  # a crossing is looked at over this much of the wire on both sides


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
            message = case.words(
                f"service-not-located.{'near' if distance else 'crosses'}",
                name=feature.name,
                kind=case.words(f"service.{feature.kind.replace(' ', '-')}"),
                distance=case.show.length(distance),
            )
            yield Hit(message, at, feature.name, case.station(at, loop))


def service_crossed_askew(case: Case) -> Iterator[Hit]:
    """Wires that cross a service far from a right angle."""
    for feature, shape in case.features(*SERVICES):
        if feature.line is None:
            continue
        for loop in case.lay.loops:
            wire = case.wires[loop.name]
            for at in _meeting_places(wire, shape):
                angle = _crossing_angle(case, loop, shape, at)
                if angle < 90.0 - SERVICE_SQUARE_DEG:
                    message = case.words(
                        "service-crossed-askew.found",
                        name=feature.name,
                        angle=f"{angle:.0f}",
                        least=f"{90 - SERVICE_SQUARE_DEG:.0f}",
                    )
                    yield Hit(message, at, feature.name, case.station(at, loop))
                    break


def _meeting_places(wire: BaseGeometry, shape: BaseGeometry) -> list[Point]:
    places = shapely.get_parts(shapely.intersection(wire, shape))
    return [(float(p.x), float(p.y)) for p in places if p.geom_type == "Point"]


def _crossing_angle(case: Case, loop: LoopLay, shape: BaseGeometry, at: Point) -> float:
    """The sharp angle between wire and service about a place where they cross, degrees."""
    place = shapely.Point(at)
    ways = []
    for line in (case.wires[loop.name], shape):
        here = float(shapely.line_locate_point(line, place))
        ends = [max(0.0, here - ASIDE_M), min(float(line.length), here + ASIDE_M)]
        one, two = shapely.get_coordinates(shapely.line_interpolate_point(line, ends))
        ways.append(two - one)
    cosine = abs(float(np.dot(ways[0], ways[1]))) / max(
        float(np.hypot(*ways[0]) * np.hypot(*ways[1])), 1e-9
    )
    return math.degrees(math.acos(min(1.0, cosine)))


def services_not_asked(case: Case) -> Iterator[Hit]:
    """No answer to the enquiry about buried services."""
    if not case.plan.job.services_asked:
        yield Hit(case.words("services-not-asked.found"))


RULES = (
    Rule(
        "service-not-located",
        "stop",
        service_not_located,
        "A peg or a spade in a live cable or a gas pipe kills.",
    ),
    Rule(
        "service-crossed-askew",
        "warn",
        service_crossed_askew,
        "Wire along a service picks up its current and lies in the way of whoever digs for it.",
    ),
    Rule(
        "services-not-asked",
        "warn",
        services_not_asked,
        "Any ground that is opened may hold a service.",
    ),
)
