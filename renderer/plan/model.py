"""The plan as validated values, metres inside. The shape of the file is the shape of these models."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

Length = Annotated[float, "metres"]  # parsed by lengths.py
Point = tuple[Length, Length]

SideKind = Literal[
    "flush", "kerb", "wall", "fence", "hedge", "bed", "water", "drop", "road", "neighbour"
]
ObstacleKind = Literal[
    "flush", "kerb", "wall", "fence", "hedge", "bed", "water", "drop", "road", "neighbour",
    "firm", "low", "soft", "tree",
]
FeatureKind = Literal[
    "sprinkler", "buried cable", "buried pipe", "slope", "paving", "gate", "socket", "play", "building"
]


class Model(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Customer(Model):
    name: str = ""
    phone: str = ""


class Job(Model):
    number: str
    title: str = ""
    revision: str = "A"
    planned_for: date | None = None
    crew: str = ""
    site: tuple[str, ...] = ()
    access: str = ""
    customer: Customer = Customer()
    notes: tuple[str, ...] = ()
    services_asked: str = ""  # answer to the enquiry about buried services; empty: not asked yet


class PegSpacing(Model):
    first: Length
    final: Length


class SlopeMax(Model):
    inside: float = 35.0
    at_wire: float = 15.0


class DockRules(Model):
    straight_before: Length = 1.0
    straight_after: Length = 1.0
    clear_of_corner: Length = 1.0
    lead_max: Length = 10.0
    level_max_percent: float = 5.0


class SupplyFigures(Model):
    """Low-voltage side of the supply, for the drop in the lead; from the maker's manual."""

    current_a: float
    voltage_v: float
    conductor_mm2: float
    drop_max_percent: float = 5.0


class CrewRates(Model):
    """Two-person minutes; common practice, no published source."""

    fixed: float = 40.0
    per_m: float = 0.30
    per_island: float = 8.0
    per_splice: float = 3.0
    per_crossing: float = 25.0
    dock: float = 20.0
    test: float = 25.0


class Machine(Model):
    label: str
    from_manual: bool | None = None  # figures copied from the maker's manual and checked: yes or no
    lay_direction: Literal["anticlockwise", "clockwise"] = "anticlockwise"
    setback: dict[str, Length]  # by side or obstacle kind (not "firm")
    corner_radius: Length = 0.0
    corner_angle_min: float | None = None  # degrees; a sharper corner of the wire is cut off
    corner_cut: Length = 0.6  # chord of that cut; common practice, no published source
    passage_min: Length
    loop_max: Length
    loop_gap: Length = 1.0  # least distance between wires of two loops; common practice
    lead_clear_of_corner: Length = 0.0  # least distance along the ring from a corner to a lead pair
    tail: Length = 0.3
    peg_spacing: PegSpacing = PegSpacing(first=3.0, final=0.75)
    peg_sag: Length = 0.02
    splice_clear: Length = 1.0  # of corners and lead pairs; common practice
    slope_max_percent: SlopeMax = SlopeMax()
    dock: DockRules = DockRules()
    supply: SupplyFigures | None = None
    minutes: CrewRates = CrewRates()


class ReferencePoint(Model):
    """A fixed point that can be found again: a house corner, a gate post."""

    name: str
    at: Point
    what: str = ""


class Survey(Model):
    """Reference points; measurements come with the survey itself."""

    points: tuple[ReferencePoint, ...] = ()


class Vertex(Model):
    """A corner of an outline, and the side that starts there; ``through`` makes it an arc.

    Written ``[x, y, kind]`` or ``{at: [x, y], side: kind, through: [x, y]}``.
    """

    at: Point
    side: SideKind
    through: Point | None = None


class Lawn(Model):
    name: str
    outline: tuple[Vertex, ...] = Field(min_length=3)  # two are enough where a side is an arc
    loop: str = "main"


class Circle(Model):
    at: Point
    radius: Length


class Obstacle(Model):
    """Either ``circle`` or ``polygon``."""

    name: str
    kind: ObstacleKind
    circle: Circle | None = None
    polygon: tuple[Point, ...] | None = None


class Feature(Model):
    """Exactly one of ``at``, ``line``, ``polygon`` or ``circle``."""

    name: str
    kind: FeatureKind
    at: Point | None = None
    line: tuple[Point, ...] | None = None
    polygon: tuple[Point, ...] | None = None
    circle: Circle | None = None
    percent: float | None = None  # slope
    radius: Length | None = None  # a sprinkler's throw
    depth: Length | None = None  # of a buried service
    located: date | None = None  # when a buried service was located and marked
    protected: bool | None = None  # a socket with residual-current protection
    outdoor: bool | None = None  # a socket rated for outdoors


class Dock(Model):
    at: Point


class Generator(Model):
    at: Point
    mounted: str = ""


class Supply(Model):
    at: Point
    lead: Length | None = None


class Crossing(Model):
    between: tuple[str, str]
    via: tuple[Point, ...] = ()
    under: str = ""


class Loop(Model):
    """Exactly one of ``dock`` or ``generator``."""

    name: str = "main"
    dock: Dock | None = None
    generator: Generator | None = None
    supply: Supply | None = None
    crossings: tuple[Crossing, ...] = ()


class Packs(Model):
    """Pack sizes for rounding up; empty means single pieces."""

    pegs: int | None = None
    connectors: int | None = None
    terminals: int | None = None


class Wire(Model):
    """Exactly one of ``conductor_mm2``, ``conductor_awg``, ``ohm_per_100m``."""

    conductor_mm2: float | None = None
    conductor_awg: int | None = None
    ohm_per_100m: float | None = None  # from the label, or measured on the full spool
    conductor: str = "copper"
    conductor_class: Literal[1, 2, 5] = 5  # IEC 60228
    spools: tuple[Length, ...] = ()
    slack_percent: float = Field(default=5.0, ge=0)
    peg_spare_percent: float = 10.0  # common practice, no published source
    packs: Packs = Packs()


class Acknowledgement(Model):
    """A warning that someone accepts, by name and reason; printed on the sheet."""

    rule: str
    by: str
    reason: str
    about: str = ""


class Plan(Model):
    plan: Literal[1]
    units: Literal["m", "ft"] = "m"
    job: Job
    machine: Machine
    survey: Survey = Survey()
    lawns: tuple[Lawn, ...] = Field(min_length=1)
    obstacles: tuple[Obstacle, ...] = ()
    features: tuple[Feature, ...] = ()
    loops: tuple[Loop, ...] = Field(min_length=1)
    wire: Wire
    acknowledged: tuple[Acknowledgement, ...] = ()
