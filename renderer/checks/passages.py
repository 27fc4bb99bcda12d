"""Narrow places: gates, and what was cut out of the lawn because the machine does not pass."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.checks.fact import Phrase, kind
from renderer.checks.rule import Hit, Rule
from renderer.frozen import dataclass
from renderer.ground.lay import named
from renderer.ground.parts import mown_parts
from renderer.trade import SLIT_WIDE_M

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from renderer.checks.case import Case
    from renderer.checks.fact import Fact, Facts
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
            facts: Facts = {
                "name": gate.name,
                "width_m": width,
                "needed_m": needed,
                "sum": _sum(left, passage, right),
            }
            place = shapely.centroid(shape)
            at, apart = (place.x, place.y), ("width_m", "needed_m")
            yield Hit("gate-too-narrow.found", facts, at, gate.name, case.station(at), apart)


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

    @property
    def phrase(self) -> Phrase:
        return Phrase("in-bend", {"kind": kind(self.kind)}) if self.in_bend else kind(self.kind)


def _sum(left: Bank, passage_m: float, right: Bank) -> Phrase:
    """Setback, passage and setback as a sum."""
    return Phrase(
        "sum",
        {
            "left_m": left.kept_m,
            "left_kind": left.phrase,
            "passage_m": passage_m,
            "right_m": right.kept_m,
            "right_kind": right.phrase,
        },
    )


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


def _arithmetic(case: Case, cut: Cut) -> Phrase | str:
    """The width from side to side that there is and that is needed, as sums."""
    banks = _banks(case, cut)
    if banks is None or cut.width_m is None:
        return ""
    one, two = banks
    passage = case.plan.machine.passage_min
    setbacks = one.kept_m + two.kept_m
    facts: Facts = {
        "there_m": cut.width_m + setbacks,
        "needed_m": passage + setbacks,
        "sum": _sum(one, passage, two),
    }
    return Phrase("sides", facts, ("there_m", "needed_m"))


WIDTHS = ("width_m", "needed_m")
NARROW: frozenset[CutKind] = frozenset({"merge", "bay", "pinch", "dead_end"})


def _facts(case: Case, cut: Cut) -> Facts:
    """What the texts of a kind of cut tell."""
    passage = case.plan.machine.passage_min
    facts: dict[str, Fact] = {"lawn": cut.lawn}
    if cut.of or cut.kind in ("merge", "bay", "overlap"):
        facts["names"] = _names(cut.lawn, cut.of)
    if cut.kind in NARROW:
        facts |= {"width_m": cut.width_m or 0.0, "needed_m": passage}
    if cut.kind == "dead_end":
        facts["depth_m"] = cut.depth_m or 0.0
    elif cut.kind in NARROW:
        facts["sides"] = _arithmetic(case, cut)
    if cut.kind == "left_out":
        facts |= {"least_m2": worth_a_ring(case), "passage_m": passage}
    if cut.kind in ("left_out", "unreached", "dead_end"):
        facts["area_m2"] = cut.area_m2
    return facts


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


def part_unreached(case: Case) -> Iterator[Hit]:
    """Parts of a lawn, and islands, that no lead pair and no crossing reaches."""
    return _cuts(case, "unreached")


def lawn_pinched(case: Case) -> Iterator[Hit]:
    """Places where a lawn narrows below the least passage, so that it is cut there."""
    return _cuts(case, "pinch")


def dead_end_cut(case: Case) -> Iterator[Hit]:
    """Dead ends deeper than twice the least passage and narrower than it, which are left out."""
    return _cuts(case, "dead_end")


def part_left_out(case: Case) -> Iterator[Hit]:
    """Parts of a lawn without room for the machine, or too small to be worth a ring."""
    return _cuts(case, "left_out")


def islands_overlap(case: Case) -> Iterator[Hit]:
    """Obstacles whose setbacks overlap each other or reach the edge."""
    return _cuts(case, "overlap")


def island_in_bay(case: Case) -> Iterator[Hit]:
    """Islands nearer to the outer wire than the least passage."""
    return _cuts(case, "bay")


def _cuts(case: Case, kind: CutKind) -> Iterator[Hit]:
    """One hit for each cut of a kind."""
    behind = {*case.shut_in, *case.within_firm}
    for cut in case.lay.cuts:
        closed_off = kind == "unreached" and cut.of and behind.issuperset(cut.of)
        if cut.kind == kind and not closed_off:
            about = named(cut.of) or cut.lawn
            key, apart = _KEYS[kind](case, cut), WIDTHS if kind in NARROW else ()
            yield Hit(key, _facts(case, cut), cut.at, about, case.station(cut.at), apart)


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
        facts = {**_facts(case, least), "names": _names(least.lawn, of), "gaps": len(gaps)}
        about = named(of) or least.lawn
        yield Hit(key, facts, least.at, about, case.station(least.at), WIDTHS)


def _names(lawn: str, of: tuple[str, ...]) -> Fact:
    return of or Phrase("islands", {"lawn": lawn})


def island_shut_in(case: Case) -> Iterator[Hit]:
    """Islands that firm obstacles close off from the rest of the lawn."""
    for name, ground in case.shut_in.items():
        own = next(shape for obstacle, shape in case.grounds if obstacle.name == name)
        facts: Facts = {"name": name, "area_m2": float(ground.difference(own).area)}
        at = shapely.point_on_surface(own)
        yield Hit("island-shut-in.found", facts, (at.x, at.y), name)


def island_in_solid(case: Case) -> Iterator[Hit]:
    """Islands that stand inside a firm obstacle, which keeps the machine off them by itself."""
    for name, ground in case.within_firm.items():
        at = shapely.point_on_surface(ground)
        yield Hit("island-in-solid.found", {"name": name}, (at.x, at.y), name)


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
                facts: Facts = {"lawn": lawn.name, "gap_m": float(gap.length)}
                at_m = case.station((x, y), loop)
                yield Hit("lawn-parted.found", facts, (x, y), lawn.name, at_m)


def parts_carried_to(case: Case) -> Iterator[Hit]:
    """Loops of several working areas: the machine gets to the others only by hand."""
    for loop in case.lay.loops:
        parts = mown_parts(loop)
        away = tuple(_part(part) for part in parts if not part.at_start)
        if away:
            facts: Facts = {"count": len(away), "home": _part(parts[0]), "parts": away}
            yield Hit("parts-carried-to.found", facts, parts[1].at, loop.name)


def _part(part: MownPart) -> Phrase:
    share = round(100 * part.share)
    facts: Facts = {"name": part.name, "area_m2": part.area_m2, "share_percent": share}
    return Phrase("mown-part", facts)


RULES = (
    Rule("part-unreached", "stop", part_unreached),
    Rule("island-shut-in", "warn", island_shut_in),
    Rule("gate-too-narrow", "warn", gate_too_narrow),
    Rule("lawn-pinched", "warn", lawn_pinched),
    Rule("lawn-parted", "warn", lawn_parted),
    Rule("dead-end-cut", "warn", dead_end_cut),
    Rule("part-left-out", "warn", part_left_out),
    Rule("parts-carried-to", "note", parts_carried_to),
    Rule("islands-overlap", "note", islands_overlap),
    Rule("islands-merged", "note", islands_merged),
    Rule("island-in-bay", "note", island_in_bay),
    Rule("island-in-solid", "note", island_in_solid),
)
