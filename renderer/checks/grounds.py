"""Lawns, obstacles and survey: what lies where it should not, or could be handled differently."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

import shapely

from renderer.checks.case import middle
from renderer.checks.rule import Hit, Rule
from renderer.ground.faces import has_house_corners
from renderer.plan.manual import unconfirmed
from renderer.trade import FIRM_WIDTH_M, OUTSIDE_FAR_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case
    from renderer.checks.fact import Facts
    from renderer.plan.model import Obstacle

SLIVER_M2 = 1e-3


def lawns_overlap(case: Case) -> Iterator[Hit]:
    """Lawns that share ground."""
    for one, two in combinations(case.lay.lawns, 2):
        shared = shapely.intersection(one.outline, two.outline)
        if shared.area > SLIVER_M2:
            facts: Facts = {"one": one.name, "two": two.name, "area_m2": float(shared.area)}
            yield Hit("lawns-overlap.found", facts, middle(shared), two.name)


def obstacle_outside(case: Case) -> Iterator[Hit]:
    """Obstacles too far from every lawn to matter."""
    for obstacle, ground, gap in _outside(case):
        reach = case.plan.machine.setback.get(obstacle.kind, 0.0)
        if reach < gap <= OUTSIDE_FAR_M:
            facts: Facts = {"name": obstacle.name, "away_m": gap}
            yield Hit("obstacle-outside.found", facts, middle(ground), obstacle.name)


def obstacle_far_outside(case: Case) -> Iterator[Hit]:
    """Obstacles so far from every lawn that their place must be wrong."""
    for obstacle, ground, gap in _outside(case):
        if gap > OUTSIDE_FAR_M:
            facts: Facts = {"name": obstacle.name, "away_m": gap}
            yield Hit("obstacle-far-outside.found", facts, middle(ground), obstacle.name)


def _outside(case: Case) -> Iterator[tuple[Obstacle, shapely.Polygon, float]]:
    """Each obstacle, its ground, and how far that is from the nearest lawn, metres."""
    for obstacle, ground in case.grounds:
        gaps = [float(shapely.distance(lawn.outline, ground)) for lawn in case.lay.lawns]
        yield obstacle, ground, min(gaps)


def firm_too_slight(case: Case) -> Iterator[Hit]:
    """Firm obstacles too thin to stop the machine."""
    for obstacle, ground in case.grounds:
        width = _width(ground)
        if obstacle.kind == "firm" and width < FIRM_WIDTH_M - 1e-6:
            facts: Facts = {"name": obstacle.name, "width_m": width, "needed_m": FIRM_WIDTH_M}
            at, apart = middle(ground), ("width_m", "needed_m")
            yield Hit("firm-too-slight.found", facts, at, obstacle.name, apart=apart)


def tree_might_stand_bare(case: Case) -> Iterator[Hit]:
    """Trees thick enough to need no island where they are firm."""
    thick = [
        (obstacle.name, middle(ground))
        for obstacle, ground in case.grounds
        if obstacle.kind == "tree"
        and _width(ground) >= FIRM_WIDTH_M - 1e-6
        and any(shapely.intersects(lawn.outline, ground) for lawn in case.lay.lawns)
    ]
    if thick:
        names = tuple(name for name, _ in thick)
        about = names[0] if len(names) == 1 else ""
        yield Hit("tree-might-stand-bare.found", {"names": names}, thick[0][1], about)


def _width(ground: shapely.Polygon) -> float:
    """The smaller side of the least rectangle round a shape, metres."""
    box = shapely.get_coordinates(shapely.oriented_envelope(ground))
    if len(box) < 4:
        return 0.0
    return float(min(((box[1] - box[0]) ** 2).sum() ** 0.5, ((box[2] - box[1]) ** 2).sum() ** 0.5))


def throw_unknown(case: Case) -> Iterator[Hit]:
    """Sprinklers without the radius of their throw."""
    heads = [feature for feature, _ in case.features("sprinkler") if feature.radius is None]
    if heads:
        names = tuple(head.name for head in heads)
        yield Hit("throw-not-stated.found", {"names": names}, heads[0].at, heads[0].name)


def no_reference_points(case: Case) -> Iterator[Hit]:
    """Fewer than two fixed points in the survey, and no building whose corners serve as such."""
    count = len(case.plan.survey.points)
    if not has_house_corners(case.plan):
        yield Hit(f"no-reference-points.{'single' if count else 'none'}")


def not_from_manual(case: Case) -> Iterator[Hit]:
    """Machine figures that the plan states and nobody has compared with the manual."""
    machine = case.plan.machine
    if figures := unconfirmed(machine):
        facts: Facts = {"label": machine.label, "figures_keys": tuple(figures)}
        yield Hit("machine-not-confirmed.found", facts)


RULES = (
    Rule("lawns-overlap", "stop", lawns_overlap),
    Rule("firm-too-slight", "warn", firm_too_slight),
    Rule("obstacle-far-outside", "warn", obstacle_far_outside),
    Rule("obstacle-outside", "note", obstacle_outside),
    Rule("tree-might-stand-bare", "note", tree_might_stand_bare),
    Rule("throw-not-stated", "note", throw_unknown),
    Rule("no-reference-points", "note", no_reference_points),
    Rule("machine-not-confirmed", "warn", not_from_manual),
)
