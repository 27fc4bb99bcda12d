"""Fault plates: a garden with one mistake made in its plan or lay, and the check that it trips."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from renderer.language import Words
from renderer.sheets.job import JobData

if TYPE_CHECKING:
    from renderer.checks.finding import Finding
    from renderer.drawing.scene import Part, Scene
    from renderer.ground.lay import Lay, Lead, LoopLay, Point
    from renderer.plan.model import Plan

# What each mistake has to trip. A coil is seen on site only, so that nothing is there to trip.
TRIPS: dict[str, frozenset[str]] = {
    "crossed-leads": frozenset({"island-not-left-out", "lawn-wired-backwards"}),
    "reversed-island": frozenset({"island-not-left-out"}),
    "reversed-lawn": frozenset({"lawn-wired-backwards"}),
    "leads-apart": frozenset({"pair-apart"}),
    "dead-gap": frozenset({"gap-too-narrow"}),
    "splice-in-lead": frozenset({"splice-in-lead-pair"}),
    "wrong-setback": frozenset({"wire-too-near-side", "wire-too-near-hazard"}),
    "sharp-corner": frozenset({"corner-too-sharp"}),
    "dock-in-corner": frozenset({"dock-not-straight", "dock-near-corner"}),
    "coil": frozenset(),
}
APART_M = 0.45  # wide enough to be seen on paper
SETBACK_SHORT_M = 0.15  # a setback short by less is not found on paper
Parts = Callable[["Scene"], "Sequence[Part]"]


@dataclass(frozen=True, slots=True, eq=False)
class Plate:
    """A mistake: its key and what it is at, the plan and lay with it, and what the check says.

    ``at`` is where it is to be marked; ``extra`` draws what no lay can hold; ``off`` is how far
    the mistake is kept from the middle of a drawing that shows a part only.
    """

    key: str
    of: str
    plan: Plan
    lay: Lay
    at: Point
    finding: Finding | None = None
    extra: Parts | None = None
    off: tuple[float, float] = (0.0, 0.0)


def plates(job: JobData, words: Words) -> tuple[Plate, ...]:
    """The mistakes that a garden allows, each tripping its check, in an order of no meaning."""
    base = {finding.rule for finding in job.findings}
    found = [
        plate for made in _made(job, words) if (plate := _checked(made, base, words)) is not None
    ]

    mixed = sorted(((_number(job, plate), plate) for plate in found), key=lambda each: each[0])
    return tuple(replace(plate, off=_off(number)) for number, plate in mixed)


def _number(job: JobData, plate: Plate) -> int:
    return int(hashlib.sha256(f"{job.digest} {plate.key}".encode()).hexdigest(), 16)


def _off(number: int) -> tuple[float, float]:
    """Two numbers from -1 to 1 out of a large one."""
    across, along = number % 201, number // 201 % 201
    return across / 100.0 - 1.0, along / 100.0 - 1.0


def _checked(plate: Plate, base: set[str], words: Words) -> Plate | None:
    """The plate with its finding; ``None`` where no check is tripped, or one was before."""
    from renderer.checks import check_plan

    rules = TRIPS[plate.key]
    if not rules:
        return plate
    tripped = [f for f in check_plan(plate.plan, plate.lay, words.language) if f.rule in rules]
    if not tripped or base & {finding.rule for finding in tripped}:
        return None
    return replace(plate, finding=tripped[0])


def _made(job: JobData, words: Words) -> Iterator[Plate]:
    yield from _in_pairs(job)
    yield from _lawns(job)
    yield from _setback(job, words)
    yield from _corner(job)
    yield from _docks(job)
    yield from _coil(job)


def _island_leads(job: JobData) -> list[tuple[LoopLay, Lead]]:
    """Lead pairs to islands, the longest first."""
    found = [(loop, lead) for loop in job.lay.loops for lead in loop.leads if lead.kind == "lead"]
    islands = {ring.id for loop in job.lay.loops for ring in loop.rings if ring.kind == "island"}
    found = [each for each in found if each[1].to_ring in islands]
    return sorted(found, key=lambda each: (-round(each[1].length_m, 4), each[1].of))


def _in_pairs(job: JobData) -> Iterator[Plate]:
    """Mistakes at islands and their pairs, each at another island where there are several."""
    from renderer.ground import faults

    leads = _island_leads(job)
    if not leads:
        return
    plan, lay = job.plan, job.lay

    def pick(number: int) -> tuple[LoopLay, Lead]:
        return leads[number % len(leads)]

    _, lead = pick(0)
    cross = _on_pair(lead, 0.15)
    laid = faults.crossed_leads(lay, lead.of)
    yield Plate("crossed-leads", lead.of, plan, laid, cross, extra=_crossing(lead))
    _, lead = pick(1)
    laid = faults.reversed_island(lay, lead.of)
    yield Plate("reversed-island", lead.of, plan, laid, _on_pair(lead, 1.0))
    _, lead = pick(2)
    laid = faults.leads_apart(lay, lead.of, APART_M)
    yield Plate("leads-apart", lead.of, plan, laid, _on_pair(lead, 0.5))
    _, lead = pick(0)
    laid = faults.splice_in_lead(lay, lead.of)
    yield Plate("splice-in-lead", lead.of, plan, laid, _on_pair(lead, 0.5))
    _, lead = pick(1)
    laid = faults.dead_gap(lay, lead.of)
    yield Plate("dead-gap", lead.of, plan, laid, _on_pair(lead, 1.0))


def _on_pair(lead: Lead, share: float) -> Point:
    """A place on the line from a pair's first point to its last."""
    (ax, ay), (bx, by) = lead.points[0].tolist(), lead.points[-1].tolist()
    return ax + share * (bx - ax), ay + share * (by - ay)


def _crossing(lead: Lead) -> Parts:
    def drawn(scene: Scene) -> Sequence[Part]:
        from renderer.drawing.lessons import crossed_pair

        return (crossed_pair(scene, lead.points),)

    return drawn


def _lawns(job: JobData) -> Iterator[Plate]:
    """A lawn that a crossing reaches, walked the other way round."""
    from renderer.ground import faults

    for loop in job.lay.loops:
        lawn_of = {ring.id: ring.lawn for ring in loop.rings}
        for lead in loop.leads:
            if lead.kind == "crossing" and lawn_of[lead.from_ring] != lawn_of[lead.to_ring]:
                lawn = lawn_of[lead.to_ring]
                laid = faults.reversed_lawn(job.lay, lawn)
                yield Plate("reversed-lawn", lawn, job.plan, laid, _on_pair(lead, 1.0))
                return


def _setback(job: JobData, words: Words) -> Iterator[Plate]:
    """The longest side that the wire comes too near to by the setback of another kind."""
    from renderer.ground import faults

    setback = job.plan.machine.setback
    least = min(_side_kinds(), key=lambda kind: setback.get(kind, 1.0))
    sides = [
        (_side_length(job.plan, lawn.name, index), lawn.name, index, vertex.side)
        for lawn in job.plan.lawns
        for index, vertex in enumerate(lawn.outline)
        if setback[vertex.side] - setback.get(least, 1.0) >= SETBACK_SHORT_M
    ]
    if not sides:
        return
    _, name, index, kind = max(sides)
    laid = faults.wrong_setback(job.plan, name, least, index)
    of = words("fault-side", kind=words(f"kind.{kind}"), lawn=name)
    yield Plate("wrong-setback", of, job.plan, _sided(laid, job.lay), (0.0, 0.0))


def _side_kinds() -> tuple[str, ...]:
    from renderer.plan.kinds import SIDE_KINDS

    return SIDE_KINDS


def _side_length(plan: Plan, lawn: str, index: int) -> float:
    corners = next(each.outline for each in plan.lawns if each.name == lawn)
    (ax, ay), (bx, by) = corners[index].at, corners[(index + 1) % len(corners)].at
    return float(((ax - bx) ** 2 + (ay - by) ** 2) ** 0.5)


def _sided(laid: Lay, own: Lay) -> Lay:
    """The lay with the sides as the plan has them, for the drawing."""
    lawns = tuple(
        replace(lawn, sides=right.sides) for lawn, right in zip(laid.lawns, own.lawns, strict=True)
    )
    return replace(laid, lawns=lawns)


def _corner(job: JobData) -> Iterator[Plate]:
    from renderer.ground import faults

    if job.plan.machine.corner_angle_min is not None:
        laid = faults.sharp_corners_left(job.plan)
        yield Plate("sharp-corner", "", job.plan, laid, (0.0, 0.0))


def _docks(job: JobData) -> Iterator[Plate]:
    from renderer.ground import faults
    from renderer.ground.engine import lay_plan

    for loop, _ in job.loops():
        if loop.dock is not None:
            plan = faults.dock_in_corner(job.plan, job.lay, loop.name)
            laid = lay_plan(plan)
            start = next((each.start for each in laid.loops if each.name == loop.name), None)
            if start is not None:
                yield Plate("dock-in-corner", loop.name, plan, laid, start)
            return


def _coil(job: JobData) -> Iterator[Plate]:
    """Wire left over, wound up beside the middle of the longest straight leg."""
    from renderer.ground.stations import points_at

    if not job.lay.loops:
        return
    loop = job.lay.loops[0]
    leg = max((leg for leg in loop.legs if leg.kind == "outer"), key=lambda leg: leg.length_m)
    at_m = leg.from_m + leg.length_m / 2.0
    x, y = points_at(loop.path, loop.at_m, [at_m])[0].tolist()

    def drawn(scene: Scene) -> Sequence[Part]:
        from renderer.drawing.lessons import coil

        return (coil(scene, loop, at_m),)

    yield Plate("coil", "", job.plan, job.lay, (x, y), extra=drawn)


def shown_lay(plate: Plate) -> Lay:
    """The lay as it is drawn: a pair that lies apart is drawn as its own two wires."""
    if plate.key != "leads-apart":
        return plate.lay
    loops = tuple(
        replace(loop, leads=tuple(lead for lead in loop.leads if lead.of != plate.of))
        for loop in plate.lay.loops
    )
    return replace(plate.lay, loops=loops)


def ringed(plate: Plate) -> Plate:
    """The plate with a ring drawn round its mistake."""

    def drawn(scene: Scene) -> Sequence[Part]:
        from renderer.drawing.lessons import ring_round

        own = plate.extra(scene) if plate.extra else ()
        return (*own, ring_round(scene, place_of(plate)))

    return replace(plate, extra=drawn)


def place_of(plate: Plate) -> Point:
    """Where the mistake is marked: its own place, or where the check found it."""
    by_check = plate.key in ("wrong-setback", "sharp-corner", "dead-gap")
    if by_check and plate.finding is not None and plate.finding.at is not None:
        return plate.finding.at
    return plate.at


def unspoilt(job: JobData, plate: Plate) -> Plate:
    """The garden without the mistake, to be drawn as the plate is."""
    return Plate("", "", job.plan, job.lay, place_of(plate), off=plate.off)
