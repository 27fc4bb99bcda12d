"""Fixed points to tape from: the plan's own, else corners of hard sides, far apart and lettered."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from renderer.frozen import dataclass
from renderer.ground.cover import wanted
from renderer.ground.limits import CORNER_DEG
from renderer.ground.stations import turn_between
from renderer.plan.kinds import BORDERS
from renderer.trade import REFERENCES_APART_M, REFERENCES_MOST

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from renderer.ground.lay import LawnGround, Point, Side
    from renderer.plan.model import Plan

SOFT_WORTH = 0.6  # of a corner of soft sides, where a corner of hard ones has 1

# Without I and O, which are read as figures, and L and R, which give the hand of a tie.
LETTERS = "ABCDEFGHJKMNPQSTUVWXYZ"


@dataclass(frozen=True, slots=True)
class Reference:
    """A fixed point: name, place in metres, what it is, and the kinds of side that meet there."""

    name: str
    at: Point
    what: str = ""
    kinds: tuple[str, ...] = ()


def references(plan: Plan, lawns: Sequence[LawnGround]) -> tuple[Reference, ...]:
    """The points to tape from, at least two wherever an outline has two corners.

    The survey's points as they are named. Where it has fewer than two, corners of buildings and
    corners where hard sides meet are added, spread far apart and lettered clockwise from the north
    west; corners of one hard side, or of none, only where the better ones are too few. More
    corners are added where the wire is out of reach of two tapes that cross well.
    """
    own = tuple(Reference(point.name, point.at, point.what) for point in plan.survey.points)
    ranked = [*_building_corners(plan), *_outline_corners(lawns)]
    chosen: list[Reference] = []
    for rank in (2, 1, 0):
        if len(own) + len(chosen) < 2 or (len(own) < 2 and rank == 1 and len(chosen) < 3):
            chosen = _spread(own, chosen, [corner for hard, corner in ranked if hard == rank])
    chosen += _covering(plan, lawns, (*own, *chosen), ranked)
    return own + _lettered(chosen, {reference.name for reference in own})


def _covering(
    plan: Plan,
    lawns: Sequence[LawnGround],
    have: Sequence[Reference],
    ranked: Sequence[tuple[int, Reference]],
) -> list[Reference]:
    """Corners that wire can be taped from which the points at hand do not reach well."""
    new = [
        (hard, corner)
        for hard, corner in ranked
        if all(math.dist(corner.at, each.at) >= REFERENCES_APART_M for each in have)
    ]
    own = np.array([each.at for each in have]).reshape(-1, 2)
    corners = np.array([corner.at for _, corner in new]).reshape(-1, 2)
    worth = [1.0 if hard else SOFT_WORTH for hard, _ in new]
    return [new[k][1] for k in wanted(plan, lawns, own, corners, worth)]


def reference_points(plan: Plan, lawns: Sequence[LawnGround]) -> tuple[tuple[str, Point], ...]:
    """Name and place of each point to tape from."""
    return tuple((reference.name, reference.at) for reference in references(plan, lawns))


def _building_corners(plan: Plan) -> Iterator[tuple[int, Reference]]:
    for feature in plan.features:
        if feature.kind == "building" and feature.polygon is not None:
            for x, y in feature.polygon:
                yield 2, Reference("", (x, y), feature.name, ("building",))


def _outline_corners(lawns: Sequence[LawnGround]) -> Iterator[tuple[int, Reference]]:
    """The corners of the outlines, each with the number of hard sides that meet there."""
    for lawn in lawns:
        for before, after in zip((lawn.sides[-1], *lawn.sides[:-1]), lawn.sides, strict=True):
            if _turn(before, after) >= math.radians(CORNER_DEG):
                x, y = after.points[0].tolist()
                kinds = (before.kind, after.kind) if before.kind != after.kind else (after.kind,)
                hard = BORDERS[before.kind].lasting + BORDERS[after.kind].lasting
                yield hard, Reference("", (x, y), f"{' / '.join(kinds)}, {lawn.name}", kinds)


def _turn(before: Side, after: Side) -> float:
    """Turn in radians, either way, from the end of one side to the start of the next."""
    directions = np.stack(
        (before.points[-1] - before.points[-2], after.points[1] - after.points[0])
    )
    return abs(float(turn_between(directions[:1], directions[1:])[0]))


def _spread(
    own: Sequence[Reference], chosen: Sequence[Reference], corners: Sequence[Reference]
) -> list[Reference]:
    """The chosen points with corners added, each time the one furthest from all others."""
    picked, left = list(chosen), list(corners)
    if not own and not picked and left:
        places = np.array([corner.at for corner in left])
        apart = np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1))
        picked.append(left.pop(int(np.argmax(apart.max(axis=1)))))
    while left and len(own) + len(picked) < REFERENCES_MOST:
        taken = np.array([reference.at for reference in (*own, *picked)])
        places = np.array([corner.at for corner in left])
        gaps = np.hypot(*(places[:, None] - taken[None]).transpose(2, 0, 1)).min(axis=1)
        furthest = int(np.argmax(gaps))
        if gaps[furthest] < (REFERENCES_APART_M if len(own) + len(picked) >= 2 else 1e-3):
            break
        picked.append(left.pop(furthest))
    return picked


def _lettered(chosen: Sequence[Reference], taken: set[str]) -> tuple[Reference, ...]:
    """The points clockwise from the north west, named A, B, C and so on past names in use."""
    if not chosen:
        return ()
    centre = np.mean([reference.at for reference in chosen], axis=0)
    first = max(chosen, key=lambda reference: reference.at[1] - reference.at[0])

    def bearing(reference: Reference) -> float:
        return math.atan2(reference.at[1] - centre[1], reference.at[0] - centre[0])

    def clockwise(reference: Reference) -> float:
        return (bearing(first) - bearing(reference)) % math.tau

    free = [letter for letter in LETTERS if letter not in taken]
    ordered = sorted(chosen, key=clockwise)
    return tuple(
        replace(reference, name=name) for name, reference in zip(free, ordered, strict=False)
    )
