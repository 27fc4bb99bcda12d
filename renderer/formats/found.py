"""What a reader finds in another program's file, before anything is made of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from renderer.plan.errors import PlanError

Point = tuple[float, float]

POINTS_MOST = 5_000
SHAPES_MOST = 500


@dataclass(frozen=True, slots=True)
class Options:
    """What the command line states about a file where the file itself does not.

    ``order`` names the columns of a table without a header. ``units`` is ``m``, ``ft``, ``mm``,
    ``cm`` or ``in``. ``checks`` are taped lengths as ``P,Q,LENGTH``. ``kinds`` are sides by the
    name of a layer, track or shape; ``*`` stands for all others. ``fixed`` are the points that
    ties start from, as ``NAME=X,Y``; ``side`` is that of the line from the first to the second of
    them on which the other points lie, ``left`` or ``right``.
    """

    order: tuple[str, ...] = ()
    units: str | None = None
    checks: tuple[str, ...] = ()
    kinds: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    fixed: tuple[str, ...] = ()
    side: str | None = None


@dataclass(frozen=True, slots=True)
class TiedPoint:
    """The tapes to one point, each from a named point and as it was read, and its side of the line.

    The readings are texts as a plan file takes them; ``side`` is empty where the row says nothing.
    """

    name: str
    tapes: tuple[tuple[str, str], ...]
    side: str = ""


@dataclass(frozen=True, slots=True)
class Tied:
    """The readings of a table of ties; ``sides`` are tapes between two points."""

    points: tuple[TiedPoint, ...]
    side: str = ""
    sides: tuple[tuple[str, str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Shape:
    """A closed line, or a circle: ``radius``, and its middle as the one point.

    ``kinds`` are those of the sides that start at each point, or one for all, or empty where the
    file says nothing (of one side: an empty text). ``arcs`` are places that a side passes through
    on its way, by its point. ``island`` says whether it is an obstacle; where nobody knows, its
    place in a lawn tells.
    ``names`` and ``lines`` are those of its points, where the file has them.
    """

    name: str
    layer: str
    points: tuple[Point, ...]
    kinds: tuple[str, ...] = ()
    line: int = 0
    island: bool | None = None
    radius: float | None = None
    arcs: Mapping[int, Point] = field(default_factory=lambda: MappingProxyType({}))
    names: tuple[str, ...] = ()
    lines: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Found:
    """All that a file holds, in ``units`` ("m" or "ft"): shapes, fixed points, the dock.

    ``named`` are the points that a check distance may name, ``told`` are comments on where it all
    comes from, ``notes`` are printed on the job's sheets, ``checks_least`` how many check
    distances are needed, ``passed_over`` what the file holds besides, in words. ``tied`` are the
    readings that the points were worked out from, where there are any; the plan file then names
    the points, the dock by ``dock_name``. ``position`` is the longitude and latitude of zero,
    degrees, where y runs north.
    """

    units: str
    shapes: tuple[Shape, ...]
    fixed: tuple[tuple[str, Point], ...] = ()
    dock: Point | None = None
    named: Mapping[str, Point] = field(default_factory=lambda: MappingProxyType({}))
    told: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    checks_least: int = 0
    passed_over: tuple[str, ...] = ()
    tied: Tied | None = None
    position: Point | None = None
    dock_name: str = ""


def require_few(path: str, points: int, shapes: int = 0) -> None:
    """Raises PlanError where there is more than a garden has."""
    for count, most, what in ((points, POINTS_MOST, "points"), (shapes, SHAPES_MOST, "shapes")):
        if count > most:
            raise PlanError(
                path, 0, "", f"holds more than {most:,} {what}", "export the garden by itself"
            )


def each_once(names: Iterable[str]) -> list[str]:
    """The names, one that has been before with a number: ``Rear``, ``Rear 2``."""
    taken: dict[str, None] = {}
    for name in names:
        own, count = name, 1
        while own in taken:
            count += 1
            own = f"{name} {count}"
        taken[own] = None
    return list(taken)
