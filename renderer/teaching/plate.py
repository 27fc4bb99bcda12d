"""A fault plate: a garden with one mistake made in its lay, what it trips, what no lay can hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from renderer.checks.finding import Finding
    from renderer.ground.lay import Lay, LoopLay, Point, Points
    from renderer.job import Job
    from renderer.plan.model import Plan

# What each mistake has to trip. The last five are not for a plan's check: a trainee finds them
# by the pegs, the coil or the readings that the plate shows.
TRIPS: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        "crossed-leads": frozenset({"island-not-left-out", "lawn-wired-backwards"}),
        "reversed-island": frozenset({"island-not-left-out"}),
        "reversed-lawn": frozenset({"lawn-wired-backwards"}),
        "leads-apart": frozenset({"pair-apart"}),
        "dead-gap": frozenset({"gap-too-narrow"}),
        "left-open": frozenset({"gap-too-narrow"}),
        "splice-in-lead": frozenset({"splice-in-lead-pair"}),
        "wrong-setback": frozenset({"wire-too-near-side", "wire-too-near-hazard"}),
        "sharp-corner": frozenset({"corner-too-sharp"}),
        "dock-in-corner": frozenset({"dock-not-straight", "dock-near-corner"}),
        "peg-on-service": frozenset({"peg-in-service-strip"}),
        "not-located": frozenset({"service-not-located"}),
        "pegs-apart": frozenset(),
        "coil": frozenset(),
        "terminals": frozenset(),
        "dry-splice": frozenset(),
    }
)
# Found in the record, not in the drawing.
BY_READING = frozenset({"not-located", "terminals", "dry-splice"})
SOUND = "sound"


@dataclass(frozen=True, slots=True, eq=False)
class CrossedPair:
    """The wires of a lead pair drawn over each other; its line on the ground, metres."""

    points: Points


@dataclass(frozen=True, slots=True, eq=False)
class Coil:
    """Wire left over, wound up beside its loop at a running distance in metres."""

    loop: LoopLay
    at_m: float


class Skip(NamedTuple):
    """A mistake that a garden does not get, and why: a key of the words."""

    key: str
    why: str


@dataclass(frozen=True, slots=True, eq=False)
class Plate:
    """A mistake: its key and what it is at, the plan and lay with it, and what the check says.

    ``findings`` are of the mistake itself, ``also`` what else comes with it.
    ``at`` is where it is to be marked; ``shows`` are the parts of the drawing that it changes;
    ``extra`` is what no lay can hold; ``facts``, lengths in metres, go into the sentence that
    explains it.
    """

    key: str
    of: str
    plan: Plan
    lay: Lay
    at: Point
    shows: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()
    also: tuple[Finding, ...] = ()
    extra: CrossedPair | Coil | None = None
    facts: Mapping[str, float] = field(default_factory=dict)


def unspoilt(job: Job) -> Plate:
    """The plate without any mistake."""
    return Plate(SOUND, "", job.plan, job.lay, job.lay.loops[0].start)


def swapped(plate: Plate) -> dict[str, tuple[Plan, Lay]]:
    """What a drawing takes from the plate's lay; a pair that lies apart is drawn as two wires."""
    lay = plate.lay
    if plate.key == "leads-apart":
        loops = tuple(
            replace(loop, leads=tuple(lead for lead in loop.leads if lead.of != plate.of))
            for loop in lay.loops
        )
        lay = replace(lay, loops=loops)
    return dict.fromkeys(plate.shows, (plate.plan, lay))


def place_of(plate: Plate) -> Point:
    """Where the mistake is marked: its own place, or where the check found it."""
    by_check = plate.key in ("sharp-corner", "dead-gap", "left-open")
    found = plate.findings[0].at if by_check and plate.findings else None
    return plate.at if found is None else found
