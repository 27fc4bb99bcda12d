"""The sides of all lawns, numbered through the plan, and where a place lies square to one."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from renderer.frozen import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from renderer.ground.lay import LawnGround, Point, Points


@dataclass(frozen=True, slots=True, eq=False)
class NumberedSide:
    """A side with its number, counted from 1 through all lawns; the lawn is on its left."""

    number: int
    lawn: str
    kind: str
    points: Points
    arc: bool

    @property
    def length_m(self) -> float:
        return float(np.hypot(*np.diff(self.points, axis=0).T).sum())


@dataclass(frozen=True, slots=True, eq=False)
class Foot:
    """The place of a side nearest to a point: its distance along the side, and from the point."""

    side: NumberedSide
    at: Point
    along_m: float
    off_m: float


def numbered_sides(lawns: Sequence[LawnGround]) -> tuple[NumberedSide, ...]:
    """All sides in the order of the lawns."""
    found = [(lawn.name, side) for lawn in lawns for side in lawn.sides]
    return tuple(
        NumberedSide(number, name, side.kind, side.points, side.arc)
        for number, (name, side) in enumerate(found, 1)
    )


def foot(point: Point, sides: Sequence[NumberedSide]) -> Foot:
    """The place of any of the sides that is nearest to a point; there must be a side."""
    return min((_foot(point, side) for side in sides), key=lambda each: each.off_m)


def _foot(point: Point, side: NumberedSide) -> Foot:
    steps = np.diff(side.points, axis=0)
    lengths = np.hypot(*steps.T)
    square = np.maximum(lengths * lengths, 1e-18)
    share = np.clip(((np.array(point) - side.points[:-1]) * steps).sum(axis=1) / square, 0.0, 1.0)
    places = side.points[:-1] + share[:, None] * steps
    off = np.hypot(*(places - point).T)
    k = int(np.argmin(off))
    along = float(lengths[:k].sum() + share[k] * lengths[k])
    return Foot(side, (float(places[k, 0]), float(places[k, 1])), along, float(off[k]))
