"""The garden's own frame: coordinates that turn, shift and mirror with the garden.

A lay is worked out in it, so that nothing hangs on how the plan happens to lie on its sheet: not
how arcs are flattened, not which of two equal ways is taken, not how the grid of 0.1 mm falls.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, TypeVar

import numpy as np

from renderer.frozen import dataclass
from renderer.ground.outline import lawn_sides, side_points, signed_area
from renderer.plan.origin import placed

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from renderer.ground.lay import Point, Points
    from renderer.plan.model import Lawn, Obstacle, Plan

    Row = tuple[float | str, ...]
    T = TypeVar("T")

EQUAL_M = 5e-4  # sides that differ by less are as long; a tape reads whole millimetres
STEP_M = 1e-3  # places that fall into the same step of this are one
OFFSET = 0.137  # of a step, so that no whole millimetre or sixteenth of an inch lies at its edge
DECIMALS = 6  # of a place in the frame, so that the noise of the turning is gone


@dataclass(frozen=True, slots=True)
class Frame:
    """Its zero on the plan in metres, and the two unit vectors of its axes there.

    The wire goes anticlockwise in it: where the plan's goes clockwise, it is a mirror image.
    """

    origin: Point
    along: Point
    across: Point

    def into(self, points: Points) -> Points:
        """Points of the plan (n, 2) in the frame."""
        away: Points = (points - np.array(self.origin)) @ np.array((self.along, self.across)).T
        return away

    def back(self, points: Points) -> Points:
        """Points of the frame (n, 2) on the plan."""
        on_plan: Points = points @ np.array((self.along, self.across)) + np.array(self.origin)
        return on_plan

    def place(self, point: Point) -> Point:
        """One point of the plan in the frame, rounded."""
        away_x, away_y = point[0] - self.origin[0], point[1] - self.origin[1]
        x, y = (
            round(away_x * axis[0] + away_y * axis[1], DECIMALS) + 0.0
            for axis in (self.along, self.across)
        )
        return x, y


def own_frame(plan: Plan) -> Frame:
    """The frame along the longest side of all lawns, in the sense in which its wire is walked.

    Of several equally long, the one in which the start of the wire, and then all else, lies lowest.
    """
    frames = list(_frames(plan))
    if len(frames) == 1:
        return frames[0]
    return min(frames, key=lambda frame: _seen(plan, frame))


def _frames(plan: Plan) -> Iterator[Frame]:
    """A frame for each of the longest sides."""
    backward = plan.machine.lay_direction == "clockwise"
    chords = [
        (side.points[-1], side.points[0]) if backward else (side.points[0], side.points[-1])
        for lawn in plan.lawns
        for side in lawn_sides(lawn)
    ]
    lengths = [float(np.hypot(*(end - start))) for start, end in chords]
    hand = -1.0 if backward else 1.0
    for (start, end), length in zip(chords, lengths, strict=True):
        if length > max(lengths) - EQUAL_M and length > 0.0:
            x, y = ((end - start) / length).tolist()
            yield Frame((float(start[0]), float(start[1])), (x, y), (-hand * y, hand * x))


def _seen(plan: Plan, frame: Frame) -> tuple[Row, ...]:
    """What a plan holds as it is seen from a frame: starts, corners and obstacles, in steps."""
    homes = [loop.dock or loop.generator for loop in plan.loops]
    corners = sorted(
        (*_step(frame, vertex.at), vertex.side) for lawn in plan.lawns for vertex in lawn.outline
    )
    things = sorted(
        (*_step(frame, place), obstacle.kind)
        for obstacle in plan.obstacles
        for place in _places(obstacle)
    )
    return (*(_step(frame, home.at) for home in homes if home), *corners, *things)


def _step(frame: Frame, point: Point) -> tuple[float, float]:
    x, y = frame.place(point)
    return math.floor(x / STEP_M + OFFSET), math.floor(y / STEP_M + OFFSET)


def _places(obstacle: Obstacle) -> Sequence[Point]:
    return (obstacle.circle.at,) if obstacle.circle else obstacle.polygon or ()


def own_plan(plan: Plan, frame: Frame) -> Plan:
    """The plan in its own frame, each list of corners begun at the lowest one."""
    own = placed(plan, frame.place)
    machine = own.machine.model_copy(update={"lay_direction": "anticlockwise"})
    return own.model_copy(
        update={
            "machine": machine,
            "lawns": tuple(_begun(lawn) for lawn in own.lawns),
            "obstacles": tuple(_begun_obstacle(obstacle) for obstacle in own.obstacles),
        }
    )


def _begun(lawn: Lawn) -> Lawn:
    """The lawn with its corners listed anticlockwise from the lowest."""
    ring = lawn.outline
    sides = [side_points(*both) for both in zip(ring, (*ring[1:], ring[0]), strict=True)]
    if signed_area(np.concatenate([side[:-1] for side in sides])) < 0.0:
        ring = tuple(
            side.model_copy(update={"at": end.at})
            for side, end in zip(ring[::-1], (ring[0], *ring[:0:-1]), strict=True)
        )
    return lawn.model_copy(update={"outline": _from_lowest(ring, [vertex.at for vertex in ring])})


def _begun_obstacle(obstacle: Obstacle) -> Obstacle:
    if obstacle.polygon is None:
        return obstacle
    return obstacle.model_copy(update={"polygon": _from_lowest(obstacle.polygon, obstacle.polygon)})


def _from_lowest(ring: tuple[T, ...], places: Sequence[Point]) -> tuple[T, ...]:
    first = min(range(len(ring)), key=lambda k: (_whole(places[k]), places[k]))
    return (*ring[first:], *ring[:first])


def _whole(point: Point) -> tuple[float, float]:
    return math.floor(point[0] / STEP_M + OFFSET), math.floor(point[1] / STEP_M + OFFSET)
