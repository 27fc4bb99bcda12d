"""A plan and its lay, with the geometry that several rules look at."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.checks.measured import bounds
from renderer.frozen import dataclass
from renderer.geometry.lines import stretch
from renderer.ground.area import obstacle_ground
from renderer.ground.dockrun import dock_run
from renderer.ground.edges import edges
from renderer.ground.outline import lawn_sides
from renderer.ground.slope import feature_shape
from renderer.ground.stations import SAME_M
from renderer.trade import FIRM_GAP_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

    from renderer.checks.measured import Bound
    from renderer.checks.past import Past
    from renderer.ground.dockrun import DockRun
    from renderer.ground.edges import Edge
    from renderer.ground.lay import LawnGround, Lay, Leg, LoopLay, Point
    from renderer.ground.setting_out import SettingOut
    from renderer.ground.supply import SupplyRun
    from renderer.plan.model import Feature, Loop, Obstacle, Plan

NOISE_DECIMALS = 7
SLIVER_M2 = 1e-5  # ground smaller than this is noise of the arithmetic


@dataclass(frozen=True, slots=True, eq=False)
class LaidLeg:
    """A leg of a loop as a line on the ground."""

    loop: LoopLay
    leg: Leg
    line: BaseGeometry

    @property
    def points(self) -> NDArray[np.complex128]:
        """The leg's points as complex numbers."""
        xy = shapely.get_coordinates(self.line)
        return np.asarray(xy[:, 0] + 1j * xy[:, 1], dtype=np.complex128)

    def at_m(self, point: Point) -> float:
        """Running distance of the place of the leg nearest to a point."""
        return self.leg.from_m + float(shapely.line_locate_point(self.line, shapely.Point(point)))


@dataclass(frozen=True, eq=False)
class Case:
    """What the rules look at. Geometry is worked out once, when first asked for."""

    plan: Plan
    lay: Lay
    setting: SettingOut
    past: Past | None = None  # where the wire lies, what was recorded of it

    @cached_property
    def walked(self) -> tuple[LaidLeg, ...]:
        """All legs but the tails, in the order of the walk."""
        return tuple(
            LaidLeg(loop, leg, _leg_line(loop, leg))
            for loop in self.lay.loops
            for leg in loop.legs
            if leg.kind != "tail" and leg.length_m > SAME_M
        )

    @cached_property
    def runs(self) -> dict[str, DockRun]:
        """What lies about the start of each loop that has a dock, by the loop's name."""
        throws = [
            ((shape.centroid.x, shape.centroid.y), feature.radius)
            for feature, shape in self.features("sprinkler")
            if feature.radius
        ]
        figures = self.plan.machine.dock
        return {
            laid.name: dock_run(
                laid.path,
                laid.at_m,
                laid.legs,
                before_m=figures.straight_before,
                after_m=figures.straight_after,
                sprinklers=throws,
                others=[other.path for other in self.lay.loops if other is not laid],
            )
            for loop, laid in self.pairs()
            if loop.dock is not None
        }

    @cached_property
    def wires(self) -> dict[str, BaseGeometry]:
        """The whole walk of each loop as one line, by the loop's name."""
        return {loop.name: shapely.linestrings(loop.path) for loop in self.lay.loops}

    @cached_property
    def grounds(self) -> tuple[tuple[Obstacle, shapely.Polygon], ...]:
        """Each obstacle with the ground it covers."""
        return tuple((obstacle, obstacle_ground(obstacle)) for obstacle in self.plan.obstacles)

    @cached_property
    def unreached(self) -> frozenset[str]:
        """The islands whose rings no lead pair gets to, which is told of each by itself."""
        cuts = (cut for cut in self.lay.cuts if cut.kind == "unreached")
        return frozenset(of for cut in cuts for of in cut.of)

    @cached_property
    def firm(self) -> BaseGeometry:
        """The ground that all firm obstacles cover."""
        return shapely.union_all(
            [ground for obstacle, ground in self.grounds if obstacle.kind == "firm"]
        )

    @cached_property
    def within_firm(self) -> dict[str, BaseGeometry]:
        """The ground of each island that needs no wire, since it stands inside firm obstacles."""
        lawns = shapely.union_all([each.outline for each in self.lay.lawns])
        on_lawn = {
            obstacle.name: ground.intersection(lawns)
            for obstacle, ground in self.grounds
            if obstacle.name in self.unreached
        }
        return {
            name: ground
            for name, ground in on_lawn.items()
            if ground.area > SLIVER_M2 and ground.difference(self.firm).area <= SLIVER_M2
        }

    @cached_property
    def shut_in(self) -> dict[str, BaseGeometry]:
        """The ground behind firm obstacles that neither wire nor machine gets to, by its island."""
        if not self.unreached or self.firm.is_empty:
            return {}
        wired = [*self.wires.values()]
        lawns = [each.outline for each in self.lay.lawns]
        lawns = [each for each in lawns if bool(shapely.intersects(each, wired).any())]
        closed = self.firm.buffer(FIRM_GAP_M)
        open_ground = shapely.union_all(lawns).difference(closed)
        found = {}
        for obstacle, ground in self.grounds:
            parts = [p for p in shapely.get_parts(open_ground) if shapely.intersects(p, ground)]
            outside = any(bool(shapely.intersects(part, wired).any()) for part in parts)
            if obstacle.name in self.unreached and parts and not outside:
                found[obstacle.name] = shapely.union_all(parts)
        return found

    @cached_property
    def edges(self) -> tuple[Edge, ...]:
        """All sides and obstacles that wire keeps off, as the plan has them."""
        sides = {lawn.name: lawn_sides(lawn) for lawn in self.plan.lawns}
        return edges(self.plan, [replace(lawn, sides=sides[lawn.name]) for lawn in self.lay.lawns])

    @cached_property
    def bounds(self) -> tuple[Bound, ...]:
        """The same as they were measured, for what has to be sure of itself."""
        return tuple(bounds(self.plan))

    @cached_property
    def working(self) -> BaseGeometry:
        """The ground inside all wires."""
        return shapely.union_all([loop.working for loop in self.lay.loops])

    def pairs(self) -> Iterator[tuple[Loop, LoopLay]]:
        """Each loop of the plan that was laid, with its lay."""
        laid = {loop.name: loop for loop in self.lay.loops}
        return ((loop, laid[loop.name]) for loop in self.plan.loops if loop.name in laid)

    @cached_property
    def leads(self) -> tuple[tuple[Loop, LoopLay, SupplyRun], ...]:
        """Each loop that was laid and has a supply, and how its lead lies."""
        runs = self.setting.supply_runs
        return tuple(
            (loop, laid, runs[loop.name]) for loop, laid in self.pairs() if loop.name in runs
        )

    def lawns_at(self, each: LaidLeg) -> tuple[str, ...]:
        """The lawns on whose ground a leg lies: that of its ring, or of the rings a pair joins."""
        rings = {ring.id: ring.lawn for ring in each.loop.rings}
        if each.leg.part in rings:
            return (rings[each.leg.part],)
        for lead in each.loop.leads:
            if lead.id == each.leg.part:
                return (rings[lead.from_ring], rings[lead.to_ring])
        return ()

    def start_of(self, loop: str) -> Point | None:
        """Where a loop starts, by its name; nothing where it was not laid."""
        return next((each.start for each in self.lay.loops if each.name == loop), None)

    def lawns_of(self, loop: str) -> Iterator[LawnGround]:
        """The lawns that one loop goes round."""
        return (lawn for lawn in self.lay.lawns if lawn.loop == loop)

    def features(self, *kinds: str) -> Iterator[tuple[Feature, BaseGeometry]]:
        """The features of some kinds, each with its shape: an area, a line or a point."""
        for feature in self.plan.features:
            if feature.kind in kinds:
                yield feature, feature_shape(feature)

    def station(self, point: Point, loop: LoopLay | None = None) -> float | None:
        """Running distance of the wire's place nearest to a point; ``None`` without any wire."""
        near = [loop] if loop is not None else list(self.lay.loops)
        if not near:
            return None
        place = shapely.Point(point)
        nearest = min(near, key=lambda each: float(shapely.distance(self.wires[each.name], place)))
        return nearest.tail_m + float(shapely.line_locate_point(self.wires[nearest.name], place))


def _leg_line(loop: LoopLay, leg: Leg) -> BaseGeometry:
    """A leg's points, on a grid so fine that only the noise of interpolation is gone."""
    points, _ = stretch(loop.path, loop.at_m, leg.from_m, leg.to_m)
    return shapely.linestrings(np.round(points, NOISE_DECIMALS))


def middle(shape: BaseGeometry) -> Point:
    """A point that stands for a shape: on it, and in the middle of a line."""
    if shape.geom_type in ("LineString", "LinearRing"):
        point = shapely.line_interpolate_point(shape, 0.5, normalized=True)
    else:
        point = shapely.point_on_surface(shape)
    return (float(point.x), float(point.y))


def where_nearest(one: BaseGeometry, two: BaseGeometry) -> tuple[float, Point]:
    """How near two shapes come, metres, and the place of the first where they do."""
    line = shapely.shortest_line(one, two)
    x, y = shapely.get_coordinates(line)[0].tolist()
    return float(line.length), (x, y)
