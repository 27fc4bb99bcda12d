"""Slits: dead ends too thin to mow, in which the wires out and back would lie together."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.geometry.lines import distances
from renderer.ground import limits
from renderer.ground.necks import dead_ends
from renderer.ground.offset import less, rings_of
from renderer.trade import SLIT_DEEP_M, SLIT_WIDE_M

if TYPE_CHECKING:
    from collections.abc import Callable

    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import Cut, Points


def cut_slits(
    lawn: str,
    allowed: shapely.MultiPolygon,
    eroded_by: Callable[[float], shapely.MultiPolygon],
) -> tuple[shapely.MultiPolygon, list[Cut]]:
    """The allowed ground without its slits, and what was cut.

    ``eroded_by`` gives that ground eroded by some metres; it is asked only where two stretches of
    one ring lie so near together that there may be a slit.
    """
    if not any(_doubles_back(ring) for ring in rings_of(allowed)):
        return allowed, []
    eroded = eroded_by((SLIT_WIDE_M - limits.WIDTH_M) / 2)
    cuts = dead_ends(lawn, allowed, eroded, SLIT_WIDE_M, SLIT_DEEP_M)
    if not cuts:
        return allowed, []
    removed: BaseGeometry = shapely.union_all([cut.shape for cut in cuts])
    grown = removed.buffer(limits.SEPARATE_M, join_style="mitre")
    return less(allowed, grown), cuts


def _doubles_back(ring: Points) -> bool:
    """Whether a ring (n, 2) comes as near to itself as the sides of a slit, and round its end."""
    closed = np.concatenate((ring, ring[:1]))
    run = distances(closed)
    pieces = shapely.linestrings(np.stack((closed[:-1], closed[1:]), axis=1))
    one, two = shapely.STRtree(pieces).query(pieces, predicate="dwithin", distance=SLIT_WIDE_M)
    one, two = one[one < two], two[one < two]
    inner = run[two] - run[one + 1]
    outer = run[one] + run[-1] - run[two + 1]
    longest = run[one + 1] - run[one] + run[two + 1] - run[two]
    return bool(np.any(np.minimum(inner, outer) + longest > 2 * SLIT_DEEP_M))
