"""The nearest places of many straight pieces to many points, as whole arrays."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.frozen import dataclass
from renderer.ground.offset import points_of

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import Points

    Segments = NDArray[np.float64]  # (m, 2, 2)

RANKS_MOST = 200  # places kept for each point


@dataclass(frozen=True, slots=True, eq=False)
class Feet:
    """For each of n points the nearest places of some segments, nearest first.

    ``places`` is (n, k, 2) and ``gaps`` (n, k), the distances to them in metres.
    """

    places: NDArray[np.float64]
    gaps: NDArray[np.float64]


def segments_of(lines: BaseGeometry) -> Segments:
    """Every straight piece of some lines; a point is a piece of no length."""
    pairs = []
    for part in shapely.get_parts(lines):
        points = points_of(part)
        pairs.append(
            np.stack((points[:-1], points[1:]), axis=1) if len(points) > 1 else points[None, [0, 0]]
        )
    return np.concatenate(pairs)


def feet_off(point: Points, segments: Segments) -> NDArray[np.float64]:
    """Distance of a point (2,) from each straight piece, metres."""
    start, along = segments[:, 0], segments[:, 1] - segments[:, 0]
    squared = np.maximum(np.sum(along * along, axis=1), 1e-18)
    share = np.clip(((point - start) * along).sum(axis=1) / squared, 0.0, 1.0)
    off: NDArray[np.float64] = np.hypot(*(start + share[:, None] * along - point).T)
    return off


def feet(points: Points, segments: Segments) -> Feet:
    """The nearest place of each segment to each point, the nearest few segments kept."""
    start, along = segments[:, 0], segments[:, 1] - segments[:, 0]
    squared = np.maximum(np.sum(along * along, axis=1), 1e-18)
    share = np.einsum("nmk,mk->nm", points[:, None] - start[None], along) / squared
    places = start[None] + np.clip(share, 0.0, 1.0)[:, :, None] * along[None]
    gaps = np.hypot(*(places - points[:, None]).transpose(2, 0, 1))
    order = np.argsort(gaps, axis=1, kind="stable")[:, :RANKS_MOST]
    return Feet(
        np.take_along_axis(places, order[:, :, None], axis=1),
        np.take_along_axis(gaps, order, axis=1),
    )
