"""From what a file holds to what a plan says: lawns, islands, the dock; nothing is guessed."""

from __future__ import annotations

import math
import os
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from renderer.formats.found import Found, Options, Point, Shape, Tied, each_once, require_few
from renderer.plan.errors import PlanError, did_you_mean, shown
from renderer.plan.kinds import SETBACK_KINDS, SIDE_KINDS
from renderer.plan.lengths import UNITS, LengthError, metres

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

CHECK_LEAST_M = 0.10  # by which a check distance may be off; common practice, no published source
CHECK_SHARE = 0.01  # the same, of its length
OBSTACLE_KINDS = (*SETBACK_KINDS, "firm")


@dataclass(frozen=True, slots=True)
class Draft:
    """What a new plan file is to say; lengths in ``units``.

    With ``tied`` its points are named, else they are written by their coordinates.
    """

    title: str
    number: str
    units: str
    lawns: tuple[Shape, ...]
    islands: tuple[Shape, ...] = ()
    fixed: tuple[tuple[str, Point], ...] = ()
    dock: Point | None = None
    told: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    services: str = ""
    spools: tuple[float, ...] = ()
    tied: Tied | None = None
    position: Point | None = None
    dock_name: str = ""


def draft_of(path: str, found: Found, options: Options) -> Draft:
    """The lawns and islands among the shapes of a file. Raises PlanError."""
    require_few(path, sum(len(each.points) for each in found.shapes), len(found.shapes))
    closed = [each for each in found.shapes if each.radius or len(each.points) >= 3]
    if not any(each.radius is None for each in closed):
        problem = "it contains no lawn"
        if besides := [*_left_out(found, closed), *found.passed_over]:
            problem += f"; {besides[0][0].lower()}{besides[0][1:].rstrip('.')}"
        cure = "draw each lawn as a closed line of three points or more"
        raise PlanError(path, 0, "", problem, cure)
    once = _drawn_once(closed)
    lawns, islands = _sorted(path, [_with_kinds(path, each, options) for each in once])
    if not lawns:
        cure = "draw the lawn's edge as a closed line of its own"
        raise PlanError(path, 0, "", "each of its shapes is said to be an island", cure)
    checked = tuple(_checks(path, found, options.checks))
    if len(checked) < found.checks_least:
        raise _too_few_checks(path, found)
    stem = os.path.splitext(os.path.basename(path))[0]
    return Draft(
        title=stem[:60],
        number=stem[:40],
        units=found.units,
        lawns=_named(lawns, "Lawn"),
        islands=_named(islands, "Island"),
        fixed=found.fixed,
        dock=found.dock,
        told=(
            *found.told,
            *_twice(closed, once),
            *_left_out(found, closed),
            *found.passed_over,
            *checked,
        ),
        notes=found.notes,
        tied=found.tied,
        position=found.position,
        dock_name=found.dock_name,
    )


def _left_out(found: Found, closed: Sequence[Shape]) -> Iterator[str]:
    names = [each.name for each in found.shapes if each not in closed]
    if names:
        yield f"Left out, with fewer than three points: {', '.join(names[:20])}."


def _drawn_once(shapes: Sequence[Shape]) -> list[Shape]:
    """The shapes without those that lie point for point on one before."""
    kept: dict[tuple[object, ...], Shape] = {}
    for shape in shapes:
        places = sorted((round(x, 3), round(y, 3)) for x, y in shape.points)
        kept.setdefault((*places, round(shape.radius or 0.0, 3)), shape)
    return list(kept.values())


def _twice(shapes: Sequence[Shape], once: Sequence[Shape]) -> Iterator[str]:
    kept = set(map(id, once))
    names = [each.name for each in shapes if id(each) not in kept]
    if names:
        yield f"Drawn twice and taken once: {', '.join(names[:20])}."


def _with_kinds(path: str, shape: Shape, options: Options) -> Shape:
    """The shape with the kind of each side, from the file or else from the table of kinds."""
    kinds, table = shape.kinds, options.kinds
    if not kinds or "" in kinds:
        stated = next((table[k] for k in (shape.name, shape.layer, "*") if k in table), None)
        if stated is None:
            label = shape.layer or shape.name
            sides = "some of its sides" if kinds else "its sides"
            problem = f"nothing says what is along {sides}"
            cure = f"add --kinds '{label}=hedge', or '*=hedge' for all; kinds are " + ", ".join(
                SIDE_KINDS
            )
            raise PlanError(path, shape.line, label, problem, cure)
        kinds = tuple(kind or stated for kind in kinds or ("",))
    for index, kind in enumerate(kinds):
        if kind not in OBSTACLE_KINDS:
            line = shape.lines[index] if shape.lines else shape.line
            cure = did_you_mean(kind, OBSTACLE_KINDS) or "write " + ", ".join(SIDE_KINDS)
            raise PlanError(path, line, shape.name, f"{shown(kind)} is not a known kind", cure)
    return replace(shape, kinds=kinds * len(shape.points) if len(kinds) == 1 else kinds)


def _sorted(path: str, shapes: Sequence[Shape]) -> tuple[list[Shape], list[Shape]]:
    """Lawns, and what lies in an odd number of other shapes or is said to be an island."""
    lawns: list[Shape] = []
    islands: list[Shape] = []
    for shape in shapes:
        island = shape.island
        if island is None:
            around = sum(
                _holds(each.points, shape.points[0])
                for each in shapes
                if each is not shape and each.radius is None and each.island is not True
            )
            island = bool(shape.radius) or around % 2 == 1
        if not island and (odd := [kind for kind in shape.kinds if kind not in SIDE_KINDS]):
            cure = "write " + ", ".join(SIDE_KINDS)
            raise PlanError(path, shape.line, shape.name, f"{odd[0]} is not a kind of side", cure)
        if island and len(set(shape.kinds)) > 1:
            cure = "give all its rows the same kind"
            raise PlanError(path, shape.line, shape.name, "an island has only one kind", cure)
        (islands if island else lawns).append(shape)
    return lawns, islands


def _holds(ring: Sequence[Point], at: Point) -> bool:
    """Whether a place lies in a ring, by the sides that a ray from it to the right crosses."""
    inside = False
    for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True):
        if (ay > at[1]) != (by > at[1]) and at[0] < ax + (at[1] - ay) / (by - ay) * (bx - ax):
            inside = not inside
    return inside


def _named(shapes: Sequence[Shape], usual: str) -> tuple[Shape, ...]:
    """The shapes, each with a name of its own."""
    names = each_once(" ".join(shape.name.split())[:60] or usual for shape in shapes)
    return tuple(replace(shape, name=name) for shape, name in zip(shapes, names, strict=True))


def _checks(path: str, found: Found, checks: Sequence[str]) -> Iterator[str]:
    """A comment for each check distance that holds; PlanError for one that does not."""
    unit = UNITS[found.units]
    for text in checks:
        parts = [part.strip() for part in text.split(",", 2)]
        key = f"--check-distance {text}"
        if len(parts) != 3:
            raise PlanError(path, 0, key, "is not P,Q,LENGTH", "write two points and the length")
        for name in parts[:2]:
            if name not in found.named:
                few = ", ".join(shown(each)[1:-1] for each in list(found.named)[:8])
                cure = did_you_mean(name, found.named) or f"its points are {few} ..."
                raise PlanError(path, 0, key, f"there is no point {shown(name)}", cure)
        try:
            taped = metres(parts[2], found.units)
        except LengthError as error:
            raise PlanError(path, 0, key, error.problem, error.cure) from None
        drawn = math.dist(found.named[parts[0]], found.named[parts[1]]) * unit
        told = f"{parts[0]} to {parts[1]}: {drawn / unit:.2f} {found.units} in the file"
        if abs(drawn - taped) > max(CHECK_LEAST_M, CHECK_SHARE * taped):
            cure = "check the units, the order of the columns, and which points were taped"
            raise PlanError(path, 0, key, told + " does not agree with the tape", cure)
        yield f"{told}, {taped / unit:.2f} {found.units} taped."


def _too_few_checks(path: str, found: Found) -> PlanError:
    names = list(found.named)
    pairs = f"{names[0]},{names[len(names) // 2]},LENGTH" if names else "P,Q,LENGTH"
    return PlanError(
        path,
        0,
        "--check-distance",
        f"needs {found.checks_least} lengths taped on the ground",
        f"add --check-distance {pairs}; its points are {', '.join(names[:8])} ...",
    )
