"""From the survey of a plan file to points: what its readings give, with lines for errors."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot
from typing import TYPE_CHECKING, Any

from pydantic import ValidationError

from renderer.plan.complaints import complaints
from renderer.plan.errors import Problem, Problems, nearest
from renderer.plan.rules import raise_all, survey_problems
from renderer.plan.survey import Leg, Survey, SurveyedPoint, Taped, TieRow
from renderer.progress import doing
from renderer.survey.network import Kind, Network, Reading, Sight, SurveyError, Where

if TYPE_CHECKING:
    from renderer.survey.solve import Solution

XY = tuple[float, float]

READINGS_MAX = 1_000  # slips among more take longer to look for than anyone waits
DECIMALS = 4  # adjusted coordinates are rounded to a tenth of a millimetre, as the laid path is


def solved(survey: Survey) -> Solution:
    """The adjustment of a survey's readings, in its coordinates."""
    from renderer.survey.solve import solve

    return solve(network_of(survey))


def survey_of(held: dict[str, Any], context: dict[str, Any]) -> Survey:
    """The survey that a plan file holds, with the points that its readings come to.

    ``context`` names the file's unit, as ``units``. Raises Problems, placed in the survey.
    """
    survey, solution = survey_and_solution(held, context, advise=False)
    return _with_points_of(survey, solution)


def survey_and_solution(
    held: dict[str, Any], context: dict[str, Any], *, advise: bool = True
) -> tuple[Survey, Solution]:
    """The same before it has its points, and the adjustment that gives them, worked out once."""
    try:
        survey = Survey.model_validate(held, context=context)
    except ValidationError as error:
        raise Problems(complaints(error, Survey)) from None
    if held.get("called_in") is None:
        survey = survey.model_copy(update={"called_in": context["units"]})
    raise_all(survey_problems(survey))
    return survey, _solution(survey, advise)


def _solution(survey: Survey, advise: bool) -> Solution:
    from renderer.survey.solve import solve

    if len(survey.points) < 2 and not any(leg.bearing is not None for leg in survey.traverse):
        problem = "readings need two fixed points to start from"
        raise Problems.of(problem, "add them: {name: A, at: [0, 0]}", ("points",))
    network = network_of(survey)
    if len(network.readings) > READINGS_MAX:
        problem = f"holds {len(network.readings):,} readings, more than {READINGS_MAX:,}"
        raise Problems.of(problem, "leave out repeated ones, or split the garden into plans", ())
    try:
        with doing("adjusting the survey"):
            return solve(network, advise=advise)
    except SurveyError as error:
        told = (Problem(each.where, each.problem, each.cure) for each in error.troubles)
        raise Problems(_with_hint(item, survey) for item in told) from None


def _with_points_of(survey: Survey, solution: Solution) -> Survey:
    points = tuple(
        SurveyedPoint(
            name=point.name,
            at=(round(point.at[0], DECIMALS) + 0.0, round(point.at[1], DECIMALS) + 0.0),
            sigma_x=round(point.sigma_x, 6),
            sigma_y=round(point.sigma_y, 6),
            major=round(point.ellipse.major, 6),
            minor=round(point.ellipse.minor, 6),
            azimuth_deg=round(point.ellipse.azimuth_deg, 4),
            state=point.state,
            unseen=None if point.unseen_m is None else round(point.unseen_m, 4),
        )
        for point in solution.points
    )
    return survey.model_copy(update={"adjusted": points})


def _with_hint(item: Problem, survey: Survey) -> Problem:
    """Says so where a name is nearly that of a fixed point."""
    name = str(item.loc[-1]) if item.loc else ""
    near = nearest(name, [point.name for point in survey.points])
    if near is None or near == name or len(name) < 3:
        return item
    return item._replace(cure=f"{item.cure}; or did you mean '{near}'?")


def network_of(survey: Survey) -> Network:
    """The readings as the adjustment takes them."""
    fixed = {point.name: point.at for point in survey.points}
    first_two = tuple(fixed)[:2]
    sight = None
    if survey.side is not None and len(first_two) == 2:
        sight = Sight((first_two[0], first_two[1]), survey.side)
    return Network(
        fixed,
        tuple(_readings(survey)),
        dict(_sights(survey.ties, first_two)),
        sight,
        tuple(_runs(survey.traverse)),
        survey.called_in,
    )


def _sights(rows: tuple[TieRow, ...], first_two: tuple[str, ...]) -> Iterator[tuple[str, Sight]]:
    for row in rows:
        line = row.line or first_two
        if row.side is not None and len(line) == 2:
            yield row.point, Sight((line[0], line[1]), row.side)


def _readings(survey: Survey) -> Iterator[Reading]:
    for row in survey.ties:
        for other, taped in row.tapes:
            yield from _tape(survey, (other, row.point), taped, ("ties", row.point, other))
    for index, side in enumerate(survey.sides):
        yield from _tape(survey, side.of, side.taped, ("sides", index))
    for index, line in enumerate(survey.offsets):
        sigma = line.sigma or survey.sigma.offset
        for point in line.points:
            of = (*line.line, point.point)
            where = ("offsets", index, "points", point.point)
            yield Reading("along", of, point.along, sigma, where=where)
            yield Reading("off", of, point.off, sigma, where=where)
    before: Leg | None = None
    for index, leg in enumerate(survey.traverse):
        yield from _leg(survey, leg, before, ("traverse", index))
        before = leg
    for index, angle in enumerate(survey.angles):
        of = (angle.at, angle.start, angle.to)
        sigma = angle.sigma or survey.sigma.angle
        yield Reading("angle", of, angle.reads, sigma, angle.taken_as, where=("angles", index))


def _tape(survey: Survey, of: tuple[str, str], taped: Taped, where: Where) -> Iterator[Reading]:
    if not taped.left_out:
        sigma = taped.sigma or survey.sigma.tape
        level = _level(taped.slope)
        yield Reading("tape", of, taped.reads, sigma, taped.taken_as, level, where)


def _level(slope: float | None) -> float:
    """The ratio of a length on the level to the length along the slope."""
    return 1.0 / hypot(1.0, (slope or 0.0) / 100.0)


def _leg(survey: Survey, leg: Leg, before: Leg | None, where: Where) -> Iterator[Reading]:
    of = (leg.start, leg.to)
    sigma = leg.sigma or survey.sigma.tape
    yield Reading("tape", of, leg.reads, sigma, leg.taken_as, _level(leg.slope), where)
    if leg.bearing is not None:
        spread = leg.turn_sigma or survey.sigma.bearing
        yield Reading("bearing", of, leg.bearing, spread, where=(*where, "bearing"))
    elif leg.angle is not None:
        back = leg.back or (before.start if before and before.to == leg.start else None)
        if back is None:
            problem = "no leg comes before this one for the angle to be turned from"
            raise Problems.of(problem, "add 'back' with the point it was turned from", where)
        kind: Kind = "angle"
        spread = leg.turn_sigma or survey.sigma.angle
        turned = (leg.start, back, leg.to)
        yield Reading(kind, turned, leg.angle, spread, where=(*where, "angle"))


def _runs(legs: tuple[Leg, ...]) -> Iterator[tuple[str, ...]]:
    """The runs of a traverse: legs that go on from each other."""
    run: list[str] = []
    for leg in legs:
        if run and run[-1] != leg.start:
            yield tuple(run)
            run = []
        run = [*(run or [leg.start]), leg.to]
    if run:
        yield tuple(run)
