"""Things that wire goes round, as the plan file has them."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Self

from pydantic import ValidationInfo, model_validator

from renderer.plan.arcs import circle_through
from renderer.plan.base import Model
from renderer.plan.errors import Problems, refuse
from renderer.plan.kinds import ObstacleKind
from renderer.plan.limits import Within
from renderer.plan.rules import obstacle_problems, raise_all
from renderer.plan.values import Length, Name, Point, Points, at, read_points, word_of

Radius = Annotated[Length, Within(0.001, 10_000.0, " m")]


def _in_metres(point: tuple[float, float]) -> list[str]:
    return [f"{along!r} m" for along in point]


class Circle(Model):
    """A round obstacle or feature, by centre and radius or ``through`` three points of its edge."""

    at: Point
    radius: Radius
    through: Points = ()

    @model_validator(mode="before")
    @classmethod
    def _by_its_edge(cls, value: Any, info: ValidationInfo) -> Any:
        """Centre and radius from three points; what a dump says of both is worked out again."""
        if not isinstance(value, dict) or not value.get("through"):
            return value
        given = value["through"]
        try:
            points = read_points(given, info)
            if len(points) != 3:
                refuse("a circle needs three points", "give three points on its edge")
            circle = circle_through(*points)
            if circle is None:
                refuse("the three points lie on a straight line", "spread them round the edge")
        except Problems as problems:
            raise Problems(at("through", problems)) from None
        centre, radius = circle
        # lengths with their unit, since bare numbers are in the file's
        return value | {
            "at": _in_metres(centre),
            "radius": f"{radius!r} m",
            "through": [_in_metres(point) for point in points],
        }


class Obstacle(Model):
    """Either ``circle`` or ``polygon``."""

    exactly_one: ClassVar = ("circle", "polygon")

    name: Name
    kind: Annotated[ObstacleKind, word_of(ObstacleKind, "kind of obstacle")]
    circle: Circle | None = None
    polygon: Points | None = None
    depth: Annotated[Length, Within(0, 100, " m")] | None = None  # of water

    @model_validator(mode="after")
    def _is_drawable(self) -> Self:
        raise_all(obstacle_problems(self))
        return self
