"""What must hold between the values of a plan. Each function gives the problems it finds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from renderer.plan.errors import Problem, Problems, did_you_mean
from renderer.plan.record_rules import record_places, record_problems
from renderer.plan.rings import (
    EXTENT_MAX_M,
    extent,
    repeated_points,
    ring_problems,
    thing_points,
)

if TYPE_CHECKING:
    from renderer.plan.model import Feature, Lawn, Obstacle, Plan
    from renderer.plan.survey import Survey

XY = tuple[float, float]


def raise_all(problems: Iterable[Problem]) -> None:
    """Raise Problems where there is at least one."""
    found = tuple(problems)
    if found:
        raise Problems(found)


def lawn_problems(lawn: Lawn) -> list[Problem]:
    """An outline that is not a proper shape."""
    corners = [vertex.at for vertex in lawn.outline]
    return ring_problems(corners, "outline", [vertex.through for vertex in lawn.outline])


def obstacle_problems(obstacle: Obstacle) -> list[Problem]:
    """A polygon that is not a proper shape; a depth where there cannot be one."""
    found = ring_problems(obstacle.polygon, "polygon") if obstacle.polygon is not None else []
    if obstacle.depth is not None and obstacle.kind != "water":
        found.append(Problem(("depth",), "only water can have a depth", "leave it out"))
    return found


def feature_problems(feature: Feature) -> list[Problem]:
    """A shape that cannot be drawn; a slope without its area or percent."""
    found: list[Problem] = []
    if feature.polygon is not None:
        found += ring_problems(feature.polygon, "polygon")
    if feature.line is not None:
        if len(feature.line) < 2:
            found.append(Problem(("line",), "it has fewer than 2 points", "give at least 2 points"))
        found += repeated_points(feature.line, "line")
    if feature.kind == "slope":
        if feature.percent is None:
            cure = "add percent, the rise in 100: percent: 25"
            found.append(Problem(("percent",), "the steepness of the slope is missing", cure))
        if feature.polygon is None and feature.circle is None:
            found.append(Problem((), "a slope needs an area", "give it a polygon or a circle"))
    elif feature.downhill is not None:
        found.append(Problem(("downhill",), "only a slope can have 'downhill'", "leave it out"))
    if feature.carries is not None and feature.kind not in ("buried cable", "buried pipe"):
        problem = "only a buried cable or pipe can have 'carries'"
        found.append(Problem(("carries",), problem, "leave it out"))
    return found


def plan_problems(plan: Plan) -> Iterator[Problem]:
    """Names that occur twice or lead nowhere, missing setbacks, things far from everything else."""
    for key, values in (
        ("lawns", plan.lawns),
        ("obstacles", plan.obstacles),
        ("loops", plan.loops),
    ):
        yield from _double_names(key, [value.name for value in values])
    yield from (
        problem._replace(loc=("survey", *problem.loc)) for problem in survey_problems(plan.survey)
    )
    yield from _loops(plan)
    yield from _crossings(plan)
    yield from _setbacks(plan)
    yield from _far_apart(plan)
    yield from record_problems(plan)
    if plan.position is not None and plan.north is None:
        problem = "a position needs to know where north is on the plan"
        yield Problem(("position",), problem, "add 'north', degrees clockwise from the plan's y")


def survey_problems(survey: Survey) -> Iterator[Problem]:
    """Fixed points with one name; readings between a point and itself."""
    yield from _double_names("points", [point.name for point in survey.points])
    for row in survey.ties:
        if row.point in dict(row.tapes):
            where = ("ties", row.point, row.point)
            yield Problem(where, f"a tape from {row.point} to itself", "name another point")
    for index, side in enumerate(survey.sides):
        if side.of[0] == side.of[1]:
            problem = f"a tape from {side.of[0]} to itself"
            yield Problem(("sides", index), problem, "name another point")


def _double_names(key: str, names: Sequence[str]) -> Iterator[Problem]:
    seen: dict[str, int] = {}
    for index, name in enumerate(names):
        first = seen.setdefault(" ".join(name.casefold().split()), index)
        if first != index:
            problem = f"the name '{name}' is already used by {key}[{first}]"
            yield Problem((key, index, "name"), problem, "give each a name of its own")


def _loops(plan: Plan) -> Iterator[Problem]:
    names = [loop.name for loop in plan.loops]
    known = set(names)
    for index, lawn in enumerate(plan.lawns):
        if lawn.loop not in known:
            where = ("lawns", index, "loop")
            left_out = " (the one used where none is named)" if lawn.loop == "main" else ""
            yield Problem(
                where, f"no loop is named '{lawn.loop}'{left_out}", _one(lawn.loop, names)
            )
    used = {lawn.loop for lawn in plan.lawns}
    for index, name in enumerate(names):
        if name not in used:
            cure = f"add 'loop: {name}' to a lawn, or leave the loop out"
            yield Problem(("loops", index), f"no lawn is on the loop '{name}'", cure)


def _crossings(plan: Plan) -> Iterator[Problem]:
    names = [lawn.name for lawn in plan.lawns]
    loop_of = {lawn.name: lawn.loop for lawn in plan.lawns}
    for number, loop in enumerate(plan.loops):
        for index, crossing in enumerate(loop.crossings):
            for end, name in enumerate(crossing.between):
                where = ("loops", number, "crossings", index, "between", end)
                if name not in loop_of:
                    yield Problem(where, f"no lawn is named '{name}'", _one(name, names))
                elif loop_of[name] != loop.name:
                    problem = f"the lawn '{name}' is on the loop '{loop_of[name]}', not on this one"
                    yield Problem(where, problem, "name lawns of the same loop")


def _one(name: str, names: Sequence[str]) -> str:
    return did_you_mean(name, names) or f"name one of: {', '.join(names)}"


def _setbacks(plan: Plan) -> Iterator[Problem]:
    users: dict[str, str] = {}
    for lawn in plan.lawns:
        for vertex in lawn.outline:
            users.setdefault(vertex.side, f"a side of the lawn '{lawn.name}'")
    for obstacle in plan.obstacles:
        users.setdefault(obstacle.kind, f"the obstacle '{obstacle.name}'")
    for kind, user in users.items():
        if kind != "firm" and kind not in plan.machine.setback:
            where = ("machine", "setback", kind)
            cure = f"add '{kind}' from the maker's manual"
            yield Problem(where, f"the setback that {user} needs is missing", cure)


def _far_apart(plan: Plan) -> Iterator[Problem]:
    """The first thing that lies absurdly far from the first lawn: a slip in a number or unit."""
    home = plan.lawns[0].outline[0].at
    for loc, points in _places(plan):
        if extent([home, *points]) > EXTENT_MAX_M:
            problem = f"it lies more than {EXTENT_MAX_M / 1000:.0f} km from the first lawn"
            yield Problem(loc, problem, "check the numbers and the unit")
            return


def _places(plan: Plan) -> Iterator[tuple[tuple[str | int, ...], Sequence[XY]]]:
    for index, lawn in enumerate(plan.lawns):
        yield ("lawns", index, "outline"), [vertex.at for vertex in lawn.outline]
    for index, obstacle in enumerate(plan.obstacles):
        yield ("obstacles", index), thing_points(obstacle)
    for index, feature in enumerate(plan.features):
        yield ("features", index), thing_points(feature)
    for index, point in enumerate(plan.survey.points):
        yield ("survey", "points", index, "at"), [point.at]
    for index, loop in enumerate(plan.loops):
        for name in ("dock", "generator", "supply"):
            held = getattr(loop, name)
            if held is not None:
                yield ("loops", index, name, "at"), [held.at]
        if loop.supply is not None:
            yield ("loops", index, "supply", "via"), loop.supply.via
        for number, crossing in enumerate(loop.crossings):
            yield ("loops", index, "crossings", number, "via"), crossing.via
    yield from record_places(plan)
