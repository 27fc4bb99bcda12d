"""Two tape lengths from fixed points that locate a peg, chosen so that they cross well.

An error of 3 cm in each tape moves the point by 3 cm x sqrt(2) / sin of the crossing angle.
"""

from __future__ import annotations

import math
from itertools import combinations
from typing import TYPE_CHECKING, Literal

import numpy as np

from renderer.frozen import dataclass
from renderer.ground.barriers import reached
from renderer.ground.references import Reference, reference_points, references
from renderer.trade import TAPE_ERROR_M, TIE_FAIR_DEG, TIE_GOOD_DEG

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import Point, Points
    from renderer.ground.stations import Floats

__all__ = ["Reference", "Tie", "meet", "reference_points", "references", "tie_error_m", "ties"]


AT_ONCE = 2000  # points handled together, which bounds the memory

Side = Literal["left", "right"]
Quality = Literal["good", "fair", "poor"]


@dataclass(frozen=True, slots=True)
class Tie:
    """A point by two tapes: from ``a`` and from ``b``, on one side of the line from a to b.

    Lengths in metres; ``angle_deg`` is the angle at which the tapes cross, ``error_m`` what the
    point may be off by one standard error of both tapes. ``hops`` are the ties by which a and b are
    found themselves: none for a fixed point.
    """

    a: str
    b: str
    a_m: float
    b_m: float
    side: Side
    angle_deg: float
    error_m: float
    hops: tuple[int, int] = (0, 0)

    @property
    def quality(self) -> Quality:
        """Good, fair (accepted) or poor, by the crossing angle."""
        off = abs(self.angle_deg - 90.0)
        return "good" if off <= TIE_GOOD_DEG else "fair" if off <= TIE_FAIR_DEG else "poor"

    @property
    def inch_parts(self) -> int:
        """The coarsest parts of an inch that move the point by no more than an inch.

        Half of one, with the other tape at its worst, is 1 / sin of half the angle too far.
        """
        narrow = min(self.angle_deg, 180.0 - self.angle_deg)
        off = 0.5 / math.sin(math.radians(max(narrow, 1.0) / 2.0))
        return 1 if off <= 1.0 else 2 if off <= 2.0 else 4


def meet(a: Point, b: Point, a_m: float, b_m: float, side: Side) -> Point:
    """The point at tape lengths ``a_m`` from a and ``b_m`` from b, on a side of the line a to b.

    Raises ``ValueError`` where the tapes do not meet.
    """
    apart = math.dist(a, b)
    if apart == 0 or apart > a_m + b_m + 1e-9 or apart < abs(a_m - b_m) - 1e-9:
        raise ValueError(f"tapes of {a_m:.2f} and {b_m:.2f} m do not meet over {apart:.2f} m")
    along = (a_m * a_m - b_m * b_m + apart * apart) / (2.0 * apart)
    off = math.sqrt(max(a_m * a_m - along * along, 0.0)) * (1.0 if side == "left" else -1.0)
    ex, ey = (b[0] - a[0]) / apart, (b[1] - a[1]) / apart
    return a[0] + along * ex - off * ey, a[1] + along * ey + off * ex


def tie_error_m(angle_deg: float, tape_error_m: float = TAPE_ERROR_M) -> float:
    """What a point may be off by when both tapes have the same error, metres."""
    return tape_error_m * math.sqrt(2.0) / math.sin(math.radians(angle_deg))


def ties(
    points: Points, fixed: Sequence[Reference], blocked: BaseGeometry | None = None
) -> tuple[Tie | None, ...]:
    """The best two tapes to each of ``points`` (n, 2); ``None`` where no two references reach it.

    A tape reaches as far as a person can hold it, and past nothing that is ``blocked``. Among pairs
    that cross between 30 and 150 degrees, the one nearest to a right angle, then the shorter; where
    there is none, the pair with the least error.
    """
    if len(fixed) < 2:
        return (None,) * len(points)
    found: list[Tie | None] = []
    for start in range(0, len(points), AT_ONCE):
        some = np.asarray(points[start : start + AT_ONCE], dtype=np.float64)
        found += _ties(some, fixed, blocked)
    return tuple(found)


def _ties(
    points: Points, fixed: Sequence[Reference], blocked: BaseGeometry | None
) -> list[Tie | None]:
    places = np.array([reference.at for reference in fixed], dtype=np.float64)
    reach = reached(places, points, blocked)
    first, second = np.array(list(combinations(range(len(fixed)), 2))).T
    to_fixed = places[None] - points[:, None]
    tapes = np.hypot(to_fixed[..., 0], to_fixed[..., 1])
    ways = to_fixed / np.maximum(tapes, 1e-9)[..., None]
    cosines = np.clip(np.sum(ways[:, first] * ways[:, second], axis=2), -1.0, 1.0)
    angles = np.degrees(np.arccos(cosines))
    errors = TAPE_ERROR_M * np.sqrt(2.0) / np.maximum(np.sin(np.radians(angles)), 1e-3)
    both = reach[:, first] & reach[:, second]
    costs = np.where(both, _costs(tapes[:, first], tapes[:, second], angles, errors), np.inf)
    best = np.argmin(costs, axis=1)
    rows = np.arange(len(points))
    base, off = places[second] - places[first], points[:, None] - places[None]
    left = (
        base[best, 0] * off[rows, first[best], 1] - base[best, 1] * off[rows, first[best], 0]
    ) >= 0
    return [
        Tie(
            fixed[first[k]].name,
            fixed[second[k]].name,
            float(tapes[i, first[k]]),
            float(tapes[i, second[k]]),
            "left" if left[i] else "right",
            float(angles[i, k]),
            float(errors[i, k]),
        )
        if both[i, k]
        else None
        for i, k in enumerate(best.tolist())
    ]


def _costs(one_m: Floats, two_m: Floats, angles: Floats, errors: Floats) -> Floats:
    """Degrees from a right angle for accepted pairs, and more than any of them for others."""
    off = np.abs(angles - 90.0)
    fair = off <= TIE_FAIR_DEG
    return np.asarray(
        np.where(fair, off + 1e-3 * (one_m + two_m), 1000.0 + errors), dtype=np.float64
    )
