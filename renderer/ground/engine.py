"""The whole of the ground in order: lawns, walks, splices, pegs, take-off."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from renderer.geometry.lines import points_at
from renderer.ground.electric import ohm_per_m
from renderer.ground.lay import IdleCrossing, Lay, LoopLay, Splice
from renderer.ground.loops import walk_loop
from renderer.ground.mown import mow_lawn
from renderer.ground.outline import signed_area
from renderer.ground.pegs import set_pegs
from renderer.ground.shift import moved_lay
from renderer.ground.slope import slope_extra
from renderer.ground.spools import cut_spools, demand_of
from renderer.ground.strips import service_strips
from renderer.ground.takeoff import takeoff

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from renderer.ground.lay import Cut, LawnGround, SpoolPlan
    from renderer.ground.loops import LoopWalk
    from renderer.ground.spools import Demand
    from renderer.plan.model import Loop, Plan


def lay_plan(plan: Plan) -> Lay:
    """The laid wire of a plan: every loop walked, spliced and pegged, and what it takes.

    A loop whose lawns leave no working area has no walk and is not among the loops; the cuts say
    why. All is worked out about an origin near the lawns and given back in the plan's coordinates.
    Raises nothing for a valid plan.
    """
    from renderer.plan.origin import about_origin

    near = about_origin(plan)
    walked = walk_plan(near)
    spools, splice_places = cut_spools(walked.demands, near.wire.spools)
    lay = lay_walked(walked, spools, splice_places)
    return lay if near is plan else moved_lay(lay, _apart(near, plan))


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
    """A plan whose loops are walked, before its spools are cut and its pegs set."""

    plan: Plan
    lawns: tuple[LawnGround, ...]
    walks: tuple[tuple[Loop, LoopWalk], ...]
    cuts: tuple[Cut, ...]
    demands: tuple[Demand, ...]  # what each loop asks of the spools, in the order of laying


def walk_plan(plan: Plan) -> Walked:
    """All loops of a plan near zero walked; nothing of it depends on the spools."""
    mown = [mow_lawn(lawn, plan.obstacles, plan.machine) for lawn in plan.lawns]
    walks: list[tuple[Loop, LoopWalk]] = []
    for loop in plan.loops:
        found = walk_loop(plan, loop, [m for m in mown if m.ground.loop == loop.name])
        if found is not None:
            walks.append((loop, found))
    cuts = [cut for m in mown for cut in m.cuts]
    cuts.extend(cut for _, found in walks for cut in found.unreached)
    return Walked(
        plan,
        tuple(m.ground for m in mown),
        tuple(walks),
        tuple(cuts),
        tuple(_demand(plan, *pair) for pair in walks),
    )


def lay_walked(
    walked: Walked, spools: SpoolPlan, splice_places: Mapping[str, tuple[float, ...]]
) -> Lay:
    """The lay of a walked plan with its splices at the given running distances, by loop."""
    plan = walked.plan
    loops = _pegged(plan, walked.walks, splice_places)
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


def _demand(plan: Plan, loop: Loop, found: LoopWalk) -> Demand:
    dock = plan.machine.dock
    return demand_of(
        loop.name,
        found.walk.path,
        found.walk.at_m,
        found.walk.legs,
        clear_m=plan.machine.splice_clear,
        dock_before=dock.straight_before if loop.dock else 0.0,
        dock_after=dock.straight_after if loop.dock else 0.0,
    )


def _pegged(
    plan: Plan,
    walks: Sequence[tuple[Loop, LoopWalk]],
    splice_places: Mapping[str, tuple[float, ...]],
) -> tuple[LoopLay, ...]:
    """The loops complete; pegs and splices are numbered through the plan."""
    loops: list[LoopLay] = []
    peg_number = splice_number = 1
    machine = plan.machine
    strips = service_strips(plan.features)
    for loop, found in walks:
        places = splice_places[loop.name]
        done = _laid(plan, loop, found)
        pegs = set_pegs(
            done.path,
            done.at_m,
            done.legs,
            places,
            spacing_first=machine.peg_spacing.first,
            spacing_final=machine.peg_spacing.final,
            sag=machine.peg_sag,
            first_number=peg_number,
            keep_off=strips,
        )
        splices = _splices(done, places, splice_number)
        peg_number += len(pegs)
        splice_number += len(splices)
        loops.append(replace(done, pegs=pegs, splices=splices))
    return tuple(loops)


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
