"""The winding number of the walk, which shows what the wire encloses and which way round.

On the ground inside, it is +1 for an anticlockwise lay and -1 for a clockwise one; in islands and
outside it is 0. Both wires of a lead pair cancel. Islands walked the wrong way round, crossed lead
pairs and lawns laid backwards each give another number.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.checks.fact import Phrase
from renderer.checks.measured import ring_in
from renderer.checks.rule import Hit, Rule
from renderer.ground.parts import part_at

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

    from renderer.checks.case import Case
    from renderer.checks.fact import Facts
    from renderer.ground.lay import LawnGround, LoopLay, Point, Points

STRIPS = 4  # places looked at in each shape
CLEAR_M = 1e-3  # places nearer to the wire than this say nothing
SLIVER_M2 = 1e-3  # shapes smaller than this are not looked at


class Winding:
    """A closed path (n, 2), prepared to count how often it goes round each of many places."""

    def __init__(self, path: Points) -> None:
        self.start, self.end = path[:-1], path[1:]
        self.far = float(path[:, 0].max()) + 1.0
        self.tree = shapely.STRtree(shapely.linestrings(np.stack((self.start, self.end), axis=1)))

    def numbers(self, points: Points) -> NDArray[np.int64]:
        """How often the path goes round each of ``points`` (k, 2), left positive.

        By counting the segments that pass to the right of a point upwards and downwards.
        """
        found = np.zeros(len(points), dtype=np.int64)
        ends = np.column_stack((np.full(len(points), self.far), points[:, 1]))
        point, segment = self.tree.query(shapely.linestrings(np.stack((points, ends), axis=1)))
        x, y = points[point].T
        (x0, y0), (x1, y1) = self.start[segment].T, self.end[segment].T
        side = (x1 - x0) * (y - y0) - (x - x0) * (y1 - y0)
        up = (y0 <= y) & (y < y1) & (side > 0)
        down = (y1 <= y) & (y < y0) & (side < 0)
        np.add.at(found, point, up.astype(np.int64) - down)
        return found

    def clear(self, points: Points) -> Points:
        """Those of ``points`` that do not lie on the path."""
        near, _ = self.tree.query(shapely.points(points), predicate="dwithin", distance=CLEAR_M)
        return np.delete(points, near, axis=0)


def places_in(shape: BaseGeometry) -> Points:
    """Some places inside a shape, well spread from south to north; shape (k, 2)."""
    left, low, right, high = shapely.bounds(shape)
    levels = np.linspace(low, high, STRIPS + 1)
    boxes = shapely.box(left - 1.0, levels[:-1], right + 1.0, levels[1:])
    parts = shapely.intersection(shape, boxes)
    parts = parts[shapely.area(parts) > 0]
    places: Points = shapely.get_coordinates(shapely.point_on_surface(np.append(parts, shape)))
    return places


def _wound(winding: Winding, shape: BaseGeometry) -> dict[int, Point]:
    """The winding numbers found in a shape, each with one place where it was found."""
    points = winding.clear(places_in(shape))
    numbers = winding.numbers(points)
    return {
        int(number): (float(x), float(y))
        for number, (x, y) in zip(numbers[::-1], points[::-1], strict=True)
    }


def right_number(case: Case) -> int:
    """The winding number that the ground inside should have."""
    return 1 if case.plan.machine.lay_direction == "anticlockwise" else -1


def _parts(shape: BaseGeometry) -> list[BaseGeometry]:
    return [part for part in shapely.get_parts(shape) if part.area > SLIVER_M2]


def _own_parts(lawn: LawnGround, loop: LoopLay) -> list[BaseGeometry]:
    """The parts of a lawn's working area that its loop goes round."""
    walked = shapely.get_parts(loop.working)
    found: list[BaseGeometry] = []
    for part in _parts(lawn.working):
        if shapely.equals_exact(walked, part).any():
            found.append(part)
        else:
            found.extend(_parts(shapely.intersection(part, loop.working)))
    return found


def lawn_backwards(case: Case) -> Iterator[Hit]:
    """Working areas that the wire goes round the other way."""
    wrong = -right_number(case)
    way = Phrase(f"way.{case.plan.machine.lay_direction}")
    for loop in case.lay.loops:
        winding = Winding(loop.path)
        for lawn in case.lawns_of(loop.name):
            for part in _own_parts(lawn, loop):
                at = _wound(winding, part).get(wrong)
                if at is not None:
                    facts: Facts = {
                        "name": part_at(loop, lawn.name, at),
                        "way": way,
                        "number": wrong,
                        "right": -wrong,
                    }
                    at_m = case.station(at, loop)
                    yield Hit("lawn-wired-backwards.found", facts, at, lawn.name, at_m)


def island_wound(case: Case) -> Iterator[Hit]:
    """Islands and obstacles that the machine would take for lawn."""
    for loop in case.lay.loops:
        winding = Winding(loop.path)
        lawns = shapely.union_all([lawn.outline for lawn in case.lawns_of(loop.name)])
        shapely.prepare(lawns)
        for obstacle in case.plan.obstacles:
            ground = shapely.Polygon(ring_in(obstacle))
            if obstacle.kind == "firm" or obstacle.name in case.unreached:  # told by itself
                continue
            if not shapely.intersects(lawns, ground):
                continue
            inside = ground if shapely.contains(lawns, ground) else ground.intersection(lawns)
            wrong = {n: at for n, at in _wound(winding, inside).items() if n} if inside.area else {}
            for number, at in list(wrong.items())[:1]:
                yield _island_hit(case, loop, obstacle.name, number, at)


def _island_hit(case: Case, loop: LoopLay, name: str, number: int, at: Point) -> Hit:
    key = "ring" if number == 2 * right_number(case) else "found"
    facts: Facts = {"name": name, "number": number}
    return Hit(f"island-not-left-out.{key}", facts, at, name, case.station(at, loop))


def ground_wound(case: Case) -> Iterator[Hit]:
    """Working areas that the wire does not enclose once, and ground outside that it encloses."""
    right = right_number(case)
    for loop in case.lay.loops:
        winding = Winding(loop.path)
        for lawn in case.lay.lawns:
            own = lawn.loop == loop.name
            for part in _own_parts(lawn, loop) if own else _parts(lawn.working):
                allowed = {right, -right} if own else {0}
                yield from _wrong(case, loop, lawn.name, _wound(winding, part), allowed)
        yield from _outside(case, loop, winding)


def _outside(case: Case, loop: LoopLay, winding: Winding) -> Iterator[Hit]:
    """Places just beyond the outlines of the lawns."""
    grounds = shapely.union_all([lawn.outline for lawn in case.lay.lawns])
    beyond = shapely.box(
        *shapely.bounds(shapely.box(*shapely.bounds(grounds)).buffer(1.0))
    ).difference(grounds)
    for part in _parts(beyond):
        yield from _wrong(case, loop, "", _wound(winding, part), {0})


def _wrong(
    case: Case, loop: LoopLay, name: str, wound: dict[int, Point], allowed: set[int]
) -> Iterable[Hit]:
    for number, at in wound.items():
        if number not in allowed:
            key = f"ground-enclosed-wrongly.{'lawn' if name else 'outside'}"
            facts: Facts = {"loop": loop.name, "number": number, "right": max(allowed)}
            if name:
                facts = {**facts, "name": name}
            yield Hit(key, facts, at, name or loop.name, case.station(at, loop))
            return


RULES = (
    Rule("island-not-left-out", "stop", island_wound),
    Rule("lawn-wired-backwards", "stop", lawn_backwards),
    Rule("ground-enclosed-wrongly", "stop", ground_wound),
)
