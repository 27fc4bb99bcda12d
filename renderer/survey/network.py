"""What was measured, as values: fixed points, readings in metres and degrees, and their names."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

XY = tuple[float, float]
Kind = Literal["tape", "along", "off", "bearing", "angle"]
Side = Literal["left", "right"]
Unit = Literal["m", "ft"]
Where = tuple[str | int, ...]

OF_LENGTH: frozenset[Kind] = frozenset({"tape", "along", "off"})


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading: metres for lengths, degrees for bearings and angles, as ``sigma``.

    ``of`` names its points: a tape from and to; ``along`` and ``off`` the two points of the line
    and the point that is set off it (plus is left); a bearing from and to, clockwise from the
    plan's y; an angle its corner, the point that it is turned from and the one it is turned to,
    clockwise. ``value`` is what is adjusted: what was read, on the level, or what it was taken as.
    ``level`` is the share of a length along the slope that lies on the level.
    ``where`` is the way to it in the survey of a plan file.
    """

    kind: Kind
    of: tuple[str, ...]
    reads: float
    sigma: float
    taken_as: float | None = None
    level: float = 1.0
    where: Where = ()

    @property
    def value(self) -> float:
        """The length on the level or the angle that the adjustment takes."""
        return (self.reads if self.taken_as is None else self.taken_as) * self.level

    @property
    def is_length(self) -> bool:
        """Whether it is in metres."""
        return self.kind in OF_LENGTH


@dataclass(frozen=True, slots=True)
class Sight:
    """Which side of a line a point lies on, as seen along it from its first point."""

    line: tuple[str, str]
    side: Side


@dataclass(frozen=True, slots=True, eq=False)
class Network:
    """All that an adjustment takes.

    ``fixed`` holds the known points, ``sights`` the sides stated for single points, ``sight`` that
    for all others. ``runs`` are traverses, each a tuple of points in their order. ``unit`` is that
    in which readings were called out, which decides what slips are likely.
    """

    fixed: dict[str, XY]
    readings: tuple[Reading, ...]
    sights: dict[str, Sight]
    sight: Sight | None = None
    runs: tuple[tuple[str, ...], ...] = ()
    unit: Unit = "m"

    @property
    def unknown(self) -> tuple[str, ...]:
        """The points to be found, in the order in which readings name them."""
        named = (name for reading in self.readings for name in reading.of)
        return tuple(dict.fromkeys(name for name in named if name not in self.fixed))

    def only(self, kept: Iterable[Reading]) -> Network:
        """The same with fewer readings."""
        return Network(
            self.fixed, tuple(kept), self.sights, self.sight, self.runs, self.unit
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Trouble:
    """Why the readings give no points: where, what, and what to do."""

    where: Where
    problem: str
    cure: str


class SurveyError(Exception):
    """Readings that give no points; ``troubles`` says of each what is missing."""

    def __init__(self, troubles: Iterable[Trouble]) -> None:
        self.troubles = tuple(troubles)
        super().__init__("; ".join(trouble.problem for trouble in self.troubles))
