"""What can be wrong with an outline or a polygon as a shape."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from renderer.plan.arcs import XY, arc_through, flattened
from renderer.plan.errors import Problem
from renderer.plan.simple import first_clash

if TYPE_CHECKING:
    from renderer.plan.model import Feature, Obstacle

SAME_M = 0.0001  # points nearer than the rounding of the laid path are one point
EXTENT_MAX_M = 10_000.0


def ring_problems(
    points: Sequence[XY], what: str, throughs: Sequence[XY | None] | None = None
) -> list[Problem]:
    """What keeps a ring of sides from being a shape; empty where nothing does.

    ``points`` are the corners in metres, either way round, the first not repeated; ``throughs``
    gives for each corner the point its arc passes, or ``None`` for a straight side. ``what`` is the
    key of the list; problems are placed in it by the index of the side.
    """
    passes = throughs if throughs is not None else [None] * len(points)
    arcs = any(through is not None for through in passes)
    if len(points) < (2 if arcs else 3):
        least = "3 corners, or 2 where a side is an arc" if throughs is not None else "3 corners"
        return [Problem((what,), f"it has {len(points)} corners", f"give it at least {least}")]
    found = _repeated(points, what) or _flat_arcs(points, passes, what) or _too_wide(points, what)
    return found or _clash(points, passes, what)


def repeated_points(points: Sequence[XY], what: str) -> list[Problem]:
    """Points of a list that stand at the place of an earlier one."""
    seen: dict[XY, int] = {}
    found = []
    for index, point in enumerate(points):
        before = seen.setdefault(point, index)
        if before == index and index and math.dist(points[index - 1], point) <= SAME_M:
            before = index - 1
        if before != index:
            problem = f"this point is in the same place as {what}[{before}]"
            found.append(Problem((what, index), problem, _REPEAT))
    return found


_REPEAT = "leave one of them out, or move it to where it was measured"


def _repeated(points: Sequence[XY], what: str) -> list[Problem]:
    last = len(points) - 1
    if math.dist(points[0], points[last]) <= SAME_M:
        problem = "the last corner repeats the first"
        return [Problem((what, last), problem, "leave it out; the shape closes itself")]
    return repeated_points(points, what)


def _flat_arcs(points: Sequence[XY], passes: Sequence[XY | None], what: str) -> list[Problem]:
    found = []
    for index, through in enumerate(passes):
        if through is None:
            continue
        end = points[(index + 1) % len(points)]
        if arc_through(points[index], through, end) is None:
            problem = "the point lies on the straight line between the ends of the side"
            cure = "give a point near the middle of the arc, or leave 'through' out"
            found.append(Problem((what, index, "through"), problem, cure))
    return found


def _too_wide(points: Sequence[XY], what: str) -> list[Problem]:
    width = extent(points)
    if width <= EXTENT_MAX_M:
        return []
    problem = f"it is {width / 1000:,.0f} km across"
    return [Problem((what,), problem, "check the numbers and the unit")]


def extent(points: Sequence[XY]) -> float:
    """The longer side of the upright box round ``points``, in metres."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return max(max(xs) - min(xs), max(ys) - min(ys))


def _clash(points: Sequence[XY], passes: Sequence[XY | None], what: str) -> list[Problem]:
    ring: list[XY] = []
    owners: list[int] = []
    for index, (point, through) in enumerate(zip(points, passes, strict=True)):
        end = points[(index + 1) % len(points)]
        chain = [point] if through is None else flattened(point, through, end)
        ring += chain
        owners += [index] * len(chain)
    clash = first_clash(ring)
    if clash is None:
        return []
    first, second = owners[clash.first], owners[clash.second]
    does = "crosses" if clash.crosses else "touches or runs back along"
    problem = f"the side that starts here {does} the side that starts at {what}[{second}]"
    return [Problem((what, first), problem, "list the corners in order round the edge")]


def thing_points(thing: Obstacle | Feature) -> list[XY]:
    """Points that say how far a thing reaches."""
    points = [*(thing.polygon or ()), *(getattr(thing, "line", None) or ())]
    if thing.circle is not None:
        (x, y), radius = thing.circle.at, thing.circle.radius
        points += [(x - radius, y - radius), (x + radius, y + radius)]
    place: XY | None = getattr(thing, "at", None)
    return points if place is None else [*points, place]
