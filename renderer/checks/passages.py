"""Narrow places: gates, and what was cut out of the lawn because the machine does not pass."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.checks.rule import Hit, Rule
from renderer.ground.lay import named
from renderer.ground.parts import mown_parts
from renderer.trade import SLIT_WIDE_M

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from renderer.checks.case import Case
    from renderer.ground.edges import Edge
    from renderer.ground.lay import Cut, CutKind, Point
    from renderer.ground.parts import MownPart

PART_M2 = 0.01
BEND_M = 5e-3  # what the wire keeps off a side beyond this and its setback is for a bend
INSIDE_M = 0.05  # a gate is one to pass when its middle lies this far inside a lawn


def gate_too_narrow(case: Case) -> Iterator[Hit]:
    """Gates within a lawn that leave less than the least passage between the wires."""
    for gate, shape in case.features("gate"):
        if gate.line is None or not _is_passed(case, shapely.centroid(shape)):
            continue
        left, right = (
            Bank(side.kind, side.setback_m)
            for side in (_nearest(case.edges, gate.line[k]) for k in (0, -1))
        )
        passage = case.plan.machine.passage_min
        needed = left.kept_m + passage + right.kept_m
        width = float(np.hypot(*np.subtract(gate.line[-1], gate.line[0])))
        if width < needed:
            is_m, needed_m = case.show.lengths(width, needed)
            message = case.words(
                "gate-too-narrow.found",
                name=gate.name,
                width=is_m,
                needed=needed_m,
                sum=_sum(case, left, passage, right),
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


@dataclass(frozen=True, slots=True)
class Bank:
    """One side of a narrow place: its kind, and what the wire keeps off it there, metres."""

    kind: str
    kept_m: float
    in_bend: bool = False  # kept for the bend of the wire round a corner, not for the setback


def _sum(case: Case, left: Bank, passage_m: float, right: Bank) -> str:
    """Setback, passage and setback as a sum in words."""
    length = case.show.length
    return case.words(
        "sum",
        one_m=length(left.kept_m),
        one=_bank_in_words(case, left),
        passage=length(passage_m),
        two_m=length(right.kept_m),
        two=_bank_in_words(case, right),
    )


def _bank_in_words(case: Case, bank: Bank) -> str:
    kind = case.words(f"kind.{bank.kind}")
    return case.words("in-bend", kind=kind) if bank.in_bend else kind


def _banks(case: Case, cut: Cut) -> tuple[Bank, Bank] | None:
    """What faces each other across a cut, nearest first."""
    place = shapely.Point(cut.at)
    near: list[tuple[float, Edge, Point]] = []
    for side in case.edges:
        if side.of == cut.lawn or side.obstacle:
            line = shapely.get_coordinates(shapely.shortest_line(place, _shape(side)))
            x, y = (line[1] - line[0]).tolist()
            near.append((float(np.hypot(x, y)) - side.setback_m, side, (x, y)))
    near.sort(key=lambda each: round(each[0], 3))  # of sides alike far off the one listed first
    if not near:
        return None
    _, first, way = near[0]
    for _, side, (x, y) in near[1:]:
        if x * way[0] + y * way[1] < 0:
            return _bank(case, cut, first, way), _bank(case, cut, side, (x, y))
    return None


def _bank(case: Case, cut: Cut, side: Edge, way: Point) -> Bank:
    """A side as the wire keeps off it at a cut: more than the setback where it rounds a corner."""
    kept = float(np.hypot(*way)) - (cut.width_m or 0.0) / 2
    radius = case.plan.machine.corner_radius
    if side.setback_m + BEND_M < kept <= radius + BEND_M:
        return Bank(side.kind, radius, in_bend=True)
    return Bank(side.kind, side.setback_m)


def _arithmetic(case: Case, cut: Cut) -> str:
    """The width from side to side that there is and that is needed, as sums."""
    banks = _banks(case, cut)
    if banks is None or cut.width_m is None:
        return ""
    one, two = banks
    passage = case.plan.machine.passage_min
    setbacks = one.kept_m + two.kept_m
    there, needed = case.show.lengths(cut.width_m + setbacks, passage + setbacks)
    total = _sum(case, one, passage, two)
    return case.words("sides", there=there, needed=needed, sum=total)


def _facts(case: Case, cut: Cut) -> dict[str, str]:
    """What the texts of all kinds of cut may tell."""
    width, needed = case.show.lengths(cut.width_m or 0.0, case.plan.machine.passage_min)
    return {
        "lawn": cut.lawn,
        "names": _names(case, cut.lawn, cut.of),
        "width": width,
        "needed": needed,
        "depth": case.show.length(cut.depth_m or 0.0),
        "area": case.show.area(cut.area_m2),
        "least": case.show.area(worth_a_ring(case)),
        "passage": case.show.length(case.plan.machine.passage_min),
        "sides": _arithmetic(case, cut) if cut.kind in ("merge", "bay", "pinch") else "",
    }


def worth_a_ring(case: Case) -> float:
    """The least area in square metres that a ring is laid round."""
    return 4.0 * case.plan.machine.passage_min**2


def _is_slit(cut: Cut) -> bool:
    return cut.width_m is not None and cut.width_m <= SLIT_WIDE_M


# The text of each kind of cut but merged islands, which have one for all of a ring.
_KEYS: dict[CutKind, Callable[[Case, Cut], str]] = {
    "overlap": lambda _, cut: (
        "islands-overlap.found" if len(cut.of) > 1 else "islands-overlap.edge"
    ),
    "bay": lambda _, cut: "island-in-bay.found",
    "pinch": lambda _, cut: "lawn-pinched.found",
    "dead_end": lambda _, cut: f"dead-end-cut.{'slit' if _is_slit(cut) else 'found'}",
    "left_out": lambda case, cut: (
        "part-left-out.small" if cut.area_m2 < worth_a_ring(case) else "part-left-out.narrow"
    ),
    "unreached": lambda _, cut: "part-unreached.island" if cut.of else "part-unreached.found",
}


def cuts(case: Case, kind: CutKind) -> Iterator[Hit]:
    """One hit for each cut of a kind."""
    for cut in case.lay.cuts:
        shut_in = kind == "unreached" and cut.of and set(cut.of) <= set(case.shut_in)
        if cut.kind == kind and not shut_in:
            about = named(cut.of) or cut.lawn
            message = case.words(_KEYS[kind](case, cut), **_facts(case, cut))
            yield Hit(message, cut.at, about, case.station(cut.at))


def islands_merged(case: Case) -> Iterator[Hit]:
    """Gaps between islands that the machine cannot pass: one hit for all round which one wire goes.

    It is at the narrowest gap, whose figures it gives.
    """
    ring_of = {
        name: f"{loop.name} {ring.id}"
        for loop in case.lay.loops
        for ring in loop.rings
        for name in ring.obstacles
    }
    groups: dict[tuple[str, str], list[Cut]] = {}
    for cut in case.lay.cuts:
        if cut.kind == "merge":
            ring = next((ring_of[name] for name in cut.of if name in ring_of), named(cut.of))
            groups.setdefault((cut.lawn, ring), []).append(cut)
    for gaps in groups.values():
        least = min(gaps, key=lambda cut: cut.width_m or 0.0)
        of = tuple(dict.fromkeys(name for cut in gaps for name in cut.of))
        key = "islands-merged.found" if len(gaps) == 1 else "islands-merged.several"
        facts = _facts(case, least) | {"names": _names(case, least.lawn, of)}
        about = named(of) or least.lawn
        yield Hit(
            case.words(key, **facts, gaps=str(len(gaps))), least.at, about, case.station(least.at)
        )


def _names(case: Case, lawn: str, of: tuple[str, ...]) -> str:
    return case.words.listed(of) if of else case.words("islands", lawn=lawn)


def island_shut_in(case: Case) -> Iterator[Hit]:
    """Islands that firm obstacles close off from the rest of the lawn."""
    for name, ground in case.shut_in.items():
        own = next(shape for obstacle, shape in case.grounds if obstacle.name == name)
        area = case.show.area(float(ground.difference(own).area))
        at = shapely.point_on_surface(own)
        message = case.words("island-shut-in.found", name=name, area=area)
        yield Hit(message, (at.x, at.y), name)


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
                length = case.show.length(float(gap.length))
                message = case.words("lawn-parted.found", lawn=lawn.name, gap=length)
                yield Hit(message, (x, y), lawn.name, case.station((x, y), loop))


def parts_carried_to(case: Case) -> Iterator[Hit]:
    """Loops of several working areas: the machine gets to the others only by hand."""
    for loop in case.lay.loops:
        parts = mown_parts(loop)
        away = [_part(case, part) for part in parts if not part.at_start]
        if away:
            home = _part(case, parts[0])
            message = case.words.count(
                "parts-carried-to.found", len(away), home=home, parts=case.words.listed(away)
            )
            yield Hit(message, parts[1].at, loop.name)


def _part(case: Case, part: MownPart) -> str:
    share = case.show.percent(round(100 * part.share))
    return case.words("mown-part", name=part.name, area=case.show.area(part.area_m2), share=share)


_WHY_RING = "A gap that the machine cannot pass must not look like a passage."

RULES = (
    Rule(
        "part-unreached",
        "stop",
        partial(cuts, kind="unreached"),
        "Ground without wire is not mown, and a ring without a lead pair carries no signal.",
    ),
    Rule(
        "island-shut-in",
        "warn",
        island_shut_in,
        "Ground behind firm obstacles without a gap is inside the wire, but it is not mown.",
    ),
    Rule(
        "gate-too-narrow",
        "warn",
        gate_too_narrow,
        "The machine needs its passage and a setback on both sides.",
    ),
    Rule(
        "lawn-pinched",
        "warn",
        partial(cuts, kind="pinch"),
        "The machine does not pass by itself; it is carried, or the neck is widened.",
    ),
    Rule(
        "lawn-parted",
        "warn",
        lawn_parted,
        "The machine does not pass by itself between working areas.",
    ),
    Rule(
        "dead-end-cut",
        "warn",
        partial(cuts, kind="dead_end"),
        "The machine does not come back out of a deep dead end.",
    ),
    Rule(
        "part-left-out",
        "warn",
        partial(cuts, kind="left_out"),
        "A ring needs room for the machine to turn.",
    ),
    Rule(
        "parts-carried-to",
        "note",
        parts_carried_to,
        "No machine crosses paving or a neck by itself: somebody carries it, or grass stays long.",
    ),
    Rule(
        "islands-overlap",
        "note",
        partial(cuts, kind="overlap"),
        "Setbacks that overlap leave no grass to mow between.",
    ),
    Rule("islands-merged", "note", islands_merged, _WHY_RING),
    Rule("island-in-bay", "note", partial(cuts, kind="bay"), _WHY_RING),
)
