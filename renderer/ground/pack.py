"""Several jobs of one day: one plan of the spools over all of them, and each job laid by it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from renderer.frozen import dataclass
from renderer.ground.engine import lay_walked
from renderer.ground.lay import Offcut, SpoolPiece, SpoolPlan
from renderer.ground.spools import cut_spools
from renderer.ground.stations import SAME_M

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from renderer.ground.engine import Walked
    from renderer.ground.lay import Lay
    from renderer.ground.spools import Demand
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


@dataclass(frozen=True, slots=True)
class Asked:
    """What a job asks of the spools: the kind of its wire, the spools it states, its loops."""

    kind: WireKind
    spools: tuple[float, ...]
    demands: tuple[Demand, ...]

    @property
    def length_m(self) -> float:
        return sum(demand.length_m for demand in self.demands)


def asked(walked: Walked) -> Asked:
    """What a walked job asks of the spools."""
    wire = walked.plan.wire
    return Asked(wire.kind, tuple(wire.spools), walked.demands)


def cut_pack(
    jobs: Sequence[Asked], stock: Mapping[WireKind, Sequence[float]] | None = None
) -> tuple[tuple[SpoolPlan, ...], tuple[Cutting, ...]]:
    """Each kind of wire cut by one plan over all jobs in their order, and each job's part of it.

    ``stock`` is the wire on the van by kind; without it the spools that the plans state are
    pooled, and a job that states none takes no part. The order of cutting is that of
    ``cut_spools``: fewest splices, then least waste.
    """
    parts: dict[int, SpoolPlan] = {}
    cuttings: list[Cutting] = []
    opened = 0
    for kind in dict.fromkeys(job.kind for job in jobs):
        numbers = _jobs_of(kind, jobs, stock)
        have = _stock_of(kind, numbers, jobs, stock)
        own = {number: jobs[number] for number in numbers}
        cutting, by_job = _cut(own, kind, have, opened, stock is None)
        opened += cutting.together.spools
        parts |= by_job
        if numbers:
            cuttings.append(cutting)
    nothing = SpoolPlan((), ())
    return tuple(parts.get(number, nothing) for number in range(len(jobs))), tuple(cuttings)


def lay_cut(walked: Walked, spools: SpoolPlan) -> tuple[Plan, Lay]:
    """The job laid by its part of the pack, with the wire that it finds as its stock."""
    found = {piece.spool: piece.spool_length_m for piece in spools.pieces}
    wire = walked.plan.wire.model_copy(update={"spools": tuple(found.values())})
    plan = walked.plan.model_copy(update={"wire": wire})
    places: dict[str, tuple[float, ...]] = {}
    for loop, _ in walked.walks:
        own = [piece for piece in spools.pieces if piece.loop == loop.name]
        length = next(d.length_m for d in walked.demands if d.loop == loop.name)
        places[loop.name] = tuple(p.to_m for p in own if p.to_m < length - SAME_M)
    return plan, lay_walked(replace(walked, plan=plan), spools, places)


def _jobs_of(
    kind: WireKind, jobs: Sequence[Asked], stock: Mapping[WireKind, Sequence[float]] | None
) -> list[int]:
    return [
        number
        for number, job in enumerate(jobs)
        if job.kind == kind and (stock is not None or job.spools)
    ]


def _stock_of(
    kind: WireKind,
    numbers: Iterable[int],
    jobs: Sequence[Asked],
    stock: Mapping[WireKind, Sequence[float]] | None,
) -> list[float]:
    if stock is not None:
        return list(stock.get(kind, ()))
    return [length for number in numbers for length in jobs[number].spools]


def _cut(
    jobs: Mapping[int, Asked],
    kind: WireKind,
    stock: Sequence[float],
    opened: int,
    own_stock: bool,
) -> tuple[Cutting, dict[int, SpoolPlan]]:
    """One kind of wire cut for its jobs, and the part of each job in it."""
    keys, demands = _told_apart(jobs)
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
    tight = [(*keys[each.loop], each) for each in plan.tight]
    parts = {
        job: replace(
            part,
            tight=tuple(replace(each, loop=loop) for of, loop, each in tight if of == job),
            proven=plan.proven,
        )
        for job, part in _parts(jobs, pieces, offcuts).items()
    }
    return cutting, parts


def _told_apart(
    jobs: Mapping[int, Asked],
) -> tuple[dict[str, tuple[int, str]], list[Demand]]:
    """The demands of all jobs under names of their own, and the job and loop of each name."""
    named = {
        f"{job}.{number}": (job, demand)
        for job, own in jobs.items()
        for number, demand in enumerate(own.demands)
    }
    keys = {name: (job, demand.loop) for name, (job, demand) in named.items()}
    return keys, [replace(demand, loop=name) for name, (_, demand) in named.items()]


def _renamed(piece: SpoolPiece, loop: str, opened: int) -> SpoolPiece:
    return replace(piece, loop=loop, spool=piece.spool + opened)


def _parts(
    jobs: Mapping[int, Asked], pieces: Sequence[PackPiece], offcuts: Sequence[Offcut]
) -> dict[int, SpoolPlan]:
    """The pack's pieces by job; a spool has there what is left on it when the job begins."""
    left = {each.piece.spool: each.piece.spool_length_m for each in pieces}
    ends = {each.piece.spool: number for number, each in enumerate(pieces)}
    cut_off = {cut.spool: cut for cut in offcuts if not cut.last}
    parts = {}
    for job, needs in jobs.items():
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
        short = needs.length_m - sum(piece.to_m - piece.from_m for piece in own)
        over = tuple(cut for cut in rest.values() if cut.length_m > SAME_M)
        parts[job] = SpoolPlan(tuple(own), over, short if short > SAME_M else 0.0)
    return parts


def _tally(plan: SpoolPlan) -> Tally:
    ends = {(piece.loop, piece.from_m) for piece in plan.pieces}
    splices = sum((piece.loop, piece.to_m) in ends for piece in plan.pieces)
    spools = len({piece.spool for piece in plan.pieces})
    return Tally(splices, spools, sum(cut.length_m for cut in plan.offcuts), plan.short_m)


def _alone(jobs: Mapping[int, Asked], stock: Sequence[float] | None) -> Tally:
    """The cost where each job takes whole spools: its own, or what the jobs before have left."""
    total = Tally(0, 0, 0.0)
    left = list(stock or ())
    for job in jobs.values():
        have = list(job.spools) if stock is None else left
        plan = cut_spools(job.demands, have)[0] if have else SpoolPlan((), (), job.length_m)
        left = list(plan.unused)
        each = _tally(plan)
        total = Tally(
            total.splices + each.splices,
            total.spools + each.spools,
            total.over_m + each.over_m,
            total.short_m + each.short_m,
        )
    return total
