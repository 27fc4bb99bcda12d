"""The machine's figures: what the maker's manual says, with common practice where it is silent."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal, Self

from pydantic import BeforeValidator, ValidationInfo, WithJsonSchema, model_validator

from renderer.plan.base import Model
from renderer.plan.errors import Problems, refuse, shown
from renderer.plan.kinds import SETBACK_KINDS
from renderer.plan.limits import Within, told_length, units_of
from renderer.plan.manual import FromManual, refuse_what_is_not_stated
from renderer.plan.practice import Practice
from renderer.plan.values import (
    Area,
    Length,
    Name,
    Number,
    Share,
    at,
    each_read,
    to_metres,
    unknown_word,
    word_of,
)
from renderer.plan.wire import ConductorClass, Gauge
from renderer.trade import PEG_FINAL_M, PEG_FIRST_M, SLOPE_AT_WIRE_PERCENT, SLOPE_INSIDE_PERCENT

SETBACK_MAX_M = 50.0

# The lower limits keep the number of pegs finite; they lie far below anything laid.
_Spacing = Annotated[Length, Within(0.05, 100, " m")]
_Sag = Annotated[Length, Within(0.001, 1, " m")]
_Width = Annotated[Length, Within(0.01, 100, " m")]
_Room = Annotated[Length, Within(0, 100, " m")]
_Some = Annotated[Number, Within(0, 100_000, above=True)]
_Minutes = Annotated[Number, Within(0, 10_000)]
_Angle = Annotated[Number, Within(0, 180, " degrees")]


class PegSpacing(Model):
    """Most metres between pegs: of the first pass alone, and of both together."""

    first: _Spacing
    final: _Spacing

    @model_validator(mode="after")
    def _final_is_closer(self) -> Self:
        if self.final > self.first:
            refuse(
                "the final spacing is wider than the first",
                "make the spacing after the test lap the smaller of the two",
                ("final",),
            )
        return self


class SlopeMax(Model):
    """Steepest ground that is mown, and steepest along the wire, in percent."""

    inside: Share = SLOPE_INSIDE_PERCENT
    at_wire: Share = SLOPE_AT_WIRE_PERCENT


class DockRules(Model):
    """What the dock asks of the wire about it, of the ground and of its lead."""

    straight_before: _Room = 1.0
    straight_after: _Room = 1.0
    clear_of_corner: _Room = 1.0
    lead_max: Annotated[Length, Within(0, 1000, " m", above=True)] = 10.0
    level_max_percent: Share = 5.0


class SupplyFigures(Model):
    """Low-voltage side of the supply, for the drop in the lead; from the maker's manual."""

    exactly_one: ClassVar = ("conductor_mm2", "conductor_awg")

    current_a: _Some
    voltage_v: _Some
    conductor_mm2: _Some | None = None
    conductor_awg: Gauge | None = None
    conductor_class: ConductorClass = 5
    drop_max_percent: Share = 5.0


class CrewRates(Model):
    """Two-person minutes; common practice, no published source."""

    fixed: _Minutes = 40.0
    per_control: _Minutes = 1.0
    per_m: _Minutes = 0.30
    per_island: _Minutes = 8.0
    per_splice: _Minutes = 3.0
    per_crossing: _Minutes = 25.0
    dock: _Minutes = 20.0
    test: _Minutes = 25.0


def read_setback(value: object, info: ValidationInfo) -> dict[str, float]:
    """Setbacks in metres by kind; raises Problems, one for each bad entry."""
    if not isinstance(value, dict):
        refuse(f"{shown(value)} is not a table of setbacks", "write {wall: 0.3, bed: 0.3, ...}")
    unit = units_of(info)
    read = each_read(value.items(), lambda kind, length: _setback(kind, length, unit))
    return dict(zip(map(str, value), read, strict=True))


def _setback(kind: object, value: object, unit: str) -> float:
    if kind == "firm":
        refuse("a firm obstacle stops the machine by itself", "leave this setback out")
    if kind not in SETBACK_KINDS:
        unknown_word(kind, SETBACK_KINDS, "kind with a setback")
    return Within(0, SETBACK_MAX_M, " m").check(to_metres(value, unit), unit)


Setback = Annotated[
    dict[str, float], BeforeValidator(read_setback), WithJsonSchema({"form": "Setback"})
]


class Machine(Model):
    """The figures of the maker's manual, lengths in metres."""

    label: Name
    # copied from the maker's manual and checked: all that is stated here, or those that are named
    from_manual: FromManual | None = None
    lay_direction: Annotated[
        Literal["anticlockwise", "clockwise"],
        word_of(Literal["anticlockwise", "clockwise"], "direction"),
    ] = "anticlockwise"
    setback: Setback  # by kind, not "firm"
    corner_radius: Annotated[Length, Within(0, 50, " m")] = 0.0
    corner_angle_min: _Angle | None = None  # degrees; a sharper corner of the wire is cut off
    corner_cut: _Width = 0.6  # chord of that cut; common practice, no published source
    passage_min: _Width
    loop_max: Annotated[Length, Within(1, 100_000, " m")]
    area_max: Area | None = None  # most ground that the machine is made to mow
    loop_gap: _Room = 1.0  # least distance between wires of two loops; common practice
    lead_clear_of_corner: _Room = 0.0  # least distance along the ring from a corner to a lead pair
    tail: _Room = 0.3
    peg_spacing: PegSpacing = PegSpacing(first=PEG_FIRST_M, final=PEG_FINAL_M)
    peg_sag: _Sag = 0.02
    splice_clear: _Room = 1.0  # of corners and lead pairs; common practice
    slope_max_percent: SlopeMax = SlopeMax()
    dock: DockRules = DockRules()
    supply: SupplyFigures | None = None
    minutes: CrewRates = CrewRates()
    practice: Practice = Practice()

    @model_validator(mode="after")
    def _bends_fit_the_passage(self, info: ValidationInfo) -> Self:
        if self.corner_radius > self.passage_min / 2.0 + 1e-9:
            refuse(
                "the radius is more than half of passage_min",
                f"give at most {told_length(self.passage_min / 2.0, units_of(info))}",
                ("corner_radius",),
            )
        return self

    @model_validator(mode="after")
    def _vouches_for_what_is_stated(self) -> Self:
        try:
            refuse_what_is_not_stated(self)
        except Problems as problems:
            raise Problems(at("from_manual", problems)) from None
        return self
