"""What stands too close: sprinkler heads and firm obstacles at the wire, rings too small."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.checks.case import middle, where_nearest
from renderer.checks.gaps import enclosed
from renderer.checks.rule import Hit, Rule
from renderer.trade import GAP_ENTERED_M, ISLAND_LEAST_M, SPRINKLER_HEAD_M, TOUCH_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case
    from renderer.checks.fact import Facts

LEAST_M = 1e-3


def head_on_wire(case: Case) -> Iterator[Hit]:
    """Sprinkler heads that the wire's pegs would hit."""
    for feature, shape in case.features("sprinkler"):
        for loop in case.lay.loops:
            distance, at = where_nearest(case.wires[loop.name], shape)
            if distance < SPRINKLER_HEAD_M - LEAST_M:
                facts: Facts = {
                    "name": feature.name,
                    "distance_m": distance,
                    "needed_m": SPRINKLER_HEAD_M,
                }
                at_m = case.station(at, loop)
                yield Hit(
                    "sprinkler-at-wire.found",
                    facts,
                    at,
                    feature.name,
                    at_m,
                    apart=("distance_m", "needed_m"),
                )
                break


def island_small(case: Case) -> Iterator[Hit]:
    """Rings round islands that are less across than a machine needs to notice."""
    for loop in case.lay.loops:
        for ring in loop.rings:
            if ring.kind != "island":
                continue
            across = _least_width(shapely.Polygon(ring.points))
            if across < ISLAND_LEAST_M - LEAST_M:
                facts: Facts = {"of": ring.of, "width_m": across, "least_m": ISLAND_LEAST_M}
                x, y = ring.points[:-1].mean(axis=0).tolist()
                at_m = case.station((x, y), loop)
                apart = ("width_m", "least_m")
                yield Hit("island-too-small.found", facts, (x, y), ring.of, at_m, apart)


def _least_width(ground: shapely.Polygon) -> float:
    """The smaller side of the least rectangle round a shape, metres."""
    box = shapely.get_coordinates(shapely.minimum_rotated_rectangle(ground))
    return float(np.hypot(*np.diff(box[:3], axis=0).T).min())


def firm_near_wire(case: Case) -> Iterator[Hit]:
    """Firm obstacles between which and a ring the machine does not pass."""
    needed = case.plan.machine.passage_min
    grounds = [(o.name, ground) for o, ground in case.grounds if o.kind == "firm"]
    for loop in case.lay.loops if grounds else ():
        for name, ground in grounds:
            gaps = [
                (where_nearest(ground, ring), open_ground)
                for open_ground, rings in enclosed(loop)
                for ring in rings
                if shapely.intersects(ground, open_ground)
            ]
            if not gaps:
                continue
            (distance, at), _ = min(gaps, key=lambda each: each[0][0])
            if TOUCH_M < distance < needed - LEAST_M:
                facts: Facts = {"name": name, "gap_m": distance, "needed_m": needed}
                at_m = case.station(at, loop)
                yield Hit("firm-near-wire.found", facts, at, name, at_m, ("gap_m", "needed_m"))


def firm_things_near(case: Case) -> Iterator[Hit]:
    """Pairs of firm obstacles with mown ground between them that the machine gets stuck on."""
    needed = case.plan.machine.passage_min
    firm = [(o.name, ground) for o, ground in case.grounds if o.kind == "firm"]
    shapes = np.array([ground for _, ground in firm], dtype=object)
    tree = shapely.STRtree(shapes)
    one, two = tree.query(shapes, "dwithin", distance=needed - LEAST_M)
    shapely.prepare(case.working)
    for i, j in sorted(zip(one.tolist(), two.tolist(), strict=True)):
        sight = shapely.shortest_line(shapes[i], shapes[j])
        if i >= j or sight.length <= GAP_ENTERED_M or not shapely.covers(case.working, sight):
            continue
        if set(tree.query(sight, "intersects").tolist()) <= {i, j}:
            one_name, two_name, gap = firm[i][0], firm[j][0], float(sight.length)
            facts = {"one": one_name, "two": two_name, "gap_m": gap, "needed_m": needed}
            at, apart = middle(sight), ("gap_m", "needed_m")
            yield Hit("firm-things-near.found", facts, at, one_name, case.station(at), apart)


RULES = (
    Rule("sprinkler-at-wire", "warn", head_on_wire),
    Rule("island-too-small", "warn", island_small),
    Rule("firm-near-wire", "warn", firm_near_wire),
    Rule("firm-things-near", "warn", firm_things_near),
)
