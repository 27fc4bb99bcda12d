"""The mistakes of the fault plates, each made in a sound lay and large enough to be seen."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from renderer.teaching.plate import Coil, CrossedPair, Plate, Skip
from renderer.trade import HOLD_MOST_M
from renderer.units import MM_PER_M

if TYPE_CHECKING:
    from renderer.ground.lay import Cut, Lay, Lead, LoopLay, Peg, Point
    from renderer.ground.sides import NumberedSide
    from renderer.job import Job
    from renderer.language import Words
    from renderer.plan.model import Plan

# How large a mistake has to be on paper, in mm, and on the ground, in m.
SEEN_MM = 1.5  # by which a line or a mark has to be off its place
APART_MM = 2.8  # between two wires that should touch: well over the width of a pair
APART_M = 0.45
APART_SHARE = 0.4  # of a pair's length, at the most
GAP_MM = 1.2  # between two wires that lie too near to each other
PAIR_MM = 6.0  # a shorter pair shows nothing
PEGS_MM = 2.4  # pegs nearer to each other are one line, and only control pegs are drawn
COIL_MM = (3.6, 4.5, 3.0)  # of a coil's middle from its wire; from marks, from obstacles
ALONE_MM = 2.0  # a peg nearer to the next is drawn so small that it is lost on the wire
RING_MM = 16.0  # a shorter ring has no room for the arrow that shows which way it is walked
# What marks take of a lead pair, each from its middle: pegs, arrows. The rest has to hold a
# crossing of its wires.
PEG_MM = 0.85
CONTROL_MM = 1.4
ARROW_MM = 1.25
CROSSING_MM = 1.2
WAYS_SHARE = 0.35  # of a pair without pegs, at which the arrows stand from its ends
PEG_GAPS = 3  # a gap of this many times the spacing is noticed
NEARLY_M = 1e-3  # of rounding
TURNED = frozenset({"crossed-leads", "reversed-island", "reversed-lawn"})
CUT_MM = 3.0  # a corner cut off by less is not seen


@dataclass(frozen=True, slots=True, eq=False)
class Garden:
    """The sound garden, the words, and the N of the 1:N that its plates are drawn at.

    ``made`` are the mistakes that whoever asks has got by now; no other place is tried for them.
    """

    job: Job
    words: Words
    scale: float
    made: Collection[str]

    @property
    def plan(self) -> Plan:
        return self.job.plan

    @property
    def lay(self) -> Lay:
        return self.job.lay

    def metres(self, width_mm: float) -> float:
        """What a width on paper is on the ground."""
        return width_mm * self.scale / MM_PER_M

    def sees(self, length_m: float, width_mm: float = SEEN_MM) -> bool:
        return length_m >= self.metres(width_mm)

    @property
    def has_pegs(self) -> bool:
        """Whether its plates show all pegs, not control pegs alone."""
        return shows_pegs(self.plan, self.scale)


def shows_pegs(plan: Plan, scale: float) -> bool:
    """Whether pegs can be told apart at a scale."""
    return plan.machine.peg_spacing.final * MM_PER_M >= PEGS_MM * scale


def mistakes(job: Job, words: Words, scale: float, made: Collection[str]) -> Iterator[Plate | Skip]:
    """Each mistake that the garden allows, the best place first; why it does not get another.

    The caller adds to ``made`` the keys of those it takes, which saves trying further places.
    """
    garden = Garden(job, words, scale, made)
    for each in _mistakes(garden):
        hidden = isinstance(each, Plate) and "wire" in each.shows and not _seen(garden, each)
        yield Skip(each.key, "too-small") if hidden else each


def _seen(garden: Garden, plate: Plate) -> bool:
    """Whether wire that is moved lies far enough off where it was; wire that is turned does."""
    from renderer.ground.slips import moved_by

    if plate.key in TURNED:
        return True
    return garden.sees(moved_by(garden.lay, plate.lay) + NEARLY_M)


def _mistakes(garden: Garden) -> Iterator[Plate | Skip]:
    yield from _in_pairs(garden)
    yield from _lawns(garden)
    yield from _passages(garden)
    yield from _setbacks(garden)
    yield from _corners(garden)
    yield from _docks(garden)
    yield from _pegs(garden)
    yield from _services(garden)
    yield from _not_located(garden)
    yield from _coil(garden)
    yield from _readings(garden)


def too_small(job: Job, words: Words, scale: float) -> frozenset[str]:
    """The mistakes that cannot be made so large that they are seen at a scale."""
    shown: set[str] = set()
    small: set[str] = set()
    for each in mistakes(job, words, scale, shown):
        if isinstance(each, Plate):
            shown.add(each.key)
        elif each.why == "too-small":
            small.add(each.key)
    return frozenset(small - shown)


def _island_leads(garden: Garden) -> list[tuple[LoopLay, Lead]]:
    """Lead pairs to islands that can be seen, the longest first."""
    islands = {ring.id for ring in garden.job.islands}
    found = [
        (loop, lead)
        for loop in garden.lay.loops
        for lead in loop.leads
        if lead.kind == "lead" and lead.to_ring in islands and garden.sees(lead.length_m, PAIR_MM)
    ]
    return sorted(found, key=lambda each: (-round(each[1].length_m, 4), each[1].of))


def _in_pairs(garden: Garden) -> Iterator[Plate | Skip]:
    """Mistakes at islands and their pairs, at several islands where there are several."""
    from renderer.ground import faults

    leads = _island_leads(garden)
    keys = ("crossed-leads", "reversed-island", "leads-apart", "splice-in-lead", "dead-gap")
    if not leads:
        why = "too-small" if garden.job.islands else "no-island"
        yield from (Skip(key, why) for key in keys)
        return
    plan, lay = garden.plan, garden.lay
    open_to = [lead for loop, lead in leads if _has_room(garden, loop, lead)]
    for lead in open_to[:1]:
        laid = faults.crossed_leads(lay, lead.of)
        place, extra = _on_pair(lead, 0.85), CrossedPair(lead.points)
        yield Plate("crossed-leads", lead.of, plan, laid, place, ("wire",), extra=extra)
    if not open_to:
        yield Skip("crossed-leads", "too-small")
    # The longest ring has the most arrows, and the most room for them between its pegs.
    loop, lead = max(leads, key=lambda each: _longest_m(*each))
    if garden.sees(_longest_m(loop, lead), RING_MM):
        laid = faults.reversed_island(lay, lead.of)
        yield Plate("reversed-island", lead.of, plan, laid, _on_pair(lead, 1.0), ("wire",))
    else:
        yield Skip("reversed-island", "too-small")
    yield from _apart(garden, leads)
    _, lead = leads[0]
    laid = _no_longer_control(faults.splice_in_lead(lay, lead.of), lay)
    yield Plate("splice-in-lead", lead.of, plan, laid, _on_pair(lead, 0.5), ("splices", "pegs"))
    yield from _dead_gap(garden, leads)


def _no_longer_control(laid: Lay, lay: Lay) -> Lay:
    """A lay without control pegs where another has a splice or the start, and it has none."""

    def kept(peg: Peg, before: LoopLay, loop: LoopLay) -> Peg:
        place = (peg.x, peg.y)
        lie = [(each.x, each.y) for each in loop.splices]
        gone = [at for each in before.splices if (at := (each.x, each.y)) not in lie]
        started = peg.reason == "dock" and math.dist(place, loop.start) > NEARLY_M
        held = peg.reason == "splice" and any(math.dist(place, at) <= HOLD_MOST_M for at in gone)
        return replace(peg, control=False) if started or held else peg

    loops = (
        replace(loop, pegs=tuple(kept(peg, before, loop) for peg in loop.pegs))
        for before, loop in zip(lay.loops, laid.loops, strict=True)
    )
    return replace(laid, loops=tuple(loops))


def _has_room(garden: Garden, loop: LoopLay, lead: Lead) -> bool:
    """Whether a crossing can be drawn in a pair beside its pegs and its two arrows.

    Arrows stand in the gaps next to the middle, in the one there is, or in each of two; control
    pegs stand at both ends.
    """
    from renderer.ground.stations import pairs

    out, _ = pairs(loop.legs)[lead.id]
    pegs = sorted(
        peg.at_m
        for peg in loop.pegs
        if out.from_m < peg.at_m < out.to_m and (peg.control or garden.has_pegs)
    )
    stations = [out.from_m, *pegs, out.to_m]
    gaps = [b - a for a, b in pairwise(stations) if b - a > NEARLY_M]
    if len(gaps) > 2:
        inner = [*gaps[1:2], *gaps[-2:-1]] if len(gaps) > 4 else []
        return garden.sees(max(gaps[0], gaps[-1]), CONTROL_MM + PEG_MM + CROSSING_MM) or any(
            garden.sees(gap, 2 * PEG_MM + CROSSING_MM) for gap in inner
        )
    if len(gaps) == 2:
        return garden.sees(max(gaps), 2 * (CONTROL_MM + ARROW_MM + CROSSING_MM))
    return garden.sees(lead.length_m, (CONTROL_MM + ARROW_MM + CROSSING_MM) / WAYS_SHARE)


def _longest_m(loop: LoopLay, lead: Lead) -> float:
    """The longest leg of the ring that a pair leads to: what its arrows stand on."""
    legs = (leg.length_m for leg in loop.legs if leg.part == lead.to_ring)
    return round(max(legs, default=0.0), 4)


def _apart(garden: Garden, leads: Sequence[tuple[LoopLay, Lead]]) -> Iterator[Plate | Skip]:
    from renderer.ground import faults

    by_m = max(APART_M, garden.metres(APART_MM))
    for _, lead in (leads[2 % len(leads)], *leads):
        for aside_m in (by_m, -by_m) if by_m <= APART_SHARE * lead.length_m else ():
            if "leads-apart" in garden.made:
                return
            laid = faults.leads_apart(garden.lay, lead.of, aside_m)
            place = _on_pair(lead, 0.5, aside_m / 2.0)  # between the two wires
            yield Plate("leads-apart", lead.of, garden.plan, laid, place, ("wire",))
    yield Skip("leads-apart", "too-small")


def _dead_gap(garden: Garden, leads: Sequence[tuple[LoopLay, Lead]]) -> Iterator[Plate | Skip]:
    from renderer.ground import faults

    gap_m = max(faults.GAP_M, garden.metres(GAP_MM))
    if gap_m > 0.7 * garden.plan.machine.passage_min:
        yield Skip("dead-gap", "too-small")
        return
    for _, lead in (leads[1 % len(leads)], *leads):
        if "dead-gap" in garden.made:
            return
        laid = faults.dead_gap(garden.lay, lead.of, gap_m)
        yield Plate("dead-gap", lead.of, garden.plan, laid, _on_pair(lead, 1.0), ("wire", "pegs"))


def _on_pair(lead: Lead, share: float, left_m: float = 0.0) -> Point:
    """A place on the line from a pair's first point to its last, or so far to the left of it."""
    (ax, ay), (bx, by) = lead.points[0].tolist(), lead.points[-1].tolist()
    off = left_m / math.hypot(bx - ax, by - ay) if left_m else 0.0
    return ax + share * (bx - ax) - off * (by - ay), ay + share * (by - ay) + off * (bx - ax)


def _lawns(garden: Garden) -> Iterator[Plate | Skip]:
    """A lawn, or a part of one, that a pair of wires leads to, walked the other way round."""
    from renderer.ground import faults
    from renderer.ground.parts import part_names

    for loop in garden.lay.loops:
        outer = {ring.id for ring in loop.rings if ring.kind == "outer"}
        for lead in loop.leads:
            if {lead.from_ring, lead.to_ring} <= outer:
                of, place = part_names(loop)[lead.id], _on_pair(lead, 1.0)
                laid = faults.reversed_lawn(garden.lay, of)
                yield Plate("reversed-lawn", of, garden.plan, laid, place, ("wire",))
                return
    yield Skip("reversed-lawn", "no-lawn")


def _passages(garden: Garden) -> Iterator[Plate | Skip]:
    """A passage that the lay had to close, left open."""
    from renderer.ground import faults

    cuts = [cut for cut in garden.lay.cuts if cut.kind in ("merge", "bay") and cut.width_m]
    if not cuts:
        yield Skip("left-open", "no-passage")
    for cut in cuts:
        if "left-open" in garden.made:
            return
        width_m = cut.width_m or 0.0
        if not garden.sees(width_m, GAP_MM):
            yield Skip("left-open", "too-small")
            continue
        laid = faults.left_open(garden.plan, garden.lay, width_m, garden.job.laid_as)
        if laid is not None:
            of = _between(garden, cut)
            yield Plate("left-open", of, garden.plan, laid, cut.at, ("wire", "pegs"))
        else:
            yield Skip("left-open", "not-alone")


def _between(garden: Garden, cut: Cut) -> str:
    edge = garden.words("fault-edge", lawn=cut.lawn)
    return garden.words.listed((*cut.of, edge)[:2])


def _setbacks(garden: Garden) -> Iterator[Plate | Skip]:
    """The longest side that the wire can come too near to, by the setback of another kind."""
    from renderer.ground.sides import numbered_sides

    machine = garden.plan.machine
    least = min(machine.setback.values())
    sides = [side for side in numbered_sides(garden.lay.lawns) if not side.arc]
    if not any(garden.sees(machine.setback[side.kind] - least) for side in sides):
        yield Skip("wrong-setback", "too-small")
        return
    for side in sorted(sides, key=lambda side: (-round(side.length_m, 3), side.number)):
        setback = machine.setback[side.kind]
        others = sorted(set(machine.setback.values()), reverse=True)
        if "wrong-setback" in garden.made:
            return
        wrong = next((m for m in others if m < setback and garden.sees(setback - m)), None)
        if wrong is not None:
            yield from _nearer(garden, side, setback, wrong)
    yield Skip("wrong-setback", "not-alone")


def _nearer(
    garden: Garden, side: NumberedSide, setback_m: float, wrong_m: float
) -> Iterator[Plate]:
    from renderer.ground.parts import part_names
    from renderer.ground.slips import side_moved

    for loop in garden.lay.loops:
        for ring in loop.rings:
            if ring.kind != "outer" or ring.lawn != side.lawn:
                continue
            ends, sag = side.points[[0, -1]], garden.plan.machine.peg_sag
            moved = side_moved(loop, ring, ends, setback_m, setback_m - wrong_m, sag)
            if moved is None:
                continue
            of = _side_named(garden, side, part_names(loop)[ring.id])
            laid = with_loop(garden.lay, moved.loop)
            yield Plate("wrong-setback", of, garden.plan, laid, moved.at, ("wire", "pegs"))


def _side_named(garden: Garden, side: NumberedSide, lawn: str) -> str:
    """A side by its kind and lawn, and by the points at its two ends where both are lettered."""
    from renderer.ground.sides import numbered_sides

    kind = garden.words(f"kind.{side.kind}")
    ends = [
        next((each.name for each in garden.job.setting.references if _at(each.at, end)), "")
        for end in side.points[[0, -1]].tolist()
    ]
    if not all(ends):
        like = [each for each in numbered_sides(garden.lay.lawns) if each.kind == side.kind]
        if sum(each.lawn == side.lawn for each in like) > 1:
            return garden.words("fault-side-ringed", kind=kind, lawn=lawn)
        return garden.words("fault-side", kind=kind, lawn=lawn)
    return garden.words("fault-side-from", kind=kind, lawn=lawn, one=ends[0], two=ends[1])


def _at(place: Point, other: Sequence[float]) -> bool:
    return math.dist(place, other) < NEARLY_M


def with_loop(lay: Lay, loop: LoopLay) -> Lay:
    """The lay with one of its loops laid otherwise."""
    return replace(lay, loops=tuple(loop if each.name == loop.name else each for each in lay.loops))


def _corners(garden: Garden) -> Iterator[Plate | Skip]:
    from renderer.ground import faults

    machine = garden.plan.machine
    if machine.corner_angle_min is None:
        yield Skip("sharp-corner", "no-corner")
    elif not garden.sees(machine.corner_cut, CUT_MM):
        yield Skip("sharp-corner", "too-small")
    else:
        laid = faults.kept_beside(
            garden.lay, faults.sharp_corners_left(garden.plan, garden.job.laid_as)
        )
        if laid is None:
            yield Skip("sharp-corner", "not-alone")
        else:
            yield Plate("sharp-corner", "", garden.plan, laid, (0.0, 0.0), ("wire", "pegs"))


def _docks(garden: Garden) -> Iterator[Plate | Skip]:
    from renderer.ground import faults

    for loop in garden.lay.loops:
        if any(each.name == loop.name and each.dock for each in garden.plan.loops):
            plan, laid = faults.dock_moved(garden.plan, garden.lay, loop.name)
            laid = _no_longer_control(laid, garden.lay)
            start = next(each.start for each in laid.loops if each.name == loop.name)
            yield Plate("dock-in-corner", loop.name, plan, laid, start, ("dock", "pegs"))
            return
    yield Skip("dock-in-corner", "no-dock")


def _pegs(garden: Garden) -> Iterator[Plate | Skip]:
    """Pegs too far apart on the longest straight."""
    from renderer.ground.slips import pegs_left_out

    spacing = garden.plan.machine.peg_spacing.final
    if not garden.has_pegs:
        yield Skip("pegs-apart", "too-small")
        return
    for loop in garden.lay.loops:
        found = pegs_left_out(loop, PEG_GAPS * spacing)
        if found is not None:
            laid = with_loop(garden.lay, found.loop)
            facts = {"most": spacing}
            yield Plate("pegs-apart", "", garden.plan, laid, found.at, ("pegs",), facts=facts)
            return
    yield Skip("pegs-apart", "no-straight")


def _services(garden: Garden) -> Iterator[Plate | Skip]:
    """A peg driven beside a marked cable or pipe that the wire crosses."""
    from renderer.ground.slips import pegs_onto_services

    found = list(pegs_onto_services(garden.plan, garden.lay))
    if not found:
        yield Skip("peg-on-service", "no-service")
        return
    for each in found if garden.has_pegs else ():
        if garden.sees(each.moved_m) and garden.sees(each.alone_m, ALONE_MM):
            laid = with_loop(garden.lay, each.loop)
            yield Plate("peg-on-service", each.service, garden.plan, laid, each.at, ("pegs",))
    yield Skip("peg-on-service", "too-small")


def _not_located(garden: Garden) -> Iterator[Plate | Skip]:
    """A cable or pipe near the wire that pegs go in beside before anyone has located it."""
    from renderer.ground.strips import SERVICES

    plan = garden.plan
    for service in plan.features:
        if service.kind in SERVICES and service.located:
            unmarked = service.model_copy(update={"located": None})
            features = tuple(unmarked if each is service else each for each in plan.features)
            told = plan.model_copy(update={"features": features})
            start = garden.lay.loops[0].start
            yield Plate("not-located", service.name, told, garden.lay, start)
    yield Skip("not-located", "no-service")


def _coil(garden: Garden) -> Iterator[Plate | Skip]:
    """Wire left over, wound up beside a straight of an outer edge."""
    from renderer.ground.beside import Clear, clear_beside

    fixed = [each.at for each in garden.job.setting.references]
    room = Clear(*map(garden.metres, COIL_MM))
    found = clear_beside(garden.plan, garden.lay, fixed, room)
    if found is None:
        yield Skip("coil", "too-small")
    else:
        extra = Coil(found.loop, found.at_m)
        yield Plate("coil", "", garden.plan, garden.lay, found.at, extra=extra)


def _readings(garden: Garden) -> Iterator[Plate | Skip]:
    """What the record beside the drawing shows: ends swapped, a splice without contact."""
    plan, lay = garden.plan, garden.lay
    loop = lay.loops[0]
    yield Plate("terminals", loop.name, plan, lay, loop.start)
    spliced = next((each for each in lay.loops if each.splices), None)
    if spliced is None:
        yield Skip("dry-splice", "no-splice")
    else:
        splice = spliced.splices[0]
        yield Plate("dry-splice", spliced.name, plan, lay, (splice.x, splice.y))
