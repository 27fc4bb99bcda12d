"""The plan as validated values, metres inside. The shape of the file is the shape of these models.

Validation reads lengths by the context ``{"units": "m" | "ft"}``, the file's unit; without one a
bare number is metres, so ``Plan.model_validate(plan.model_dump())`` is the same plan whatever
``plan.units`` says. What each key means to a user is said in ``descriptions.py``.
"""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal, Self

from pydantic import BeforeValidator, PrivateAttr, ValidationInfo, model_validator

from renderer.plan.arcs import circle_through
from renderer.plan.base import Model
from renderer.plan.errors import Problems, refuse
from renderer.plan.kinds import Carried, FeatureKind, ObstacleKind, SideKind
from renderer.plan.limits import AtMost, NotEmpty, Within
from renderer.plan.machine import CrewRates, DockRules, Machine, PegSpacing, SlopeMax, SupplyFigures
from renderer.plan.outline import Outline, Vertex
from renderer.plan.rules import (
    feature_problems,
    lawn_problems,
    obstacle_problems,
    plan_problems,
    raise_all,
)
from renderer.plan.survey import ReferencePoint, Survey
from renderer.plan.values import (
    Day,
    Length,
    Name,
    Number,
    Point,
    Points,
    Text,
    Units,
    YesNo,
    at,
    read_pair,
    read_points,
    read_units,
    read_version,
    word_of,
)
from renderer.plan.wire import Packs, Wire

LAWNS_MAX = 200  # lawns or loops of a plan
THINGS_MAX = 2_000  # obstacles or features of a plan: laid and checked in half a minute

__all__ = [
    "Acknowledgement",
    "Circle",
    "CrewRates",
    "Crossing",
    "Customer",
    "Dock",
    "DockRules",
    "Feature",
    "FeatureKind",
    "Generator",
    "JobHead",
    "Lawn",
    "Length",
    "Loop",
    "Machine",
    "Model",
    "Obstacle",
    "ObstacleKind",
    "Packs",
    "PegSpacing",
    "Plan",
    "Point",
    "ReferencePoint",
    "SideKind",
    "SlopeMax",
    "Supply",
    "SupplyFigures",
    "Survey",
    "Vertex",
    "Wire",
]

Radius = Annotated[Length, Within(0.001, 10_000.0, " m")]


class Customer(Model):
    """Whom the crew meets; private."""

    name: Text = ""
    phone: Text = ""


class JobHead(Model):
    """The head of the plan: what its sheets are named by, and what the crew has to know."""

    number: Name
    title: Text = ""
    revision: Text = "A"
    planned_for: Day | None = None
    crew: Text = ""
    site: tuple[Text, ...] = ()
    access: Text = ""
    customer: Customer = Customer()
    notes: tuple[Text, ...] = ()
    services_asked: Text = ""  # answer to the enquiry about buried services; empty: not asked yet


class Lawn(Model):
    """One grass area; two corners are enough where a side is an arc."""

    name: Name
    outline: Outline
    loop: Name = "main"

    @model_validator(mode="after")
    def _is_drawable(self) -> Self:
        raise_all(lawn_problems(self))
        return self


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


class Feature(Model):
    """Exactly one of ``at``, ``line``, ``polygon`` or ``circle``."""

    exactly_one: ClassVar = ("at", "line", "polygon", "circle")

    name: Name
    kind: Annotated[FeatureKind, word_of(FeatureKind, "kind of feature")]
    at: Point | None = None
    line: Points | None = None
    polygon: Points | None = None
    circle: Circle | None = None
    percent: Annotated[Number, Within(0, 200, " %")] | None = None  # slope
    downhill: Point | None = None  # a point that the slope falls towards
    radius: Radius | None = None  # a sprinkler's throw
    depth: Annotated[Length, Within(0, 100, " m")] | None = None  # buried service
    carries: Annotated[Carried, word_of(Carried, "service")] | None = None  # buried service
    located: Day | None = None  # when a buried service was located and marked
    protected: YesNo | None = None  # a socket with residual-current protection
    outdoor: YesNo | None = None  # a socket rated for outdoors

    @model_validator(mode="after")
    def _is_drawable(self) -> Self:
        raise_all(feature_problems(self))
        return self


class Dock(Model):
    """Where a loop starts at the dock; moved to the nearest wire of an outer ring."""

    at: Point


class Generator(Model):
    """Where a loop starts at its own signal source."""

    at: Point
    mounted: Text = ""


class Supply(Model):
    """Where the supply stands, the length of its lead, and the way that it takes."""

    at: Point
    via: Points = ()
    lead: Annotated[Length, Within(0, 1000, " m")] | None = None


class Crossing(Model):
    """A lead pair from one lawn to another over ground that is not lawn."""

    between: Annotated[tuple[Name, Name], BeforeValidator(read_pair)]
    via: Points = ()
    under: Text = ""


class Loop(Model):
    """Exactly one of ``dock`` or ``generator``."""

    exactly_one: ClassVar = ("dock", "generator")

    name: Name = "main"
    dock: Dock | None = None
    generator: Generator | None = None
    supply: Supply | None = None
    crossings: tuple[Crossing, ...] = ()


class Acknowledgement(Model):
    """A warning that someone accepts, by name and reason; printed on the sheet."""

    rule: Name
    by: Name
    reason: Name
    about: Text = ""


class Position(Model):
    """Where on earth a point of the plan lies, degrees of WGS 84."""

    at: Point = (0.0, 0.0)
    latitude: Annotated[Number, Within(-80, 80, " degrees")]
    longitude: Annotated[Number, Within(-180, 180, " degrees")]


class Plan(Model):
    """Everything a plan file says. ``units`` is the unit it is shown in; lengths are in metres."""

    file_keys: ClassVar = ("shown_in",)

    plan: Annotated[Literal[1], BeforeValidator(read_version)]
    units: Annotated[Units, word_of(Units, "unit of a plan file")] = "m"
    job: JobHead
    machine: Machine
    survey: Survey = Survey()
    lawns: Annotated[tuple[Lawn, ...], NotEmpty(), AtMost(LAWNS_MAX)]
    obstacles: Annotated[tuple[Obstacle, ...], AtMost(THINGS_MAX)] = ()
    features: Annotated[tuple[Feature, ...], AtMost(THINGS_MAX)] = ()
    loops: Annotated[tuple[Loop, ...], NotEmpty(), AtMost(LAWNS_MAX)]
    wire: Wire
    north: Annotated[Number, Within(-360, 360, " degrees")] | None = None
    position: Position | None = None
    acknowledged: tuple[Acknowledgement, ...] = ()

    _origin: tuple[float, float] = PrivateAttr(default=(0.0, 0.0))

    @property
    def origin(self) -> tuple[float, float]:
        """Where the zero of these coordinates lies in those of the file, metres."""
        return self._origin

    def keep_origin(self, origin: tuple[float, float]) -> None:
        """Note where the zero lies; for ``plan.origin``, on a plan that it has just made."""
        self._origin = origin

    @model_validator(mode="before")
    @classmethod
    def _shown_in_another_unit(cls, value: Any) -> Any:
        """``shown_in`` takes the place of ``units``, which has done its work by then."""
        if not isinstance(value, dict) or value.get("shown_in") is None:
            return value
        for key in ("units", "shown_in"):
            try:
                read_units(value.get(key) or "m")
            except Problems as problems:
                raise Problems(at(key, problems)) from None
        rest = {key: held for key, held in value.items() if key != "shown_in"}
        return rest | {"units": value["shown_in"]}

    @model_validator(mode="after")
    def _hangs_together(self) -> Self:
        raise_all(plan_problems(self))
        return self
