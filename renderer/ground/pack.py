"""Several jobs of one day: one plan of the spools over all of them, and each job laid by it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from renderer.ground.engine import lay_walked, walk_plan
from renderer.ground.lay import Offcut, SpoolPiece, SpoolPlan
from renderer.ground.spools import cut_spools
from renderer.ground.stations import SAME_M

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from renderer.ground.engine import Walked
    from renderer.ground.lay import Lay
    from renderer.plan.model import Plan
    from renderer.plan.wire import WireKind


@dataclass(frozen=True, slots=True)
class Tally:
    """What a way of cutting costs: splices, spools begun, wire cut off or over, wire missing."""

    splices: int
    spools: int
    over_m: float
    short_m: float = 0.0


@dataclass(frozen=True, slots=True)
class PackPiece:
    """A length of wire off a spool, and the job (from 0) whose loop it lies in."""

    job: int
    piece: SpoolPiece


@dataclass(frozen=True, slots=True)
class Cutting:
    """The spools of one kind of wire over all jobs that use it.

    ``alone`` is what it costs when each job is cut by itself from whole spools, ``together`` what
    this plan costs. Spools are numbered through the pack.
    """

    kind: WireKind
    jobs: tuple[int, ...]
    pieces: tuple[PackPiece, ...]
    offcuts: tuple[Offcut, ...]
    unused: tuple[float, ...]
    together: Tally
    alone: Tally
    proven: bool


@dataclass(frozen=True, slots=True, eq=False)
class PackLay:
    """The jobs as laid by the pack; ``plans`` have the wire that each finds on the spools."""

    plans: tuple[Plan, ...]
    lays: tuple[Lay, ...]
    cuttings: tuple[Cutting, ...]


def lay_pack(
    plans: Sequence[Plan],
    stock: Mapping[WireKind, Sequence[float]] | None = None,
    done: Callable[[int], None] | None = None,
) -> PackLay:
    """The jobs laid in their order, each kind of wire cut by one plan over all of them.

    ``stock`` is the wire on the van by kind; without it the spools that the plans state are
    pooled, and a job that states none takes no part. The order of cutting is that of
    ``cut_spools``: fewest splices, then least waste. ``done`` is told how many jobs are walked.
    """
    walked = []
    for number, plan in enumerate(plans, 1):
        walked.append(walk_plan(plan))
        if done:
            done(number)
    spools: dict[int, SpoolPlan] = {}
    cuttings: list[Cutting] = []
    opened = 0
    for kind in dict.fromkeys(plan.wire.kind for plan in plans):
        jobs = _jobs_of(kind, plans, stock)
        have = _stock_of(kind, jobs, plans, stock)
        cutting, by_job = _cut(
            {job: walked[job] for job in jobs}, kind, have, opened, stock is None
        )
        opened += cutting.together.spools
        spools |= by_job
        if jobs:
            cuttings.append(cutting)
    nothing = SpoolPlan((), ())
    laid = [_laid(each, spools.get(job, nothing)) for job, each in enumerate(walked)]
    return PackLay(tuple(p for p, _ in laid), tuple(lay for _, lay in laid), tuple(cuttings))


def _jobs_of(
    kind: WireKind, plans: Sequence[Plan], stock: Mapping[WireKind, Sequence[float]] | None
) -> list[int]:
    return [
        job
        for job, plan in enumerate(plans)
        if plan.wire.kind == kind and (stock is not None or plan.wire.spools)
    ]


def _stock_of(
    kind: WireKind,
    jobs: Iterable[int],
    plans: Sequence[Plan],
    stock: Mapping[WireKind, Sequence[float]] | None,
) -> list[float]:
    if stock is not None:
        return list(stock.get(kind, ()))
    return [length for job in jobs for length in plans[job].wire.spools]


def _cut(
    jobs: Mapping[int, Walked],
    kind: WireKind,
    stock: Sequence[float],
    opened: int,
    own_stock: bool,
) -> tuple[Cutting, dict[int, SpoolPlan]]:
    """One kind of wire cut for its jobs, and the part of each job in it."""
    keys = {}
    demands = []
    for job, walked in jobs.items():
        for number, demand in enumerate(walked.demands):
            keys[f"{job}.{number}"] = (job, demand.loop)
            demands.append(replace(demand, loop=f"{job}.{number}"))
    if stock:
        plan, _ = cut_spools(demands, stock)
    else:
        plan = SpoolPlan((), (), short_m=sum(demand.length_m for demand in demands))
    pieces = [
        PackPiece(keys[piece.loop][0], _renamed(piece, keys[piece.loop][1], opened))
        for piece in plan.pieces
    ]
    offcuts = tuple(replace(cut, spool=cut.spool + opened) for cut in plan.offcuts)
    cutting = Cutting(
        kind,
        tuple(jobs),
        tuple(pieces),
        offcuts,
        plan.unused,
        _tally(plan),
        _alone(jobs, None if own_stock else stock),
        plan.proven,
    )
    tight = {
        job: tuple(
            replace(each, loop=keys[each.loop][1])
            for each in plan.tight
            if keys[each.loop][0] == job
        )
        for job in jobs
    }
    parts = {
        job: replace(part, tight=tight[job], proven=plan.proven)
        for job, part in _parts(jobs, pieces, offcuts).items()
    }
    return cutting, parts


def _renamed(piece: SpoolPiece, loop: str, opened: int) -> SpoolPiece:
    return replace(piece, loop=loop, spool=piece.spool + opened)


def _parts(
    jobs: Mapping[int, Walked], pieces: Sequence[PackPiece], offcuts: Sequence[Offcut]
) -> dict[int, SpoolPlan]:
    """The pack's pieces by job; a spool has there what is left on it when the job begins."""
    left = {each.piece.spool: each.piece.spool_length_m for each in pieces}
    ends = {each.piece.spool: number for number, each in enumerate(pieces)}
    cut_off = {cut.spool: cut for cut in offcuts if not cut.last}
    parts = {}
    for job, walked in jobs.items():
        before = dict(left)
        own: list[SpoolPiece] = []
        rest: dict[int, Offcut] = {}
        for number, (whose, piece) in enumerate((each.job, each.piece) for each in pieces):
            if whose != job:
                continue
            own.append(replace(piece, spool_length_m=before[piece.spool]))
            left[piece.spool] -= piece.to_m - piece.from_m
            cut = cut_off.get(piece.spool) if ends[piece.spool] == number else None
            rest[piece.spool] = cut or Offcut(piece.spool, left[piece.spool], last=True)
        needed = sum(demand.length_m for demand in walked.demands)
        short = needed - sum(piece.to_m - piece.from_m for piece in own)
        over = tuple(cut for cut in rest.values() if cut.length_m > SAME_M)
        parts[job] = SpoolPlan(tuple(own), over, short if short > SAME_M else 0.0)
    return parts


def _tally(plan: SpoolPlan) -> Tally:
    ends = {(piece.loop, piece.from_m) for piece in plan.pieces}
    splices = sum((piece.loop, piece.to_m) in ends for piece in plan.pieces)
    spools = len({piece.spool for piece in plan.pieces})
    return Tally(splices, spools, sum(cut.length_m for cut in plan.offcuts), plan.short_m)


def _alone(jobs: Mapping[int, Walked], stock: Sequence[float] | None) -> Tally:
    """The cost where each job takes whole spools: its own, or what the jobs before have left."""
    total = Tally(0, 0, 0.0)
    left = list(stock or ())
    for walked in jobs.values():
        have = list(walked.plan.wire.spools) if stock is None else left
        needed = sum(demand.length_m for demand in walked.demands)
        plan, _ = cut_spools(walked.demands, have) if have else (SpoolPlan((), (), needed), {})
        left = list(plan.unused)
        each = _tally(plan)
        total = Tally(
            total.splices + each.splices,
            total.spools + each.spools,
            total.over_m + each.over_m,
            total.short_m + each.short_m,
        )
    return total


def _laid(walked: Walked, spools: SpoolPlan) -> tuple[Plan, Lay]:
    """The job laid by its part of the pack, with the wire that it finds as its stock."""
    found = {piece.spool: piece.spool_length_m for piece in spools.pieces}
    plan = walked.plan
    if found:
        wire = plan.wire.model_copy(update={"spools": tuple(found.values())})
        plan = plan.model_copy(update={"wire": wire})
    places: dict[str, tuple[float, ...]] = {}
    for loop, _ in walked.walks:
        own = [piece for piece in spools.pieces if piece.loop == loop.name]
        length = next(d.length_m for d in walked.demands if d.loop == loop.name)
        places[loop.name] = tuple(p.to_m for p in own if p.to_m < length - SAME_M)
    return plan, lay_walked(replace(walked, plan=plan), spools, places)
