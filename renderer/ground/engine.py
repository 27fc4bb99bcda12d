"""The whole of the ground in order: lawns, walks, splices, pegs, take-off."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from renderer.frozen import dataclass
from renderer.geometry.lines import points_at
from renderer.ground.electric import ohm_per_m
from renderer.ground.frame import own_frame, own_plan
from renderer.ground.lay import IdleCrossing, Lay, LoopLay, Splice
from renderer.ground.loops import walk_loop
from renderer.ground.mown import mow_lawn
from renderer.ground.onplan import (
    OwnWalk,
    cuts_on_plan,
    lawn_on_plan,
    pegs_on_plan,
    walk_on_plan,
)
from renderer.ground.outline import signed_area
from renderer.ground.pegs import set_pegs
from renderer.ground.shift import moved_lay
from renderer.ground.slope import slope_extra
from renderer.ground.spools import cut_spools, demand_of
from renderer.ground.strips import service_strips
from renderer.ground.takeoff import takeoff

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import Cut, LawnGround, Peg, Points, SpoolPlan
    from renderer.ground.loops import LoopWalk
    from renderer.ground.spools import Demand
    from renderer.plan.model import Loop, Plan

ROUNDED_M = 1.5e-4  # by which the grid of the plan may move a wire that is pegged in another frame


def lay_plan(plan: Plan, there: Lay | None = None) -> Lay:
    """The laid wire of a plan: every loop walked, spliced and pegged, and what it takes.

    ``there`` is wire that lies already: its lead pairs stay wherever they still join two rings.

    A loop whose lawns leave no working area has no walk and is not among the loops; the cuts say
    why. All is worked out about an origin near the lawns and given back in the plan's coordinates.
    Raises nothing for a valid plan.
    """
    from renderer.plan.origin import about_origin

    near = about_origin(plan)
    away = _apart(near, plan)
    walked = walk_plan(near, _pairs_of(there, away) if there else {})
    spools, splice_places = cut_spools(walked.demands, near.wire.spools)
    lay = lay_walked(walked, spools, splice_places)
    return lay if near is plan else moved_lay(lay, away)


def _pairs_of(lay: Lay, away: tuple[float, float]) -> dict[str, tuple[Points, ...]]:
    """The lead pairs of each loop, the zero of the coordinates put away from where it was."""
    return {
        loop.name: tuple(lead.points - away for lead in loop.leads if lead.kind == "lead")
        for loop in lay.loops
    }


def plan_and_lay_near(plan: Plan, lay: Lay) -> tuple[Plan, Lay]:
    """A plan and its lay about an origin near the lawns, which ``plan.origin`` then is."""
    from renderer.plan.origin import about_origin

    near = about_origin(plan)
    if near is plan:
        return plan, lay
    x, y = _apart(near, plan)
    return near, moved_lay(lay, (-x, -y))


def _apart(near: Plan, plan: Plan) -> tuple[float, float]:
    """How far the zero of one plan's coordinates lies from that of another's, metres."""
    return near.origin[0] - plan.origin[0], near.origin[1] - plan.origin[1]


@dataclass(frozen=True, slots=True, eq=False)
class Walked:
    """A plan whose loops are walked, before its spools are cut and its pegs set.

    Pegs are set in the garden's own frame, so each walk is kept in it too.
    """

    plan: Plan
    lawns: tuple[LawnGround, ...]
    walks: tuple[tuple[Loop, LoopWalk], ...]
    own: tuple[OwnWalk, ...]  # the same walks in the garden's own frame
    strips: BaseGeometry | None  # there, the ground that pegs stand clear of
    cuts: tuple[Cut, ...]
    demands: tuple[Demand, ...]  # what each loop asks of the spools, in the order of laying


def walk_plan(plan: Plan, lying: Mapping[str, Sequence[Points]] | None = None) -> Walked:
    """All loops of a plan near zero walked; nothing of it depends on the spools.

    ``lying`` are the lead pairs that lie already, by the names of their loops.
    """
    frame = own_frame(plan)
    own = own_plan(plan, frame)
    mown = [mow_lawn(lawn, own.obstacles, own.machine) for lawn in own.lawns]
    walks: list[tuple[Loop, LoopWalk]] = []
    own_walks: list[OwnWalk] = []
    for loop, own_loop in zip(plan.loops, own.loops, strict=True):
        pairs = [frame.into(line) for line in (lying or {}).get(loop.name, ())]
        found = walk_loop(own, own_loop, [m for m in mown if m.ground.loop == loop.name], pairs)
        if found is not None:
            there, carried = walk_on_plan(found, frame)
            walks.append((loop, there))
            own_walks.append(OwnWalk(found.walk, carried))
    cuts = [*cuts_on_plan([cut for m in mown for cut in m.cuts], frame)]
    cuts.extend(cut for _, found in walks for cut in found.unreached)
    strips = service_strips(plan.features)
    return Walked(
        plan,
        tuple(
            lawn_on_plan(m.ground, lawn, frame) for m, lawn in zip(mown, plan.lawns, strict=True)
        ),
        tuple(walks),
        tuple(own_walks),
        service_strips(own.features),
        tuple(cuts),
        tuple(_demand(plan, *pair, strips) for pair in walks),
    )


def lay_walked(
    walked: Walked, spools: SpoolPlan, splice_places: Mapping[str, tuple[float, ...]]
) -> Lay:
    """The lay of a walked plan with its splices at the given running distances, by loop."""
    plan = walked.plan
    loops = _pegged(walked, splice_places)
    return Lay(
        lawns=walked.lawns,
        loops=loops,
        cuts=walked.cuts,
        spools=spools,
        takeoff=takeoff(plan, loops, spools),
        ohm_per_m=ohm_per_m(plan.wire),
        idle_crossings=tuple(
            IdleCrossing(loop.name, crossing.between, no_way)
            for loop, found in walked.walks
            for crossing, no_way in found.idle_crossings
        ),
    )


def _demand(plan: Plan, loop: Loop, found: LoopWalk, strips: BaseGeometry | None) -> Demand:
    dock = plan.machine.dock
    return demand_of(
        loop.name,
        found.walk.path,
        found.walk.at_m,
        found.walk.legs,
        clear_m=plan.machine.splice_clear,
        dock_before=dock.straight_before if loop.dock else 0.0,
        dock_after=dock.straight_after if loop.dock else 0.0,
        strips=strips,
    )


def _pegged(walked: Walked, splice_places: Mapping[str, tuple[float, ...]]) -> tuple[LoopLay, ...]:
    """The loops complete; pegs and splices are numbered through the plan."""
    loops: list[LoopLay] = []
    peg_number = splice_number = 1
    for (loop, found), own in zip(walked.walks, walked.own, strict=True):
        places = splice_places[loop.name]
        done = _laid(walked.plan, loop, found)
        pegs = _pegs(walked, own, done, places, peg_number)
        splices = _splices(done, places, splice_number)
        peg_number += len(pegs)
        splice_number += len(splices)
        loops.append(replace(done, pegs=pegs, splices=splices))
    return tuple(loops)


def _pegs(
    walked: Walked, own: OwnWalk, loop: LoopLay, splices: Sequence[float], first_number: int
) -> tuple[Peg, ...]:
    machine = walked.plan.machine
    pegs = set_pegs(
        own.walk.path,
        own.walk.at_m,
        own.walk.legs,
        own.carried.to_own(splices).tolist(),
        spacing_first=machine.peg_spacing.first,
        spacing_final=machine.peg_spacing.final,
        sag=machine.peg_sag - ROUNDED_M,
        first_number=first_number,
        keep_off=walked.strips,
    )
    return pegs_on_plan(pegs, own.carried, loop.path, loop.at_m)


def _splices(loop: LoopLay, places: Sequence[float], first_number: int) -> tuple[Splice, ...]:
    if not places:
        return ()
    points = np.round(points_at(loop.path, loop.at_m, places), 4)
    return tuple(
        Splice(f"S{first_number + i}", float(at), float(x), float(y))
        for i, (at, (x, y)) in enumerate(zip(places, points, strict=True))
    )


def _laid(plan: Plan, loop: Loop, found: LoopWalk) -> LoopLay:
    """The loop with everything that follows from its walk alone."""
    walked = found.walk
    length = walked.legs[-1].to_m
    return LoopLay(
        name=loop.name,
        path=walked.path,
        at_m=walked.at_m,
        tail_m=plan.machine.tail,
        length_m=length,
        order_length_m=length * (1.0 + plan.wire.slack_percent / 100.0),
        slope_extra_m=slope_extra(walked.path, plan.features),
        resistance_ohm=length * ohm_per_m(plan.wire),
        working=found.working,
        working_area_m2=abs(signed_area(walked.path)),
        rings=walked.rings,
        leads=walked.leads,
        legs=walked.legs,
        pegs=(),
        splices=(),
    )
