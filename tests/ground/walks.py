"""Walks made by hand for tests of what is worked out along the wire."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from renderer.ground.lay import Lead, Leg, LegKind, LoopLay, Ring

Points = NDArray[np.float64]


@dataclass(frozen=True)
class Made:
    """A closed walk on the 0.1 mm grid, its running distances and its legs."""

    path: Points
    at_m: Points
    legs: tuple[Leg, ...]

    @property
    def start(self) -> float:
        return float(self.at_m[0])

    @property
    def end(self) -> float:
        return float(self.at_m[-1])

    @property
    def length_m(self) -> float:
        return self.legs[-1].to_m


Piece = tuple[LegKind, str, str, bool, Points]


def made(pieces: list[Piece], tail_m: float = 0.3) -> Made:
    """A walk of pieces (kind, of, part, back, points), each starting where the last one ended."""
    path = np.round(np.asarray(pieces[0][4][:1], dtype=float), 4)
    ends = []
    for *_, points in pieces:
        path = np.concatenate((path, np.round(np.asarray(points, dtype=float), 4)[1:]))
        ends.append(len(path) - 1)
    steps = np.diff(path, axis=0)
    at = tail_m + np.concatenate(([0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))))
    legs = [Leg("tail", "", 0.0, tail_m, "tail")]
    for (kind, of, part, back, _), end in zip(pieces, ends, strict=True):
        legs.append(Leg(kind, of, legs[-1].to_m, float(at[end]), part, back))
    legs.append(Leg("tail", "", legs[-1].to_m, legs[-1].to_m + tail_m, "tail", True))
    return Made(path, at, tuple(legs))


def plain(points: list[tuple[float, float]] | Points, tail_m: float = 0.3) -> Made:
    """A walk round one ring; ``points`` starts at the dock, its first point is not repeated."""
    ring = np.asarray(points, dtype=float)
    closed = np.concatenate((ring, ring[:1]))
    return made([("outer", "Lawn", "outer-1", False, closed)], tail_m)


def with_islands(
    ring: list[tuple[float, float]] | Points,
    islands: dict[int, tuple[Points, list[tuple[float, float]]]],
    tail_m: float = 0.3,
) -> Made:
    """A walk round a ring that leaves it at some of its points for an island.

    ``islands`` maps the index of a point of the ring to the island's ring (from where the pair
    arrives, first point not repeated) and the turns of the pair on its way there.
    """
    outer = np.asarray(ring, dtype=float)
    closed = np.concatenate((outer, outer[:1]))
    pieces: list[Piece] = []
    since = 0
    for n, (index, (island, turns)) in enumerate(sorted(islands.items()), 1):
        pieces.append(("outer", "Lawn", "outer-1", False, closed[since : index + 1]))
        lead = np.array([closed[index], *turns, island[0]])
        around = np.concatenate((island, island[:1]))
        pieces.append(("lead", f"Bed {n}", f"L{n}", False, lead))
        pieces.append(("island", f"Bed {n}", f"island-{n}", False, around))
        pieces.append(("lead", f"Bed {n}", f"L{n}", True, lead[::-1]))
        since = index
    pieces.append(("outer", "Lawn", "outer-1", False, closed[since:]))
    return made(pieces, tail_m)


def circle(
    x: float, y: float, radius: float, start_deg: float = -90.0, count: int = 0, turn: int = -1
) -> Points:
    """Points of a circle from an angle on, clockwise where ``turn`` is -1, none repeated."""
    n = count or max(12, math.ceil(math.pi / math.acos(1.0 - 1.5e-4 / radius)))
    angles = math.radians(start_deg) + turn * math.tau * np.arange(n) / n
    return np.column_stack((x + radius * np.cos(angles), y + radius * np.sin(angles)))


def arc(x: float, y: float, radius: float, from_deg: float, to_deg: float, count: int) -> Points:
    """Points of an arc, both ends included."""
    angles = np.radians(np.linspace(from_deg, to_deg, count + 1))
    return np.column_stack((x + radius * np.cos(angles), y + radius * np.sin(angles)))


def rounded_rectangle(
    x0: float, y0: float, x1: float, y1: float, radius: float, start: tuple[float, float]
) -> Points:
    """A rectangle with round corners, anticlockwise from a point on its south side."""
    corners = (
        (x1 - radius, y0 + radius, -90.0),
        (x1 - radius, y1 - radius, 0.0),
        (x0 + radius, y1 - radius, 90.0),
        (x0 + radius, y0 + radius, 180.0),
    )
    arcs = [arc(x, y, radius, deg, deg + 90.0, 24) for x, y, deg in corners]
    return np.concatenate(([start], *arcs))


def loop_lay(walk: Made, **more: object) -> LoopLay:
    """A laid loop round a walk; rings and leads are told from the legs, the rest is filled in."""
    rings: dict[str, Ring] = {}
    leads: dict[str, Lead] = {}
    for leg in walk.legs:
        if leg.kind in ("outer", "island"):
            kind = "island" if leg.kind == "island" else "outer"
            rings.setdefault(leg.part, Ring(leg.part, kind, leg.of, "Lawn", np.empty((0, 2))))
        elif leg.kind in ("lead", "crossing") and not leg.back:
            how = "crossing" if leg.kind == "crossing" else "lead"
            leads[leg.part] = Lead(
                leg.part, how, "outer-1", "island", leg.of, np.empty((0, 2)), leg.length_m
            )
    values: dict[str, object] = {
        "name": "main",
        "path": walk.path,
        "at_m": walk.at_m,
        "tail_m": walk.start,
        "length_m": walk.length_m,
        "order_length_m": walk.length_m,
        "slope_extra_m": 0.0,
        "resistance_ohm": 0.0,
        "working": None,
        "working_area_m2": 0.0,
        "rings": tuple(rings.values()),
        "leads": tuple(leads.values()),
        "legs": walk.legs,
        "pegs": (),
        "splices": (),
    }
    return LoopLay(**(values | more))  # type: ignore[arg-type]
