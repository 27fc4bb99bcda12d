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

LEAST_M = 1e-3


def head_on_wire(case: Case) -> Iterator[Hit]:
    """Sprinkler heads that the wire's pegs would hit."""
    for feature, shape in case.features("sprinkler"):
        for loop in case.lay.loops:
            distance, at = where_nearest(case.wires[loop.name], shape)
            if distance < SPRINKLER_HEAD_M - LEAST_M:
                is_m, needed = case.show.lengths(distance, SPRINKLER_HEAD_M)
                facts = {"name": feature.name, "distance": is_m, "needed": needed}
                message = case.words("sprinkler-at-wire.found", **facts)
                yield Hit(message, at, feature.name, case.station(at, loop))
                break


def island_small(case: Case) -> Iterator[Hit]:
    """Rings round islands that are less across than a machine needs to notice."""
    for loop in case.lay.loops:
        for ring in loop.rings:
            if ring.kind != "island":
                continue
            across = _least_width(shapely.Polygon(ring.points))
            if across < ISLAND_LEAST_M - LEAST_M:
                is_m, needed = case.show.lengths(across, ISLAND_LEAST_M)
                message = case.words("island-too-small.found", of=ring.of, width=is_m, least=needed)
                x, y = ring.points[:-1].mean(axis=0).tolist()
                yield Hit(message, (x, y), ring.of, case.station((x, y), loop))


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
                is_m, needed_m = case.show.lengths(distance, needed)
                message = case.words("firm-near-wire.found", name=name, gap=is_m, needed=needed_m)
                yield Hit(message, at, name, case.station(at, loop))


def firm_things_near(case: Case) -> Iterator[Hit]:
    """Pairs of firm obstacles with mown ground between them that the machine gets stuck on."""
    needed = case.plan.machine.passage_min
    firm = [(o.name, ground) for o, ground in case.grounds if o.kind == "firm"]
    shapes = np.array([ground for _, ground in firm], dtype=object)
    one, two = shapely.STRtree(shapes).query(shapes, "dwithin", distance=needed - LEAST_M)
    for i, j in sorted(zip(one.tolist(), two.tolist(), strict=True)):
        sight = shapely.shortest_line(shapes[i], shapes[j])
        if i >= j or sight.length <= GAP_ENTERED_M or not shapely.covers(case.working, sight):
            continue
        if not shapely.intersects(np.delete(shapes, [i, j]), sight).any():
            is_m, needed_m = case.show.lengths(float(sight.length), needed)
            facts = {"one": firm[i][0], "two": firm[j][0], "gap": is_m, "needed": needed_m}
            at = middle(sight)
            message = case.words("firm-things-near.found", **facts)
            yield Hit(message, at, firm[i][0], case.station(at))


RULES = (
    Rule(
        "sprinkler-at-wire",
        "warn",
        head_on_wire,
        "A peg driven beside a head meets its pipe, and a repair of the one cuts the other.",
    ),
    Rule(
        "island-too-small",
        "warn",
        island_small,
        "In too small a ring the machine loses the signal and runs on over what stands there.",
    ),
    Rule(
        "firm-near-wire",
        "warn",
        firm_near_wire,
        "Between something firm and the wire the machine gets stuck.",
    ),
    Rule(
        "firm-things-near",
        "warn",
        firm_things_near,
        "The machine noses into a gap that it does not fit through, and gets stuck.",
    ),
)
