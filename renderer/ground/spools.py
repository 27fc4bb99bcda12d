"""Where the wire may be joined, and how the spools in stock are cut for all loops of a plan."""

from __future__ import annotations

from bisect import bisect_left
from typing import TYPE_CHECKING, Literal

from renderer.frozen import dataclass
from renderer.ground.cutting import search
from renderer.ground.lay import Offcut, SpoolPiece, SpoolPlan, TightSplice
from renderer.ground.stations import SAME_M, bends_of, corners_at, within
from renderer.ground.strips import shut_stretches
from renderer.trade import HOLD_AT_M, SPLICED_LEAST_M

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from shapely.geometry.base import BaseGeometry

    from renderer.ground.cutting import Draw, State
    from renderer.ground.lay import Leg, Points
    from renderer.ground.stations import Floats

Stretch = tuple[float, float]
Where = Literal["near", "dock", "lead", "service"]

CLEAR_SHARES = (0.5, 0.25, 0.125, 0.0)  # of the clearance, tried in turn where it leaves no place


@dataclass(frozen=True, slots=True)
class Demand:
    """The wire that one loop needs, where it must not be joined, and what may give way in turn."""

    loop: str
    length_m: float
    forbidden: tuple[Stretch, ...] = ()
    looser: tuple[tuple[Where, tuple[Stretch, ...]], ...] = ()

    def places(self, from_m: float, end_m: float) -> list[tuple[float, int]]:
        """The last places for a splice up to ``end_m``, each with its level (0: full clearance).

        Those of higher levels only where they lie further on. Places that make the piece from
        ``from_m`` too short to be worth laying are left out.
        """
        found: list[tuple[float, int]] = []
        for level, stretches in enumerate((self.forbidden, *(some for _, some in self.looser))):
            at = _legal_up_to(stretches, end_m)
            if at >= max(from_m + SPLICED_LEAST_M, found[-1][0] + SAME_M if found else 0.0):
                found.append((at, level))
        return found

    def where(self, level: int) -> Where:
        """What gave way at a level of 1 or more."""
        return self.looser[level - 1][0]


def _legal_up_to(stretches: Sequence[Stretch], end_m: float) -> float:
    """The last place up to ``end_m`` that is in none of the stretches; their borders are legal."""
    before = bisect_left(stretches, (end_m - SAME_M, -1.0)) - 1
    if before >= 0 and end_m < stretches[before][1] - SAME_M:
        return stretches[before][0]
    return end_m


@dataclass(frozen=True, slots=True, eq=False)
class _Hindrances:
    """What splices keep away from along one loop, metres from its start.

    A bend is where the wire turns by as much as a corner; ``bends`` (k, 2) are the shortest
    stretches that do.
    """

    start: float
    end: float
    length_m: float
    leads: tuple[Stretch, ...]
    corners: tuple[float, ...]
    bends: Floats


def _hindrances(path: Points, at_m: Floats, legs: Sequence[Leg]) -> _Hindrances:
    """What splices keep away from on a walk ``path`` (n, 2) with its running distances."""
    walked = [leg for leg in legs if leg.kind != "tail"]
    return _Hindrances(
        walked[0].from_m,
        walked[-1].to_m,
        float(legs[-1].to_m),
        tuple((leg.from_m, leg.to_m) for leg in walked if leg.kind in ("lead", "crossing")),
        tuple(corners_at(path, at_m, legs).tolist()),
        bends_of(path, at_m, legs),
    )


def forbidden_stretches(
    path: Points,
    at_m: Floats,
    legs: Sequence[Leg],
    *,
    clear_m: float,
    dock_before: float,
    dock_after: float,
    shut: Sequence[Stretch] = (),
) -> list[Stretch]:
    """Stretches of one loop where no splice may lie, merged and in order; metres from its start.

    They are the tails, the lead pairs and crossings, everything within ``clear_m`` of a bend or of
    the end of a pair, the dock's straight run at both ends of the walk, and ``shut``, where the
    wire lies in the strip of a service. Of the bends, those count that are made within twice
    ``clear_m``.
    """
    return _forbidden(_hindrances(path, at_m, legs), clear_m, dock_before, dock_after, shut)


def _forbidden(
    about: _Hindrances,
    clear_m: float,
    dock_before: float,
    dock_after: float,
    shut: Sequence[Stretch],
) -> list[Stretch]:
    found = [(0.0, about.start + dock_after), (about.end - dock_before, about.length_m), *shut]
    found += [(from_m - clear_m, to_m + clear_m) for from_m, to_m in about.leads]
    if clear_m > 0:
        found += [(at - clear_m, at + clear_m) for at in about.corners]
        bends = within(about.bends, 2.0 * clear_m)
        found += [(from_m - clear_m, to_m + clear_m) for from_m, to_m in bends]
    return _merged(found, about.length_m)


def _merged(stretches: Iterable[Stretch], end: float) -> list[Stretch]:
    merged: list[Stretch] = []
    for from_m, to_m in sorted((max(0.0, float(a)), min(end, float(b))) for a, b in stretches):
        if merged and from_m < merged[-1][1] - SAME_M:
            merged[-1] = (merged[-1][0], max(merged[-1][1], to_m))
        elif to_m > from_m:
            merged.append((from_m, to_m))
    return merged


def demand_of(
    loop: str,
    path: Points,
    at_m: Floats,
    legs: Sequence[Leg],
    *,
    clear_m: float,
    dock_before: float,
    dock_after: float,
    strips: BaseGeometry | None = None,
) -> Demand:
    """What one loop asks of the spools; ``strips`` is the ground along services.

    Where a spool leaves no legal place, the clearance is halved down to nothing, then the dock's
    run is opened, then the lead pairs and crossings, and last of all the strips.
    """
    held = HOLD_AT_M + SAME_M  # the pegs on both sides stand clear of the strip too
    shut = [(a - held, b + held) for a, b in shut_stretches(path, at_m, strips)]

    about = _hindrances(path, at_m, legs)

    def forbidden(share: float, dock: float) -> tuple[Stretch, ...]:
        stretches = _forbidden(about, clear_m * share, dock_before * dock, dock_after * dock, shut)
        return tuple(stretches)

    near: list[tuple[Where, tuple[Stretch, ...]]] = [
        ("near", forbidden(share, 1.0)) for share in CLEAR_SHARES
    ]
    looser = [*near, ("dock", forbidden(0.0, 0.0))]
    looser.append(("lead", tuple(_merged(shut, float(legs[-1].to_m)))))
    if shut:
        looser.append(("service", ()))
    return Demand(loop, float(legs[-1].to_m), forbidden(1.0, 1.0), tuple(looser))


def cut_spools(
    demands: Sequence[Demand], spools: Sequence[float]
) -> tuple[SpoolPlan, dict[str, tuple[float, ...]]]:
    """How the spools are cut for all loops, and each loop's splices as running distances.

    The loops are laid in the order given; a spool is used whole, in the order of spools that leaves
    the fewest splices, then the fewest of them too near to something, then the least wire over or
    cut off. A splice comes back to the last legal place before the spool's end. What is left when a
    loop is complete may serve a later one. Every order is tried as long as the stock allows only a
    few thousand different states (a dozen spools, or many of a few sizes); a larger stock keeps the
    most promising states only, and the plan is then not ``proven``.

    Where the stock falls short the pieces end, ``short_m`` is the wire that is missing, and a
    splice stands where it would join. Without any spool stated nothing is planned, nothing short.
    """
    if not spools or not demands:
        return SpoolPlan((), ()), {demand.loop: () for demand in demands}
    state, proven = search(demands, spools)
    draws = state.draws()
    splices = {
        demand.loop: tuple(draw.to_m for draw in draws if draw.loop == i and draw.level is not None)
        for i, demand in enumerate(demands)
    }
    return _plan(demands, state, draws, proven), splices


def _plan(
    demands: Sequence[Demand], state: State, draws: Sequence[Draw], proven: bool
) -> SpoolPlan:
    laid = sum(draw.to_m - draw.from_m for draw in draws)
    short = sum(demand.length_m for demand in demands) - laid
    cut = [
        Offcut(draw.spool, draw.cut_m, last=False)
        for draw in draws
        if draw.level is not None and draw.cut_m > SAME_M
    ]
    over = [Offcut(spool, length, last=True) for length, spool, _ in state.begun]
    names = [demands[draw.loop].loop for draw in draws]
    return SpoolPlan(
        pieces=tuple(
            SpoolPiece(draw.spool, draw.spool_length_m, name, draw.from_m, draw.to_m)
            for name, draw in zip(names, draws, strict=True)
        ),
        offcuts=tuple(sorted((*cut, *over), key=lambda offcut: (offcut.spool, offcut.last))),
        short_m=short if short > SAME_M else 0.0,
        unused=tuple(length for length, count in state.whole for _ in range(count)),
        tight=tuple(
            TightSplice(name, draw.to_m, demands[draw.loop].where(draw.level))
            for name, draw in zip(names, draws, strict=True)
            if draw.level
        ),
        proven=proven,
    )
