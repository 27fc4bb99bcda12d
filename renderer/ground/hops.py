"""Places out of reach of the fixed points, taped from places that are found before them.

A chain of tapes is as surveyors extend a net from its control points: each link adds its own error,
and the chain ends where that would be more than a wire may lie off.
"""

from __future__ import annotations

import math
from itertools import combinations
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from renderer.ground.barriers import reached
from renderer.ground.ties import Tie
from renderer.trade import HOP_ERROR_M, TAPE_ERROR_M, TAPE_M, TIE_FAIR_DEG

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import Point, Points
    from renderer.ground.ties import Side

NEAREST = 16  # places that a tape is tried from, to each place
LEAST_M = 1.0  # a place this near does not help: the tape is as short as the error of both


class Base(NamedTuple):
    """What a tape may be held at: a name, a place, how far off it may be (m), links before it."""

    name: str
    at: Point
    error_m: float = 0.0
    hops: int = 0


def hopped(
    points: Points, names: Sequence[str], bases: Sequence[Base], blocked: BaseGeometry | None
) -> dict[int, Tie]:
    """Ties to some of ``points`` (n, 2) by index, from bases and from each other.

    In turns: what is found in one may serve those after it, so that every chain is as short as can
    be. Two tapes cross as well as those from fixed points have to.
    """
    found: dict[int, Tie] = {}
    known = list(bases)
    left = list(range(len(points)))
    while left:
        fresh = _turn(points, left, known, blocked)
        if not fresh:
            break
        found |= fresh
        left = [index for index in left if index not in fresh]
        known += [
            Base(names[index], (float(points[index][0]), float(points[index][1])), *_after(tie))
            for index, tie in fresh.items()
        ]
    return found


def _after(tie: Tie) -> tuple[float, int]:
    return tie.error_m, 1 + max(tie.hops)


def _turn(
    points: Points, left: Sequence[int], known: Sequence[Base], blocked: BaseGeometry | None
) -> Mapping[int, Tie]:
    places = np.array([base.at for base in known]).reshape(-1, 2)
    fresh: dict[int, Tie] = {}
    for index in left:
        here = np.asarray(points[index])
        away = np.hypot(*(places - here).T)
        near = np.flatnonzero((away >= LEAST_M) & (away <= TAPE_M))
        near = near[np.argsort(away[near], kind="stable")][:NEAREST]
        near = near[reached(places[near], here[None], blocked)[0]]
        tries = [
            tie for i, j in combinations(sorted(near), 2) if (tie := _tie(known[i], known[j], here))
        ]
        if tries:
            fresh[index] = min(tries, key=lambda tie: (round(tie.error_m, 6), tie.a_m + tie.b_m))
    return fresh


def _tie(one: Base, two: Base, here: Points) -> Tie | None:
    """The tie from two bases; ``None`` where the tapes cross badly or the chain is too long."""
    (ax, ay), (bx, by) = (here - np.array(base.at) for base in (one, two))
    a_m, b_m = math.hypot(ax, ay), math.hypot(bx, by)
    angle = math.degrees(math.acos(max(-1.0, min(1.0, (ax * bx + ay * by) / (a_m * b_m)))))
    if abs(angle - 90.0) > TIE_FAIR_DEG:
        return None
    both = (math.hypot(TAPE_ERROR_M, base.error_m) for base in (one, two))
    error = math.hypot(*both) / math.sin(math.radians(angle))
    if error > HOP_ERROR_M:
        return None
    (x1, y1), (x2, y2) = one.at, two.at
    left = (x2 - x1) * ay - (y2 - y1) * ax >= 0
    side: Side = "left" if left else "right"
    return Tie(one.name, two.name, a_m, b_m, side, angle, error, (one.hops, two.hops))
