"""Rings in the plane: their area, what lies in them, and parallel lines that fill them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from renderer.geometry.lines import chain

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from renderer.geometry.lines import Chain, Point, Segment


def hatch(
    rings: Sequence[Chain], pitch: float, angle_deg: float, shift: float = 0.0
) -> list[Segment]:
    """Parallel lines that fill the rings by the even-odd rule, ``angle_deg`` anticlockwise.

    Lines lie on a grid fixed to the paper, so that neighbouring areas match.
    """
    angle = np.radians(-angle_deg)
    c, s = float(np.cos(angle)), float(np.sin(angle))
    turned = [np.column_stack((r @ (c, s), r @ (-s, c))) for r in rings if len(r) > 2]
    if not turned:
        return []
    starts = np.concatenate(turned)
    ends = np.concatenate([np.roll(r, -1, axis=0) for r in turned])
    low, high = starts[:, 1].min(), starts[:, 1].max()
    lines: list[Segment] = []
    for row in np.arange(np.ceil((low - shift) / pitch), np.floor((high - shift) / pitch) + 1):
        y = float(row * pitch + shift) + 1e-7
        crossing = (starts[:, 1] <= y) != (ends[:, 1] <= y)
        a, b = starts[crossing], ends[crossing]
        xs = np.sort(a[:, 0] + (y - a[:, 1]) / (b[:, 1] - a[:, 1]) * (b[:, 0] - a[:, 0])).tolist()
        for x0, x1 in zip(xs[::2], xs[1::2], strict=False):
            lines.append(((x0 * c - y * s, x0 * s + y * c), (x1 * c - y * s, x1 * s + y * c)))
    return lines


def area(points: Chain) -> float:
    """Signed area of a ring; positive where it runs anticlockwise with y up."""
    x, y = points[:, 0], points[:, 1]
    return float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum() / 2)


def inside(point: Point, ring: Chain) -> bool:
    """Whether the point lies inside the ring, by the even-odd rule."""
    return bool(are_inside(chain([point]), ring)[0])


def are_inside(points: Chain, ring: Chain) -> NDArray[np.bool_]:
    """For each point whether it lies inside the ring, by the even-odd rule."""
    a, b = ring, np.roll(ring, -1, axis=0)
    x, y = points[:, :1], points[:, 1:]
    crossing = (a[:, 1] <= y) != (b[:, 1] <= y)
    rise = np.where(a[:, 1] == b[:, 1], 1.0, b[:, 1] - a[:, 1])
    meets = a[:, 0] + (y - a[:, 1]) / rise * (b[:, 0] - a[:, 0])
    odd: NDArray[np.bool_] = np.count_nonzero(crossing & (meets > x), axis=1) % 2 == 1
    return odd
