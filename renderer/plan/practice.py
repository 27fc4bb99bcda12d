"""Figures of common practice, each of which a machine's file may replace by its own."""

from __future__ import annotations

from typing import Annotated

from renderer.plan.base import Model
from renderer.plan.limits import Within
from renderer.plan.values import Length, Number, Whole

_Hand = Annotated[Length, Within(0.001, 1, " m")]
_Room = Annotated[Length, Within(0, 100, " m")]
_Clear = Annotated[Length, Within(0.01, 100, " m")]
_Field = Annotated[Length, Within(0.1, 100, " m")]
_Stock = Annotated[Length, Within(0.1, 10_000, " m")]
_Times = Annotated[Whole, Within(1, 5)]
_Percent = Annotated[Number, Within(0, 100, " %")]
_Ohm = Annotated[Number, Within(0, 1000, " ohm")]
_Megohm = Annotated[Number, Within(0, 10_000, " Mohm", above=True)]
_Volt = Annotated[Number, Within(10, 1000, " V")]
_Hours = Annotated[Number, Within(0, 24, " hours", above=True)]


class Practice(Model):
    """What the sheets print with an asterisk unless it is stated here.

    What is left out stays None; the sheets then take the common figure of their own unit, so that
    a figure that was stated and one that was not stay apart even where they are equal.
    """

    grass: _Hand | None = None
    strip_terminal: _Hand | None = None
    strip_splice: _Hand | None = None
    tie_within: _Hand | None = None
    lap_from: _Room | None = None
    dockings: _Times | None = None
    reading_percent: _Percent | None = None
    reading_ohm: _Ohm | None = None
    insulation_megohm: _Megohm | None = None
    insulation_volt: _Volt | None = None
    as_built_grid: _Field | None = None
    keep_off: _Clear | None = None
    cable_off: _Clear | None = None
    day_hours: _Hours | None = None
    repair_stock: _Stock | None = None
