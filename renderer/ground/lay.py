"""The laid wire as frozen values: what ``ground`` hands on to checks, drawing and sheets.

All lengths in metres, points as (x, y) on the ground, x east and y north.
Arrays are numpy float64 of shape (n, 2), read-only, rounded to 0.1 mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from renderer.geometry.point import Point as Point

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    from numpy.typing import NDArray
    from shapely import MultiPolygon, Polygon

    Points = NDArray[np.float64]

LegKind = Literal["tail", "outer", "island", "lead", "crossing"]
PegReason = Literal["corner", "spacing", "curve", "lead", "dock", "splice"]
CutKind = Literal[
    "overlap",  # islands whose setbacks overlap share one ring
    "merge",  # islands nearer than the least passage share one ring
    "bay",  # an island near the outer ring became a bay of it
    "pinch",  # a lawn became several working areas
    "dead_end",  # a dead end deeper than 2 x passage_min was cut off
    "left_out",  # a part too small for the machine
    "unreached",  # a part that no lead pair or crossing reaches
    "parted",  # setbacks alone part the lawn
]


def named(names: Sequence[str]) -> str:
    """Several names as one, for people to read."""
    return " + ".join(names)


@dataclass(frozen=True, slots=True, eq=False)
class Ring:
    """A closed line of wire. ``points`` runs in walking order, first point repeated last."""

    id: str
    kind: Literal["outer", "island"]
    of: str  # for people: the lawn's name, or the names of the obstacles as ``named`` writes them
    lawn: str
    points: Points
    obstacles: tuple[str, ...] = ()  # the names of those that an island's ring goes round


@dataclass(frozen=True, slots=True, eq=False)
class Lead:
    """A lead pair or a crossing: one line on the ground that carries two touching wires."""

    id: str
    kind: Literal["lead", "crossing"]
    from_ring: str  # the ring walked first
    to_ring: str
    of: str  # what the far ring is round: lawn or obstacle names
    points: Points  # from the first ring to the far ring
    length_m: float
    under: str | None = None  # what a crossing passes under


@dataclass(frozen=True, slots=True)
class Leg:
    """A stretch of the wire between two running distances. A lead pair is two legs."""

    kind: LegKind
    of: str
    from_m: float
    to_m: float
    part: str  # id of the Ring or Lead it runs on; "tail" for the tails
    back: bool = False  # the second wire of a lead pair or crossing

    @property
    def length_m(self) -> float:
        return self.to_m - self.from_m


@dataclass(frozen=True, slots=True)
class Peg:
    """A peg; ``also_at_m`` is its second running distance where it holds both wires of a pair."""

    id: str
    at_m: float
    x: float
    y: float
    round: Literal[1, 2]
    reason: PegReason
    also_at_m: float | None = None
    control: bool = False


@dataclass(frozen=True, slots=True)
class Splice:
    """A join between two lengths of wire."""

    id: str
    at_m: float
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Cut:
    """Something done to the working area so that the machine can pass, and where."""

    kind: CutKind
    lawn: str
    at: Point
    of: tuple[str, ...] = ()  # obstacles concerned
    width_m: float | None = None  # least width found, wire to wire
    area_m2: float = 0.0
    depth_m: float | None = None
    shape: Polygon | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Side:
    """One side of an outline as drawn: kind and points along it (arcs flattened)."""

    kind: str
    points: Points
    arc: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class LawnGround:
    """A lawn on the ground: outline, sides, what may carry wire, what is mown, what is not."""

    name: str
    loop: str
    outline: Polygon
    sides: tuple[Side, ...]
    allowed: MultiPolygon
    working: MultiPolygon
    trim: MultiPolygon  # lawn outside the wire that has to be cut by hand


@dataclass(frozen=True, slots=True, eq=False)
class LoopLay:
    """One loop, walked from its first terminal to its last."""

    name: str
    path: Points
    at_m: NDArray[np.float64]  # running distance of each point of path; starts at tail_m
    tail_m: float
    length_m: float
    order_length_m: float
    slope_extra_m: float
    resistance_ohm: float
    working: MultiPolygon
    working_area_m2: float
    rings: tuple[Ring, ...]
    leads: tuple[Lead, ...]
    legs: tuple[Leg, ...]
    pegs: tuple[Peg, ...]
    splices: tuple[Splice, ...]

    @property
    def start(self) -> Point:
        return (float(self.path[0, 0]), float(self.path[0, 1]))


@dataclass(frozen=True, slots=True)
class IdleCrossing:
    """A crossing that is not used: its loop and lawns, and whether it is for want of a way."""

    loop: str
    between: tuple[str, str]
    no_way: bool  # else its lawns are joined without it


@dataclass(frozen=True, slots=True)
class SpoolPiece:
    """A length of wire taken off a spool: which spool, where it lies on which loop."""

    spool: int  # 1-based, in the order of use
    spool_length_m: float
    loop: str
    from_m: float
    to_m: float


@dataclass(frozen=True, slots=True)
class Offcut:
    """What is left of a spool: cut off before a splice, or over at the end."""

    spool: int
    length_m: float
    last: bool  # over at the end, not cut off before a splice


@dataclass(frozen=True, slots=True)
class TightSplice:
    """A splice that found no place with the full clearance, and what it now lies near or in."""

    loop: str
    at_m: float
    # near a corner or pair, in the dock's run, in a pair, in the strip of a service
    where: Literal["near", "dock", "lead", "service"]


@dataclass(frozen=True, slots=True)
class SpoolPlan:
    """How the spools are used over all loops, in order. ``short_m`` is wire that is missing.

    ``proven`` means that no order has fewer splices, or as few with less waste; where the stock is
    too large to try everything it is False, and the plan is merely a good one.
    """

    pieces: tuple[SpoolPiece, ...]
    offcuts: tuple[Offcut, ...]
    short_m: float = 0.0
    unused: tuple[float, ...] = ()
    tight: tuple[TightSplice, ...] = ()
    proven: bool = True


@dataclass(frozen=True, slots=True)
class Item:
    """A line of the take-off."""

    item: str  # a key of the word catalogue, such as "wire.island" or "peg.round1"
    quantity: float
    unit: str  # "m" or "pcs"
    of: str = ""  # what it is for, where one item has several lines


@dataclass(frozen=True, slots=True)
class Lay:
    """Everything laid for one plan."""

    lawns: tuple[LawnGround, ...]
    loops: tuple[LoopLay, ...]
    cuts: tuple[Cut, ...]
    spools: SpoolPlan
    takeoff: tuple[Item, ...]
    ohm_per_m: float
    idle_crossings: tuple[IdleCrossing, ...] = ()
