"""How a supply's lead lies: along its via points, straight, or the shortest way round."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.frozen import dataclass
from renderer.ground.route import length, shortest
from renderer.ground.slope import feature_area
from renderer.trade import LEAD_IN_WALL_M

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import Lay, LoopLay, Point, Points
    from renderer.plan.model import Loop, Plan

GRASS_M = 0.05  # of a lead over mown ground: no more than the width of the wire's own place
ALONG_M = 0.01  # a lead this near to the outside of a wall runs along it
MARGIN_M = 5.0  # how far about everything a way round is looked for


@dataclass(frozen=True, slots=True, eq=False)
class SupplyRun:
    """A lead from the supply to the dock or generator: its points (n, 2) and length in metres.

    ``stated`` is a run along via points of the plan; ``round`` one that was led round what is in
    the straight line's way. ``in_building`` and ``on_grass`` are the pieces of it that still lie in
    buildings and on mown ground.
    """

    points: Points
    length_m: float
    stated: bool
    round: bool
    in_building: BaseGeometry
    on_grass: BaseGeometry


def lead_home(loop: Loop, laid: LoopLay) -> Point:
    """Where the lead arrives: the dock's place on the wire, or the generator."""
    return loop.generator.at if loop.generator else laid.start


def supply_run(plan: Plan, lay: Lay, loop: Loop, laid: LoopLay) -> SupplyRun | None:
    """How the lead of a loop's supply lies; ``None`` for a loop without a supply."""
    if loop.supply is None:
        return None
    working = shapely.union_all([each.working for each in lay.loops])
    home = lead_home(loop, laid)
    straight = np.array([loop.supply.at, *loop.supply.via, home])
    buildings = _buildings(plan)
    if loop.supply.via:
        return _run(straight, buildings, working, stated=True)
    run = _run(straight, buildings, working)
    if not _blocked(run):
        return run
    ends = shapely.MultiPoint(straight).buffer(LEAD_IN_WALL_M)  # a socket may sit in the wall
    barred = shapely.union_all([buildings - ends, working])
    ground = shapely.union_all([barred, shapely.linestrings(straight)])
    open_ground = shapely.box(*ground.bounds).buffer(MARGIN_M, join_style="mitre") - barred
    way = shortest(open_ground, shapely.Point(straight[0]), shapely.Point(home))
    return run if way is None else _run(way, buildings, working, led_round=True)


def _run(
    points: Points,
    buildings: BaseGeometry,
    working: BaseGeometry,
    *,
    stated: bool = False,
    led_round: bool = False,
) -> SupplyRun:
    line = shapely.linestrings(points)
    inside = shapely.intersection(line, buildings)
    grass = shapely.intersection(line, working)
    return SupplyRun(points, length(points), stated, led_round, inside, grass)


def _blocked(run: SupplyRun) -> bool:
    return bool(run.in_building.length > LEAD_IN_WALL_M or run.on_grass.length > GRASS_M)


def _buildings(plan: Plan) -> BaseGeometry:
    """The buildings, a little smaller, so that a lead along a wall is outside."""
    areas = [feature_area(each) for each in plan.features if each.kind == "building"]
    inner = [area.buffer(-ALONG_M, join_style="mitre") for area in areas if area is not None]
    return shapely.union_all(inner)
