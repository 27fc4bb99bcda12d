"""The plan as validated values, metres inside. The shape of the file is the shape of these models.

Validation reads lengths by the context ``{"units": "m" | "ft"}``, the file's unit; without one a
bare number is metres, so ``Plan.model_validate(plan.model_dump())`` is the same plan whatever
``plan.units`` says. What each key means to a user is said in ``descriptions.py``.
"""

from __future__ import annotations

from collections.abc import Mapping as MappingOf
from typing import Annotated, Any, ClassVar, Literal, Self

from pydantic import BeforeValidator, PrivateAttr, model_validator

from renderer.plan.base import Model
from renderer.plan.errors import Problems
from renderer.plan.figures import Stated
from renderer.plan.kinds import Carried, FeatureKind, ObstacleKind, SideKind
from renderer.plan.limits import AtMost, NotEmpty, Within
from renderer.plan.machine import CrewRates, DockRules, Machine, PegSpacing, SlopeMax, SupplyFigures
from renderer.plan.obstacle import Circle, Obstacle, Radius
from renderer.plan.outline import Outline, Vertex
from renderer.plan.records import CHANGES_MAX, Record, Revision
from renderer.plan.rules import (
    feature_problems,
    lawn_problems,
    plan_problems,
    raise_all,
)
from renderer.plan.source import Source
from renderer.plan.survey import ReferencePoint, Survey
from renderer.plan.values import (
    Day,
    Digest,
    Length,
    Line,
    Name,
    Number,
    Point,
    Points,
    Text,
    Units,
    YesNo,
    at,
    read_pair,
    read_units,
    read_version,
    word_of,
)
from renderer.plan.wire import Packs, Wire

LAWNS_MAX = 200  # lawns or loops of a plan
SITE_LINES_MAX = 6  # of the address
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
    "Record",
    "ReferencePoint",
    "Revision",
    "SideKind",
    "SlopeMax",
    "Supply",
    "SupplyFigures",
    "Survey",
    "Vertex",
    "Wire",
]


class Customer(Model):
    """Whom the crew meets; private."""

    name: Line = ""
    phone: Line = ""


class JobHead(Model):
    """The head of the plan: what its sheets are named by, and what the crew has to know."""

    number: Name
    title: Line = ""
    revision: Line = "A"
    planned_for: Day | None = None
    crew: Line = ""
    site: Annotated[tuple[Line, ...], AtMost(SITE_LINES_MAX, "keep it to {most} lines")] = ()
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
    mounted: Line = ""


class Supply(Model):
    """Where the supply stands, the length of its lead, and the way that it takes."""

    at: Point
    via: Points = ()
    lead: Annotated[Length, Within(0, 1000, " m")] | None = None


class Crossing(Model):
    """A lead pair from one lawn to another over ground that is not lawn."""

    between: Annotated[tuple[Name, Name], BeforeValidator(read_pair)]
    via: Points = ()
    under: Line = ""


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
    figure: Stated | None = None


class Position(Model):
    """Where on earth a point of the plan lies, degrees of WGS 84."""

    at: Point = (0.0, 0.0)
    latitude: Annotated[Number, Within(-80, 80, " degrees")]
    longitude: Annotated[Number, Within(-180, 180, " degrees")]


class OwnerCopy(Model):
    """That a plan is a copy without what is private: ``of`` which plan, and what it ``holds``."""

    of: Digest
    holds: Digest


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
    revisions: Annotated[tuple[Revision, ...], AtMost(CHANGES_MAX)] = ()
    as_built: Record | None = None
    changes: Annotated[tuple[Record, ...], AtMost(CHANGES_MAX)] = ()
    owner_copy: OwnerCopy | None = None

    _source: Source = PrivateAttr(default=Source())
    _origin: tuple[float, float] = PrivateAttr(default=(0.0, 0.0))

    @property
    def records(self) -> tuple[Record, ...]:
        """What was laid otherwise and changed later, the first first; none as designed."""
        return () if self.as_built is None else (self.as_built, *self.changes)

    @property
    def source(self) -> Source:
        """The files it was read from, and where its records stand for errors that show late."""
        return self._source

    def keep_source(self, source: Source) -> None:
        """Note what it was read from; for the reader, on a plan that it has just made."""
        self._source = source

    @property
    def origin(self) -> tuple[float, float]:
        """Where the zero of these coordinates lies in those of the file, metres."""
        return self._origin

    def keep_origin(self, origin: tuple[float, float]) -> None:
        """Note where the zero lies; for ``plan.origin``, on a plan that it has just made."""
        self._origin = origin

    def model_copy(self, *, update: MappingOf[str, Any] | None = None, deep: bool = False) -> Self:
        """A copy, with changes; one that is changed is no longer what its files say."""
        copy = super().model_copy(update=update, deep=deep)
        if update:
            copy._source = self._source.without_files
        return copy

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
