"""What the survey leaves unsure: points in question, points that nothing checks, loose edges."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

import shapely

from renderer.checks.case import where_nearest
from renderer.checks.fact import kind
from renderer.checks.rule import Hit, Rule
from renderer.frozen import dataclass
from renderer.ground.outline import lawn_sides
from renderer.plan.kinds import BORDERS
from renderer.trade import SURVEY_SURE_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shapely.geometry.base import BaseGeometry

    from renderer.checks.case import Case
    from renderer.checks.fact import Facts
    from renderer.ground.lay import Point
    from renderer.plan.model import Obstacle, Plan
    from renderer.plan.survey import SurveyedPoint

WITHIN_95 = 1.96  # deviations along one direction, that hold 95 %


@dataclass(frozen=True, slots=True)
class Held:
    """A side, or the edge of an obstacle, that a surveyed point holds in place.

    ``across`` is the direction in which the wire lies off it; nothing where it is all round.
    """

    point: SurveyedPoint
    of: str
    kind: str
    across: Point | None

    @property
    def sure_m(self) -> float:
        """How far towards the wire the edge may be off, in 95 cases of 100."""
        point = self.point
        if self.across is None:
            return WITHIN_95 * point.major
        turn = math.atan2(*self.across) - math.radians(point.azimuth_deg)
        return WITHIN_95 * math.hypot(point.major * math.cos(turn), point.minor * math.sin(turn))


def held_edges(plan: Plan) -> Iterator[Held]:
    """Every side and obstacle with each surveyed point that holds it."""
    found = {point.at: point for point in plan.survey.adjusted}
    if not found:
        return
    for lawn in plan.lawns:
        corners = [*lawn.outline, lawn.outline[0]]
        for start, end in pairwise(corners):
            places = (start.at, *((start.through,) if start.through else ()), end.at)
            across = _across(start.at, end.at)
            for at in places:
                if at in found:
                    yield Held(found[at], lawn.name, start.side, across)
    for obstacle in plan.obstacles:
        for at, off in _edge_points(obstacle):
            if at in found:
                yield Held(found[at], obstacle.name, obstacle.kind, off)


def _edge_points(obstacle: Obstacle) -> Iterator[tuple[Point, Point | None]]:
    if obstacle.circle is not None:
        for at in obstacle.circle.through or (obstacle.circle.at,):
            yield at, None
    corners = [*(obstacle.polygon or ())]
    for start, end in pairwise([*corners, *corners[:1]]):
        yield start, _across(start, end)
        yield end, _across(start, end)


def _across(start: Point, end: Point) -> Point:
    return (end[1] - start[1], start[0] - end[0])


def in_question(case: Case) -> Iterator[Hit]:
    """Points involved in a reading that does not fit."""
    for point in case.plan.survey.adjusted:
        if point.state == "in question":
            yield Hit("survey-in-question.found", {"point": point.name}, point.at, point.name)


def at_hazard(case: Case) -> Iterator[Hit]:
    """Water, drops and roads whose position depends on a point that nobody can vouch for."""
    told: set[tuple[str, str]] = set()
    for held in held_edges(case.plan):
        loose = held.point.state != "controlled"
        if BORDERS[held.kind].hazard and loose and (held.of, held.point.name) not in told:
            told.add((held.of, held.point.name))
            key = f"unsure-at-hazard.{held.point.state.replace(' ', '-')}"
            facts: Facts = {"kind": kind(held.kind), "of": held.of, "point": held.point.name}
            yield Hit(key, facts, held.point.at, held.point.name)


def uncontrolled(case: Case) -> Iterator[Hit]:
    """Corners and obstacles that a slip could shift unnoticed."""
    told: set[str] = set()
    for held in held_edges(case.plan):
        point = held.point
        if point.state == "uncontrolled" and point.name not in told:
            told.add(point.name)
            far = "any" if point.unseen is None else "far"
            facts: Facts = {"point": point.name}
            if point.unseen is not None:
                facts = {**facts, "away_m": point.unseen}
            yield Hit(f"survey-uncontrolled.{far}", facts, point.at, point.name)


def setback_unsure(case: Case) -> Iterator[Hit]:
    """Setbacks that hold only if a point is better than it is; the worst of each side's kind."""
    worst: dict[tuple[str, str], Held] = {}
    for held in held_edges(case.plan):
        key = (held.of, held.kind)
        if held.sure_m <= SURVEY_SURE_M or held.kind not in case.plan.machine.setback:
            continue
        if key not in worst or held.sure_m > worst[key].sure_m:
            worst[key] = held
    for held in worst.values():
        needed_m = case.plan.machine.setback[held.kind]
        facts: Facts = {
            "kind": kind(held.kind),
            "of": held.of,
            "point": held.point.name,
            "sure_m": held.sure_m,
            "needed_m": needed_m,
            "least_m": max(0.0, needed_m - held.sure_m),
        }
        apart = ("sure_m", "needed_m", "least_m")
        yield Hit("setback-unsure.found", facts, held.point.at, held.of, apart=apart)


def passage_unsure(case: Case) -> Iterator[Hit]:
    """Passages beside an obstacle that are wide enough only if the points there are."""
    loose = _looseness(case.plan)
    if not loose:
        return
    least = case.plan.machine.passage_min
    for name, ground, setback, own in _obstacles(case, loose):
        for other, shape, other_setback, theirs in _beside(case, loose, name, ground):
            apart, at = where_nearest(ground, shape)
            width, sure = apart - setback - other_setback, WITHIN_95 * math.hypot(own, theirs)
            if 0.0 <= width - least < sure:
                facts: Facts = {
                    "one": name,
                    "two": other,
                    "width_m": width,
                    "needed_m": least,
                    "sure_m": sure,
                }
                fine = ("width_m", "needed_m", "sure_m")
                yield Hit("passage-unsure.found", facts, at, name, apart=fine)


def _looseness(plan: Plan) -> dict[Point, float]:
    return {point.at: point.major for point in plan.survey.adjusted}


Beside = tuple[str, "BaseGeometry", float, float]


def _obstacles(case: Case, loose: dict[Point, float]) -> Iterator[Beside]:
    """Obstacles that wire goes round: name, ground, setback, and the deviation of their points."""
    for obstacle, ground in case.grounds:
        setback = case.plan.machine.setback.get(obstacle.kind)
        if setback is not None:
            spread = max((loose.get(at, 0.0) for at, _ in _edge_points(obstacle)), default=0.0)
            yield obstacle.name, ground, setback, spread


def _beside(
    case: Case, loose: dict[Point, float], name: str, ground: BaseGeometry
) -> Iterator[Beside]:
    """What bounds the grass round an obstacle: the obstacles listed before it, and lawn sides."""
    for other in _obstacles(case, loose):
        if other[0] == name:
            break
        yield other
    for lawn, ground_of in zip(case.plan.lawns, case.lay.lawns, strict=True):
        if not shapely.intersects(ground_of.outline, ground):
            continue
        ends = [*lawn.outline, lawn.outline[0]]
        for (start, end), side in zip(pairwise(ends), lawn_sides(lawn), strict=False):
            spread = max(loose.get(at, 0.0) for at in (start.at, end.at))
            setback = case.plan.machine.setback[start.side]
            yield lawn.name, shapely.linestrings(side.points), setback, spread


RULES = (
    Rule("unsure-at-hazard", "stop", at_hazard),
    Rule("survey-in-question", "warn", in_question),
    Rule("survey-uncontrolled", "warn", uncontrolled),
    Rule("setback-unsure", "warn", setback_unsure),
    Rule("passage-unsure", "warn", passage_unsure),
)
