"""What a plan already says, as rows of the survey form's tables."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from renderer.language.numbers import NO_BREAK
from renderer.sheets.measure import Measure

if TYPE_CHECKING:
    from renderer.plan.model import Feature, Plan

Values = Sequence[str]
YES_NO = ("yes", "no")
TAPED_FROM = 3  # fixed points that the form has columns for
DITTO = "″"


def offsets(plan: Plan, measure: Measure) -> Iterator[Values]:
    """The points set off lines: how far along, how far off it, on the left or the right."""
    for line in plan.survey.offsets:
        for each in line.points:
            lengths = measure.bare(each.along), measure.bare(abs(each.off))
            yield each.point, *line.line, *lengths, "left" if each.off >= 0 else "right", ""


def points(plan: Plan, measure: Measure) -> Iterator[Values]:
    """The reference points: name, place, what it is."""
    for point in plan.survey.points:
        yield point.name, *_xy(point.at, measure), point.what


def ties(plan: Plan, measure: Measure) -> Iterator[Values]:
    """The tapes to each point from the first three fixed points, and on to the next point.

    The note says ``socket`` at the point where a loop is plugged in.
    """
    survey = plan.survey
    houses = [point.name for point in survey.points][:TAPED_FROM]
    plugged = {loop.supply.at for loop in plan.loops if loop.supply}
    sockets_at = {point.name for point in survey.adjusted if point.at in plugged}
    after: dict[str, tuple[str, float]] = {}
    for side in survey.sides:
        after.setdefault(side.of[0], (side.of[1], side.taped.reads))
    for row in survey.ties:
        tapes = dict(row.tapes)
        read = [measure.bare(tapes[name].reads) if name in tapes else "" for name in houses]
        onward, length = after.get(row.point, ("", 0.0))
        to_next = f"{onward} {measure.bare(length)}" if onward else ""
        blank = [""] * (TAPED_FROM - len(read))
        note = "socket" if row.point in sockets_at else ""
        yield row.point, *read, *blank, to_next, row.side or "", note


def outlines(plan: Plan, measure: Measure) -> Iterator[Values]:
    """A row for each corner of each lawn, the name in its first."""
    for lawn in plan.lawns:
        for number, corner in enumerate(lawn.outline, 1):
            through = _pair(corner.through, measure) if corner.through else ""
            name = lawn.name if number == 1 else DITTO
            yield name, str(number), *_xy(corner.at, measure), corner.side, through


def obstacles(plan: Plan, measure: Measure) -> Iterator[Values]:
    """The obstacles, round or by their corners."""
    for thing in plan.obstacles:
        circle = thing.circle
        at = _xy(circle.at, measure) if circle else ("", "")
        radius = measure.bare(circle.radius) if circle else ""
        yield thing.name, thing.kind, *at, radius, _pairs(thing.polygon, measure)


def features(plan: Plan, measure: Measure) -> Iterator[Values]:
    """The features but for the sockets, which have a table to themselves."""
    for thing in plan.features:
        if thing.kind == "socket" and thing.at:
            continue
        radius = thing.radius or (thing.circle.radius if thing.circle else None)
        yield (
            thing.name,
            thing.kind,
            _course(thing, measure),
            measure.numbers.plain(thing.percent) if thing.percent is not None else "",
            measure.bare(radius) if radius is not None else "",
            measure.bare(thing.depth) if thing.depth is not None else "",
            thing.located.isoformat() if thing.located else "",
        )


def _course(thing: Feature, measure: Measure) -> str:
    """A feature's place: its point, its middle, or the points of its line or area."""
    at = thing.at or (thing.circle.at if thing.circle else None)
    return _pair(at, measure) if at else _pairs(thing.line or thing.polygon, measure)


def sockets(plan: Plan, measure: Measure) -> Iterator[Values]:
    """The sockets with what is known of their protection."""
    for thing in plan.features:
        if thing.kind == "socket" and thing.at:
            marks = ("" if m is None else YES_NO[not m] for m in (thing.protected, thing.outdoor))
            yield thing.name, *_xy(thing.at, measure), *marks


def loops(plan: Plan, measure: Measure) -> Iterator[Values]:
    """The loops: where each starts, and its supply."""
    for loop in plan.loops:
        dock = _pair(loop.dock.at, measure) if loop.dock else ""
        generator = _pair(loop.generator.at, measure) if loop.generator else ""
        mounted = loop.generator.mounted if loop.generator else ""
        supply = _pair(loop.supply.at, measure) if loop.supply else ""
        lead = measure.bare(loop.supply.lead) if loop.supply and loop.supply.lead else ""
        yield loop.name, dock, generator, mounted, supply, lead


def crossings(plan: Plan, measure: Measure) -> Iterator[Values]:
    """The crossings with the ground they pass under."""
    for loop in plan.loops:
        for crossing in loop.crossings:
            between = ", ".join(crossing.between)
            yield loop.name, between, _pairs(crossing.via, measure), crossing.under


def _xy(at: tuple[float, float], measure: Measure) -> tuple[str, str]:
    return measure.bare(at[0]), measure.bare(at[1])


def _pair(at: tuple[float, float], measure: Measure) -> str:
    return f",{NO_BREAK}".join(_xy(at, measure))


def _pairs(points: Sequence[tuple[float, float]] | None, measure: Measure) -> str:
    return "; ".join(_pair(point, measure) for point in points or ())
