"""More points to tape from, so that the wire is reached by two tapes that cross well."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.ground.barriers import barriers, reached
from renderer.trade import REFERENCES_ADDED, REFERENCES_APART_M, TIE_FAIR_DEG

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from renderer.ground.lay import LawnGround, Points
    from renderer.plan.model import Plan

SAMPLE_M = 2.0  # the wire is looked at in steps of this
REACH_SHARE = 0.2  # worth of one tape to a place that has no good pair yet
BEND_M = 0.05  # bends of the wire smaller than this are not looked at


def wanted(
    plan: Plan, lawns: Sequence[LawnGround], own: Points, corners: Points, worth: Sequence[float]
) -> list[int]:
    """Which of ``corners`` (k, 2) to tape from besides ``own`` points (n, 2), by index.

    Each time the one that gives most places of the wire a good pair, weighed by ``worth``, until
    all have one, no other helps, or there are as many points as a crew keeps apart.
    """
    wire = _samples(lawns)
    if len(wire) == 0 or len(corners) == 0:
        return []
    places = np.concatenate((own, corners))
    reach = reached(places, wire, barriers(plan, lawns)).T
    ways = wire[None] - places[:, None]
    ways /= np.maximum(np.hypot(ways[..., 0], ways[..., 1]), 1e-9)[..., None]
    chosen = list(range(len(own)))
    left = list(range(len(own), len(places)))
    good = np.zeros(len(wire), dtype=bool)
    for at, place in enumerate(chosen):
        good |= _crossed(place, chosen[:at], reach, ways)
    while left and not good.all() and len(chosen) - len(own) < REFERENCES_ADDED:
        news = {k: _crossed(k, chosen, reach, ways) & ~good for k in left}
        gains = {
            k: worth[k - len(own)] * (news[k].sum() + REACH_SHARE * (reach[k] & ~good).sum())
            for k in left
        }
        best = max(left, key=lambda k: gains[k])
        if gains[best] < 1.0:
            break
        chosen.append(best)
        good |= news[best]
        away = np.hypot(*(places - places[best]).T)
        left = [k for k in left if away[k] >= REFERENCES_APART_M]
    return [k - len(own) for k in chosen[len(own) :]]


def _crossed(
    place: int, others: Sequence[int], reach: NDArray[np.bool_], ways: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Where a tape from one place crosses one from another well, by place of the wire."""
    found = np.zeros(reach.shape[1], dtype=bool)
    least = math.cos(math.radians(90.0 - TIE_FAIR_DEG))
    for other in others:
        cosines = np.abs(np.sum(ways[place] * ways[other], axis=1))
        found |= reach[place] & reach[other] & (cosines <= least)
    return found


def _samples(lawns: Sequence[LawnGround]) -> Points:
    """Places along the border of what is mown, shape (n, 2)."""
    rings = [shapely.get_parts(shapely.boundary(lawn.working)) for lawn in lawns]
    lines = shapely.simplify(np.concatenate(rings), BEND_M) if rings else []
    close = shapely.segmentize(lines, SAMPLE_M)
    return np.concatenate([np.empty((0, 2)), *(shapely.get_coordinates(line) for line in close)])
