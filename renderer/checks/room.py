"""Loops whose lawns leave no room for the machine, and what most likely takes it up."""

from __future__ import annotations

from typing import TYPE_CHECKING

import shapely

from renderer.checks.case import middle
from renderer.checks.fact import kind
from renderer.checks.passages import worth_a_ring
from renderer.checks.rule import Hit, Rule

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shapely.geometry.base import BaseGeometry

    from renderer.checks.case import Case
    from renderer.checks.fact import Facts
    from renderer.ground.lay import LawnGround, Point


def loop_without_ground(case: Case) -> Iterator[Hit]:
    """Loops whose lawns leave nothing to mow."""
    laid = {loop.name for loop in case.lay.loops}
    for loop in case.plan.loops:
        lawns = [lawn for lawn in case.lay.lawns if lawn.loop == loop.name]
        if loop.name in laid or not lawns:
            continue
        largest = max(lawns, key=lambda lawn: float(lawn.outline.area))
        key, at, facts = _cause(case, largest)
        facts = {
            "loop": loop.name,
            "lawn": largest.name,
            "lawns": tuple(lawn.name for lawn in lawns),
            "width_m": 2.0 * _inner_radius(largest.outline),
            "passage_m": case.plan.machine.passage_min,
            **facts,
        }
        yield Hit(f"loop-without-ground.{key}", facts, at, loop.name)


def _cause(case: Case, lawn: LawnGround) -> tuple[str, Point, Facts]:
    """What leaves no room on a lawn: its own size, one obstacle, one setback, or all together."""
    if not _is_roomy(case, lawn.outline):
        return "small", middle(lawn.outline), {"area_m2": float(lawn.outline.area)}
    for name, ground, setback in _things(case, lawn):
        if _is_roomy(case, _left(case, lawn, obstacle=name)):
            return "obstacle", middle(ground), {"name": name, "setback_m": setback}
    for side in sorted(lawn.sides, key=lambda side: -case.plan.machine.setback[side.kind]):
        if _is_roomy(case, _left(case, lawn, side_kind=side.kind)):
            setback = case.plan.machine.setback[side.kind]
            facts: Facts = {"kind": kind(side.kind), "setback_m": setback}
            return "side", middle(shapely.linestrings(side.points)), facts
    return "found", middle(lawn.outline), {}


def _things(case: Case, lawn: LawnGround) -> list[tuple[str, BaseGeometry, float]]:
    """The obstacles on a lawn that wire goes round: name, ground and setback, largest first."""
    setbacks = case.plan.machine.setback
    found = [
        (obstacle.name, shapely.intersection(ground, lawn.outline), setbacks[obstacle.kind])
        for obstacle, ground in case.grounds
        if obstacle.kind != "firm" and shapely.intersects(ground, lawn.outline)
    ]
    return sorted(found, key=lambda each: -float(each[1].area))


def _left(case: Case, lawn: LawnGround, *, obstacle: str = "", side_kind: str = "") -> BaseGeometry:
    """The ground of a lawn beyond all setbacks but those of one obstacle or one kind of side."""
    setbacks = case.plan.machine.setback
    taken = [
        shapely.buffer(shapely.linestrings(side.points), setbacks[side.kind])
        for side in lawn.sides
        if side.kind != side_kind
    ]
    taken += [
        shapely.buffer(ground, setback)
        for name, ground, setback in _things(case, lawn)
        if name != obstacle
    ]
    return shapely.difference(lawn.outline, shapely.union_all(taken))


def _is_roomy(case: Case, ground: BaseGeometry) -> bool:
    """Whether a part of the ground has room for the machine and is worth a ring of wire."""
    passage = case.plan.machine.passage_min
    return any(
        part.area >= worth_a_ring(case) and 2.0 * _inner_radius(part) >= passage
        for part in shapely.get_parts(ground)
    )


def _inner_radius(ground: BaseGeometry) -> float:
    """Radius of the largest circle inside a shape, metres."""
    return float(shapely.maximum_inscribed_circle(ground, tolerance=0.001).length)


RULES = (Rule("loop-without-ground", "stop", loop_without_ground),)
