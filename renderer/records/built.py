"""The wire as it lies: the records of a plan applied to the wire as it was designed, in order.

Each record gets the wire that the one before it left. Rings follow the ground as the engine lays
them, pairs that lie stay, pegs that stand keep their numbers; then pegs that were moved take their
wire with them, and all lengths follow from that.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from renderer.geometry.lines import points_at
from renderer.ground.electric import ohm_per_m
from renderer.ground.engine import lay_plan
from renderer.ground.joints import legal_stretches
from renderer.ground.lay import Splice
from renderer.ground.references import references
from renderer.ground.shift import moved_lay
from renderer.ground.takeoff import takeoff
from renderer.plan.origin import about_origin
from renderer.plan.record_rules import located
from renderer.records.carried import passing, with_pegs_of
from renderer.records.design import design_code
from renderer.records.joined import next_name, with_splices_of
from renderer.records.pinned import grounds, pinned
from renderer.records.places import Ground, RecordProblem, refuse
from renderer.records.plans import after
from renderer.records.stock import spools_after, spools_of
from renderer.trade import JOINT_FAR_CLEARANCES

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from renderer.ground.joints import Stretches
    from renderer.ground.lay import Lay, LoopLay, Point, SpoolPlan
    from renderer.plan.errors import Loc, Problem
    from renderer.plan.model import Plan
    from renderer.plan.records import FoundSplice, Record
    from renderer.plan.wire import Wire
    from renderer.records.pinned import Pinned

ON_WIRE_M = 1.0  # a splice that was found further from the wire than this is none of its


@dataclass(frozen=True, slots=True)
class Laid:
    """The wire as it lay after a record: of what kind, and how much of it by the name of its loop.

    ``slopes_m`` is what slopes took on top of each loop's ``lengths_m``, metres.
    """

    wire: Wire
    lengths_m: Mapping[str, float]
    slopes_m: Mapping[str, float]

    @property
    def total_m(self) -> float:
        """All wire that lay, tails included."""
        return sum(self.lengths_m.values())


@dataclass(frozen=True, slots=True, eq=False)
class Built:
    """The wire as it was designed, and as it lies after all records; in the plan's coordinates.

    ``states`` is the wire after each record.
    """

    designed: Lay
    lay: Lay
    states: tuple[Laid, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _State:
    """A plan and its wire, before its moved pegs take it along, and where these stand.

    ``spools`` is how the wire came off its spools when it was laid.
    """

    plan: Plan
    lay: Lay
    moves: Mapping[str, Point]
    spools: SpoolPlan | None = None


def built(designed: Plan) -> Built:
    """The wire of a plan after all its records.

    Raises PlanError with file, line, key and cure where a record names a peg that there is not, or
    gives a place that cannot be.
    """
    near = about_origin(designed)
    away = (near.origin[0] - designed.origin[0], near.origin[1] - designed.origin[1])
    first = lay_plan(near)
    fixed = {each.name: each.at for each in references(near, first.lawns)}
    state = _State(near, first, {})
    states = []
    try:
        for loc, record in located(near):
            state = _after(state, loc, record, fixed)
            states.append(_laid(state))
    except RecordProblem as error:
        raise designed.source.error(_or_edited(designed, error.problem)) from None
    lay = _lying(state)
    if near is not designed:
        first, lay = moved_lay(first, away), moved_lay(lay, away)
    return Built(first, lay, tuple(states))


def _laid(state: _State) -> Laid:
    loops = [each.loop for each in _pinned(state.plan, state.lay, state.moves)]
    return Laid(
        state.plan.wire,
        {loop.name: loop.length_m for loop in loops},
        {loop.name: loop.slope_extra_m for loop in loops},
    )


def _or_edited(designed: Plan, problem: Problem) -> Problem:
    """The problem, which may come of a design that was edited after it was laid from."""
    then, now = designed.records[0].design, design_code(designed)
    if not then or then == now:
        return problem
    told = f"the design has been edited since: its code is {now} and was {then}"
    return problem._replace(cure=f"{problem.cure}; {told}" if problem.cure else told)


def _after(state: _State, loc: Loc, record: Record, fixed: Mapping[str, Point]) -> _State:
    """The wire after one more record."""
    plan = after(state.plan, record)
    lay = state.lay
    if record.changes_ground:
        lay = with_pegs_of(state.lay, lay_plan(plan, state.lay))
        if loc[0] == "changes":
            lay = _joined_in(state, plan, lay)
    moves = dict(state.moves)
    lies = replace(lay, loops=tuple(each.loop for each in _pinned(plan, lay, moves)))
    ground = Ground(fixed, lies, plan.units)
    for index, moved in enumerate(record.moved):
        peg, place = ground.moved((*loc, "moved", index), moved)
        moves[peg] = place
    if record.splices is not None:
        lay = _with_splices(plan, lay, moves, loc, record.splices, fixed)
    loops = [each.loop for each in _pinned(plan, lay, moves)]
    if state.spools is None:
        spools = spools_of(record.spools, lay.spools, loops)
    else:
        before = [each.loop for each in _pinned(state.plan, state.lay, state.moves)]
        spools = spools_after(record.spools, state.spools, before, loops)
    return _State(plan, lay, moves, spools)


def _joined_in(state: _State, plan: Plan, lay: Lay) -> Lay:
    """The wire of a later change, joined in where splices may lie on it as its pegs hold it."""

    def legal(loop: LoopLay) -> list[Stretches]:
        walk = pinned(plan, loop, state.moves)
        return [
            tuple((walk.to_before(a), walk.to_before(b)) for a, b in stretches)
            for _, stretches in legal_stretches(plan, walk.loop)
        ]

    return with_splices_of(state.lay, lay, legal, JOINT_FAR_CLEARANCES * plan.machine.splice_clear)


def _pinned(plan: Plan, lay: Lay, moves: Mapping[str, Point]) -> list[Pinned]:
    return [pinned(plan, loop, moves) for loop in lay.loops]


def _with_splices(
    plan: Plan,
    lay: Lay,
    moves: Mapping[str, Point],
    loc: Loc,
    splices: Sequence[FoundSplice],
    fixed: Mapping[str, Point],
) -> Lay:
    """The wire with the splices that were found on it, and no others."""
    walks = _pinned(plan, lay, moves)
    ground = Ground(fixed, replace(lay, loops=tuple(each.loop for each in walks)), plan.units)
    found: dict[str, list[tuple[float, str]]] = {}
    for index, splice in enumerate(splices):
        walk, at = _found((*loc, "splices", index), splice, ground, walks)
        found.setdefault(walk.loop.name, []).append((walk.to_before(at), splice.splice or ""))
    used = [splice.splice for splice in splices if splice.splice]
    loops = []
    for loop in lay.loops:
        named = []
        for at, name in sorted(found.get(loop.name, ())):
            x, y = np.round(points_at(loop.path, loop.at_m, at)[0], 4).tolist()
            named.append(Splice(name or next_name(used), at, x, y))
        loops.append(replace(loop, splices=tuple(named)))
    return replace(lay, loops=tuple(loops))


def _found(
    loc: Loc, splice: FoundSplice, ground: Ground, walks: Sequence[Pinned]
) -> tuple[Pinned, float]:
    """The loop on which a splice was found, and its running distance there."""
    mine = [walk for walk in walks if splice.loop in (None, walk.loop.name)]
    if not mine:
        refuse((*loc, "loop"), f"the loop '{splice.loop}' is not laid", "name another loop")
    if splice.along_m is not None:
        key = "at" if splice.at_m is None else "at_m"
        ground.on_wire((*loc, key), mine[0].loop, splice.along_m)
        return mine[0], splice.along_m
    place = ground.place(loc, splice, None)
    hits = [(far, walk, at) for walk in mine for far, at in _nearest(walk.loop, place, ON_WIRE_M)]
    if not hits:
        key = "to" if splice.ties is None else "ties"
        cure = "check the figures, or give at, the running distance along the wire"
        refuse((*loc, key), "no wire lies there", cure)
    _, walk, at = min(hits, key=lambda hit: hit[0])
    return walk, at


def _nearest(loop: LoopLay, place: Point, within_m: float) -> list[tuple[float, float]]:
    """How far a place lies from each leg that runs past it, and the running distance there."""
    return [
        (float(np.hypot(*(points_at(loop.path, loop.at_m, at)[0] - np.array(place)))), at)
        for _, at in passing(loop, place, within_m)
    ]


def _lying(state: _State) -> Lay:
    """The wire with all that follows from it: ground, spools, take-off."""
    plan, lay = state.plan, state.lay
    rate = ohm_per_m(plan.wire)
    loops = tuple(
        replace(each.loop, resistance_ohm=each.loop.length_m * rate)
        for each in _pinned(plan, lay, state.moves)
    )
    spools = state.spools or lay.spools
    return replace(
        lay,
        lawns=grounds(plan, lay, loops),
        loops=loops,
        spools=spools,
        takeoff=takeoff(plan, loops, spools),
        ohm_per_m=rate,
    )
