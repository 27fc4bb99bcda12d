"""Lawns, obstacles and survey: what lies where it should not, or might be kept otherwise."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

import shapely

from renderer.checks.case import middle
from renderer.checks.rule import Hit, Rule
from renderer.plan.manual import unconfirmed
from renderer.trade import FIRM_WIDTH_M, OUTSIDE_FAR_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case
    from renderer.plan.model import Obstacle

SLIVER_M2 = 1e-3
ENOUGH_POINTS = 2


def lawns_overlap(case: Case) -> Iterator[Hit]:
    """Lawns that share ground."""
    for one, two in combinations(case.lay.lawns, 2):
        shared = shapely.intersection(one.outline, two.outline)
        if shared.area > SLIVER_M2:
            area = case.show.area(shared.area)
            message = case.words("lawns-overlap.found", one=one.name, two=two.name, area=area)
            yield Hit(message, middle(shared), two.name)


def obstacle_outside(case: Case) -> Iterator[Hit]:
    """Obstacles too far from every lawn to matter."""
    for obstacle, ground, gap in _outside(case):
        reach = case.plan.machine.setback.get(obstacle.kind, 0.0)
        if reach < gap <= OUTSIDE_FAR_M:
            facts = {"name": obstacle.name, "away": case.show.length(gap)}
            yield Hit(case.words("obstacle-outside.found", **facts), middle(ground), obstacle.name)


def obstacle_far_outside(case: Case) -> Iterator[Hit]:
    """Obstacles so far from every lawn that their place must be wrong."""
    for obstacle, ground, gap in _outside(case):
        if gap > OUTSIDE_FAR_M:
            facts = {"name": obstacle.name, "away": case.show.length(gap)}
            message = case.words("obstacle-far-outside.found", **facts)
            yield Hit(message, middle(ground), obstacle.name)


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
            is_m, needed = case.show.lengths(width, FIRM_WIDTH_M)
            message = case.words(
                "firm-too-slight.found", name=obstacle.name, width=is_m, needed=needed
            )
            yield Hit(message, middle(ground), obstacle.name)


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
        names = [name for name, _ in thick]
        message = case.words("tree-might-stand-bare.found", names=case.words.listed(names))
        yield Hit(message, thick[0][1], names[0] if len(names) == 1 else "")


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
        names = case.words.listed([head.name for head in heads])
        message = case.words("throw-not-stated.found", names=names)
        yield Hit(message, heads[0].at, heads[0].name)


def no_reference_points(case: Case) -> Iterator[Hit]:
    """Fewer than two fixed points in the survey."""
    count = len(case.plan.survey.points)
    if count < ENOUGH_POINTS:
        yield Hit(case.words(f"no-reference-points.{'single' if count else 'none'}"))


def not_from_manual(case: Case) -> Iterator[Hit]:
    """Machine figures that the plan states and nobody has compared with the manual."""
    machine = case.plan.machine
    if figures := unconfirmed(machine):
        named = ", ".join(figures)
        yield Hit(case.words("machine-not-confirmed.found", label=machine.label, figures=named))


RULES = (
    Rule(
        "lawns-overlap",
        "stop",
        lawns_overlap,
        "Ground belongs to one lawn and lies inside one wire.",
    ),
    Rule(
        "firm-too-slight",
        "warn",
        firm_too_slight,
        "The machine climbs or bends what is too slight to stop it.",
    ),
    Rule(
        "obstacle-far-outside",
        "warn",
        obstacle_far_outside,
        "What was measured is somewhere in the lawn, and nothing goes round it.",
    ),
    Rule(
        "obstacle-outside",
        "note",
        obstacle_outside,
        "An obstacle that touches no lawn changes nothing.",
    ),
    Rule(
        "tree-might-stand-bare",
        "note",
        tree_might_stand_bare,
        "An island that is not needed costs wire and time.",
    ),
    Rule(
        "throw-not-stated",
        "note",
        throw_unknown,
        "Water finds its way into joints and contacts.",
    ),
    Rule(
        "no-reference-points",
        "note",
        no_reference_points,
        "A peg is found again from two points that stay.",
    ),
    Rule(
        "machine-not-confirmed",
        "warn",
        not_from_manual,
        "The maker's figures come before common practice.",
    ),
)
