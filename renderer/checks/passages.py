"""Narrow places: gates, and what was cut out of the lawn because the machine does not pass."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.checks.rule import Hit, Rule
from renderer.plan.show import listed

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from renderer.checks.case import Case
    from renderer.ground.edges import Edge
    from renderer.ground.lay import Cut, CutKind, Point

PART_M2 = 0.01
INSIDE_M = 0.05  # a gate is one to pass when its middle lies this far inside a lawn


def gate_too_narrow(case: Case) -> Iterator[Hit]:
    """Gates within a lawn that leave less than the least passage between the wires."""
    for gate, shape in case.features("gate"):
        if gate.line is None or not _is_passed(case, shapely.centroid(shape)):
            continue
        left, right = _nearest(case.edges, gate.line[0]), _nearest(case.edges, gate.line[-1])
        passage = case.plan.machine.passage_min
        needed = left.setback_m + passage + right.setback_m
        width = float(np.hypot(*np.subtract(gate.line[-1], gate.line[0])))
        if width < needed:
            is_m, needed_m = case.show.lengths(width, needed)
            message = (
                f"{gate.name} is {is_m} wide; the machine needs {needed_m}: "
                f"{_sum(case, left, passage, right)}"
            )
            at = shapely.centroid(shape)
            yield Hit(message, (at.x, at.y), gate.name, case.station((at.x, at.y)))


def _is_passed(case: Case, place: shapely.Point) -> bool:
    return any(
        shapely.contains(lawn.outline, place)
        and shapely.distance(lawn.outline.exterior, place) > INSIDE_M
        for lawn in case.lay.lawns
    )


def _nearest(sides: Iterable[Edge], place: Point) -> Edge:
    point = shapely.Point(place)
    return min(sides, key=lambda side: float(shapely.distance(_shape(side), point)))


def _shape(side: Edge) -> shapely.LineString:
    return shapely.LineString(side.points)


def _sum(case: Case, left: Edge, passage_m: float, right: Edge) -> str:
    """Setback, passage and setback as a sum in words."""
    length = case.show.length
    return (
        f"{length(left.setback_m)} {left.kind} + {length(passage_m)} between the wires "
        f"+ {length(right.setback_m)} {right.kind}"
    )


def _banks(case: Case, cut: Cut) -> tuple[Edge, Edge] | None:
    """The sides or obstacles that face each other across a cut, nearest first."""
    place = shapely.Point(cut.at)
    near: list[tuple[float, Edge, Point]] = []
    for side in case.edges:
        if side.of == cut.lawn or side.obstacle:
            line = shapely.get_coordinates(shapely.shortest_line(place, _shape(side)))
            x, y = (line[1] - line[0]).tolist()
            near.append((float(np.hypot(x, y)) - side.setback_m, side, (x, y)))
    near.sort(key=lambda each: each[0])
    if not near:
        return None
    _, first, way = near[0]
    for _, side, (x, y) in near[1:]:
        if x * way[0] + y * way[1] < 0:
            return first, side
    return None


def _arithmetic(case: Case, cut: Cut) -> str:
    """The width from side to side that there is and that is needed, as sums."""
    banks = _banks(case, cut)
    if banks is None or cut.width_m is None:
        return ""
    one, two = banks
    passage = case.plan.machine.passage_min
    setbacks = one.setback_m + two.setback_m
    there, needed = case.show.lengths(cut.width_m + setbacks, passage + setbacks)
    return (
        f"; from side to side about {there} of the {needed} needed, {_sum(case, one, passage, two)}"
    )


def _width(case: Case, cut: Cut) -> tuple[str, str]:
    is_m, needed = case.show.lengths(cut.width_m or 0.0, case.plan.machine.passage_min)
    return is_m, needed


def _overlap(case: Case, cut: Cut) -> str:
    if len(cut.of) > 1:
        return f"The setbacks of {_names(cut)} overlap, so one ring goes round them"
    return f"The setback of {_names(cut)} reaches the edge of {cut.lawn}, so the edge goes round it"


def _merge(case: Case, cut: Cut) -> str:
    is_m, needed = _width(case, cut)
    return (
        f"{_names(cut)} are {is_m} apart from wire to wire, the machine needs {needed}, "
        f"so one ring goes round them{_arithmetic(case, cut)}"
    )


def _bay(case: Case, cut: Cut) -> str:
    is_m, needed = _width(case, cut)
    return (
        f"{_names(cut)} is {is_m} from the edge of {cut.lawn} from wire to wire, the machine needs "
        f"{needed}, so the edge goes round it{_arithmetic(case, cut)}"
    )


def _pinch(case: Case, cut: Cut) -> str:
    is_m, needed = _width(case, cut)
    return (
        f"{cut.lawn} narrows to {is_m} from wire to wire, the machine needs {needed}, "
        f"so it becomes two working areas{_arithmetic(case, cut)}"
    )


def _dead_end(case: Case, cut: Cut) -> str:
    is_m, needed = _width(case, cut)
    return (
        f"A dead end of {cut.lawn}, {case.show.length(cut.depth_m or 0.0)} deep and {is_m} wide at "
        f"its mouth (the machine needs {needed}), is left out: "
        f"{case.show.area(cut.area_m2)} to cut by hand"
    )


def _left_out(case: Case, cut: Cut) -> str:
    least = 4 * case.plan.machine.passage_min**2
    if cut.area_m2 < least:
        why = f"less than the {case.show.area(least)} that is worth a ring"
    else:
        why = f"nowhere {case.show.length(case.plan.machine.passage_min)} wide"
    return f"A part of {cut.lawn} of {case.show.area(cut.area_m2)} is left out: {why}"


def _unreached(case: Case, cut: Cut) -> str:
    if cut.of:
        return f"No lead pair finds a way to the ring round {_names(cut)}"
    area = case.show.area(cut.area_m2)
    return f"Neither a lead pair nor a crossing reaches a part of {cut.lawn} of {area}"


def _names(cut: Cut) -> str:
    """The obstacles of a cut in a sentence, or the lawn where it names none."""
    return listed(cut.of) if cut.of else f"islands of {cut.lawn}"


Told = dict["CutKind", "Callable[[Case, Cut], str]"]

_TOLD: Told = {
    "overlap": _overlap,
    "merge": _merge,
    "bay": _bay,
    "pinch": _pinch,
    "dead_end": _dead_end,
    "left_out": _left_out,
    "unreached": _unreached,
}


def cuts(case: Case, kind: CutKind) -> Iterator[Hit]:
    """One hit for each cut of a kind."""
    for cut in case.lay.cuts:
        if cut.kind == kind:
            about = " + ".join(cut.of) or cut.lawn
            yield Hit(_TOLD[kind](case, cut), cut.at, about, case.station(cut.at))


def lawn_parted(case: Case) -> Iterator[Hit]:
    """Lawns that setbacks alone part into several working areas of their loop."""
    for loop in case.lay.loops:
        for lawn in case.lawns_of(loop.name):
            grounds = [
                ground
                for ground in shapely.get_parts(lawn.allowed)
                if len(lawn.allowed.geoms) > 1
                and shapely.intersection(ground, loop.working).area > PART_M2
            ]
            for k, ground in enumerate(grounds[1:], 1):
                gap = shapely.shortest_line(shapely.union_all(grounds[:k]), ground)
                x, y = shapely.get_coordinates(gap).mean(axis=0).tolist()
                message = (
                    f"Setbacks alone part {lawn.name}: no ground for wire over "
                    f"{case.show.length(float(gap.length))}, so it becomes several working areas"
                )
                yield Hit(message, (x, y), lawn.name, case.station((x, y), loop))


_WHY_RING = "A gap that the machine cannot pass must not look like a passage."

RULES = (
    Rule(
        "part-unreached",
        "stop",
        partial(cuts, kind="unreached"),
        "Ground without wire is not mown, and a ring without a lead pair carries no signal.",
        "Add a crossing to it, give it a loop of its own, or take it off the plan",
    ),
    Rule(
        "gate-too-narrow",
        "warn",
        gate_too_narrow,
        "The machine needs its passage and a setback on both sides.",
        "Widen it, carry the machine, or give the part beyond a loop of its own",
    ),
    Rule(
        "lawn-pinched",
        "warn",
        partial(cuts, kind="pinch"),
        "The machine does not pass by itself; it is carried, or the neck is widened.",
        "Tell the customer, or widen the neck",
    ),
    Rule(
        "lawn-parted",
        "warn",
        lawn_parted,
        "The machine does not pass by itself between working areas.",
        "Tell the customer; a crossing from the lawn to itself joins the parts",
    ),
    Rule(
        "dead-end-cut",
        "warn",
        partial(cuts, kind="dead_end"),
        "The machine does not come back out of a deep dead end.",
        "Widen it, or tell the customer that it is cut by hand",
    ),
    Rule(
        "part-left-out",
        "warn",
        partial(cuts, kind="left_out"),
        "A ring needs room for the machine to turn.",
        "Tell the customer that it is cut by hand",
    ),
    Rule(
        "islands-overlap",
        "note",
        partial(cuts, kind="overlap"),
        "Setbacks that overlap leave no grass to mow between.",
        "Nothing, unless the setbacks are wrong",
    ),
    Rule("islands-merged", "note", partial(cuts, kind="merge"), _WHY_RING, "Nothing to do"),
    Rule("island-in-bay", "note", partial(cuts, kind="bay"), _WHY_RING, "Nothing to do"),
)
