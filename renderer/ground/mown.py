"""From one lawn to the ground inside its wire: setbacks, necks, corners, and what was left out."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import shapely

from renderer.frozen import dataclass
from renderer.ground import limits
from renderer.ground.area import allowed_ground, obstacle_ground
from renderer.ground.bends import cut_sharp_corners, on_grid, round_bends
from renderer.ground.lay import Cut, LawnGround
from renderer.ground.necks import cut_necks, dilate_any
from renderer.ground.offset import less, multipolygon, polygons_of
from renderer.ground.outline import lawn_sides, outline_polygon
from renderer.ground.slits import cut_slits

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import Side
    from renderer.plan.model import Lawn, Machine, Obstacle


@dataclass(frozen=True, slots=True, eq=False)
class MownLawn:
    """A lawn with its working areas, and the open ground between them that a lead pair may use."""

    ground: LawnGround
    cuts: tuple[Cut, ...]
    parts: tuple[shapely.Polygon, ...]
    gaps: tuple[shapely.Polygon, ...]


def _cornered(
    ground: BaseGeometry,
    cuts: Sequence[Cut],
    lawn: shapely.Polygon,
    sides: Sequence[Side],
    obstacles: Sequence[Obstacle],
    machine: Machine,
    room: BaseGeometry,
) -> tuple[BaseGeometry, list[shapely.Polygon]]:
    """The ground with sharp corners cut and bends rounded, and the blind ends that this drops."""
    off = [cut.shape for cut in cuts if cut.shape is not None]
    if machine.corner_angle_min:
        ground, triangles = cut_sharp_corners(ground, machine.corner_angle_min, machine.corner_cut)
        off.extend(triangles)
    if machine.corner_radius <= 0:
        return ground, []
    eroded = allowed_ground(lawn, sides, obstacles, machine, machine.corner_radius)
    if off:
        eroded = less(eroded, dilate_any(shapely.union_all(off), machine.corner_radius))
    rounded, blind = round_bends(ground, eroded, machine.corner_radius, room)
    return multipolygon(rounded), blind


def _sorted_parts(
    lawn: str, polygons: list[shapely.Polygon], room: BaseGeometry, machine: Machine
) -> tuple[list[shapely.Polygon], list[Cut]]:
    """The parts that are worth a wire, largest first, and a cut for each that is not."""
    least = limits.PART_PASSAGES * machine.passage_min**2
    kept, cuts = [], []
    for part in sorted(polygons, key=lambda p: (-p.area, p.bounds)):
        if part.area >= least and shapely.intersects(part, room):
            kept.append(part)
        else:
            cuts.append(_left_out(lawn, part))
    return kept, cuts


def _left_out(lawn: str, part: shapely.Polygon) -> Cut:
    at = part.representative_point()
    return Cut("left_out", lawn, (at.x, at.y), (), None, part.area, None, part)


def _reaching(cut: Cut, obstacles: Sequence[Obstacle], machine: Machine) -> tuple[str, ...]:
    """Names of the obstacles whose setback borders on a cut."""
    shape = cut.shape
    return tuple(
        o.name
        for o in obstacles
        if shape is not None
        and o.kind != "firm"
        and shapely.dwithin(
            shape, obstacle_ground(o), max(machine.setback[o.kind], machine.corner_radius) + 5e-3
        )
    )


def _overlaps(
    lawn: str, allowed: BaseGeometry, obstacles: Sequence[Obstacle], outline: shapely.Polygon
) -> list[Cut]:
    """Islands that share a ring, or have become part of the edge, by their setbacks alone."""
    soft = [o for o in obstacles if o.kind != "firm"]
    if not soft:
        return []
    grounds = [obstacle_ground(o) for o in soft]
    points = shapely.point_on_surface(grounds)
    holes = [
        shapely.Polygon(ring) for part in shapely.get_parts(allowed) for ring in part.interiors
    ]
    cuts, inside = [], set()
    if holes:
        hole_of, obstacle_of = shapely.STRtree(points).query(holes, predicate="contains")
        for k in sorted(set(hole_of.tolist())):
            members = [i for h, i in zip(hole_of, obstacle_of, strict=True) if h == k]
            inside.update(members)
            if len(members) > 1:
                at = holes[k].centroid
                names = tuple(soft[i].name for i in sorted(members))
                cuts.append(Cut("overlap", lawn, (at.x, at.y), names, 0.0, 0.0, None, None))
    for i, obstacle in enumerate(soft):
        if i not in inside and shapely.intersects(grounds[i], outline):
            at = grounds[i].intersection(outline).representative_point()
            cuts.append(Cut("overlap", lawn, (at.x, at.y), (obstacle.name,), 0.0, 0.0, None, None))
    return cuts


def mow_lawn(lawn: Lawn, obstacles: Sequence[Obstacle], machine: Machine) -> MownLawn:
    """Everything about the ground of one lawn that does not depend on its loop."""
    sides = lawn_sides(lawn)
    outline = outline_polygon(sides)
    allowed = allowed_ground(outline, sides, obstacles, machine)
    room = allowed_ground(
        outline, sides, obstacles, machine, (machine.passage_min - limits.WIDTH_M) / 2
    )
    wide, slits = cut_slits(
        lawn.name, allowed, lambda by: allowed_ground(outline, sides, obstacles, machine, by)
    )
    ground, cuts = cut_necks(lawn.name, wide, room, machine.passage_min)
    cuts = [*slits, *cuts]
    cuts = [replace(cut, of=_reaching(cut, obstacles, machine)) for cut in cuts]
    cuts = _overlaps(lawn.name, allowed, obstacles, outline) + cuts
    cornered, blind = _cornered(ground, cuts, outline, sides, obstacles, machine, room)
    parts, left_out = _sorted_parts(lawn.name, on_grid(cornered), room, machine)
    cuts = [*cuts, *(_left_out(lawn.name, end) for end in blind), *left_out]
    return _mown(lawn, sides, outline, allowed, parts, cuts, obstacles)


def _mown(
    lawn: Lawn,
    sides: tuple[Side, ...],
    outline: shapely.Polygon,
    allowed: shapely.MultiPolygon,
    parts: list[shapely.Polygon],
    cuts: list[Cut],
    obstacles: Sequence[Obstacle],
) -> MownLawn:
    working = multipolygon(parts)
    gaps = polygons_of(allowed.difference(working)) if len(parts) > 1 else []
    bare = shapely.union_all([obstacle_ground(o) for o in obstacles])
    trim = multipolygon(polygons_of(outline.difference(working).difference(bare)))
    ground = LawnGround(lawn.name, lawn.loop, outline, sides, allowed, working, trim)
    return MownLawn(ground, tuple(cuts), tuple(parts), tuple(gaps))
