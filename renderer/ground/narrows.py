"""Places where grass narrows between two things that wire goes round, and whether it is passed."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.frozen import dataclass
from renderer.ground.area import obstacle_ground
from renderer.ground.edges import edges
from renderer.ground.limits import WIDTH_M

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from shapely.geometry.base import BaseGeometry

    from renderer.ground.edges import Edge
    from renderer.ground.lay import Lay, Point
    from renderer.plan.model import Plan

Drawn = tuple["Edge", "BaseGeometry"]


@dataclass(frozen=True, slots=True, eq=False)
class Narrow:
    """The grass between two edges: its width, where it is, and whether the lay passes through."""

    one: Edge
    two: Edge
    ends: tuple[Point, Point]
    width_m: float
    needed_m: float
    passed: bool


@dataclass(frozen=True, slots=True, eq=False)
class _Open:
    """What a line of sight may run over, and what it may not run through."""

    lawns: tuple[tuple[BaseGeometry, BaseGeometry], ...]  # each a little larger, and as it is
    things: tuple[BaseGeometry, ...]

    def lets(self, sight: BaseGeometry) -> bool:
        """Whether a line runs over one lawn's grass and through nothing that wire goes round."""
        middle = shapely.line_interpolate_point(sight, 0.5, normalized=True)
        on_grass = any(
            shapely.covers(around, sight) and shapely.covers(lawn, middle)
            for around, lawn in self.lawns
        )
        return on_grass and not any(
            shapely.intersection(thing, sight).length > WIDTH_M for thing in self.things
        )


def narrows(plan: Plan, lay: Lay) -> tuple[Narrow, ...]:
    """Between islands, and from each to its nearest side, the one nearest to its limit first.

    Only places that the rule of one passage decides by itself: where the lay does otherwise,
    because other things stand near, a place is left out.
    """
    shapes = [(edge, _shape(edge)) for edge in edges(plan, lay.lawns)]
    islands = [each for each in shapes if each[0].obstacle]
    sides = [each for each in shapes if not each[0].obstacle]
    ring_of = {
        name: f"{loop.name} {ring.id}"
        for loop in lay.loops
        for ring in loop.rings
        for name in ring.obstacles
    }
    clear = _Open(
        tuple((lawn.outline.buffer(WIDTH_M), lawn.outline) for lawn in lay.lawns),
        tuple(obstacle_ground(each) for each in plan.obstacles if each.kind != "firm"),
    )
    found = [
        *_between(plan, clear, islands, ring_of),
        *_to_sides(plan, clear, islands, sides, ring_of),
    ]
    sure = [each for each in found if (each.width_m >= each.needed_m - WIDTH_M) == each.passed]
    return tuple(sorted(sure, key=lambda each: round(abs(each.width_m - each.needed_m), 6)))


def _shape(edge: Edge) -> BaseGeometry:
    return shapely.Polygon(edge.points) if edge.obstacle else shapely.linestrings(edge.points)


def _between(
    plan: Plan, clear: _Open, islands: list[Drawn], ring_of: Mapping[str, str]
) -> Iterator[Narrow]:
    for one, two in combinations(islands, 2):
        rings = ring_of.get(one[0].of), ring_of.get(two[0].of)
        if None not in rings:
            yield from _narrow(plan, clear, one, two, rings[0] != rings[1])


def _to_sides(
    plan: Plan,
    clear: _Open,
    islands: list[Drawn],
    sides: list[Drawn],
    ring_of: Mapping[str, str],
) -> Iterator[Narrow]:
    """The side nearest to each island by what is left beyond both setbacks."""
    for one in islands:
        own = [
            found for two in sides for found in _narrow(plan, clear, one, two, one[0].of in ring_of)
        ]
        if own:
            yield min(own, key=lambda each: each.width_m - each.needed_m)


def _narrow(plan: Plan, clear: _Open, one: Drawn, two: Drawn, passed: bool) -> Iterator[Narrow]:
    sight = shapely.shortest_line(one[1], two[1])
    if sight.length <= WIDTH_M or not clear.lets(sight):
        return
    (ax, ay), (bx, by) = np.round(shapely.get_coordinates(sight), 4).tolist()
    needed = one[0].setback_m + plan.machine.passage_min + two[0].setback_m
    yield Narrow(one[0], two[0], ((ax, ay), (bx, by)), float(sight.length), needed, passed)
