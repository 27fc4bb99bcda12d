"""A day's jobs as the sheets take them, and the figures that the pack's own pages share."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import repeat
from typing import TYPE_CHECKING, Protocol, TypeVar

from renderer.sheets.job import JobData

if TYPE_CHECKING:
    from renderer.checks.finding import Finding
    from renderer.ground.engine import Walked
    from renderer.ground.gauges import Board
    from renderer.ground.lay import Splice, SpoolPlan
    from renderer.ground.pack import Asked, Cutting
    from renderer.ground.packload import Taken
    from renderer.plan.day import DayPlan
    from renderer.plan.machine import Machine
    from renderer.plan.model import Job, Plan
    from renderer.plan.wire import WireKind
    from renderer.sheets.spill import Spill

Progress = Callable[[int, int], None]
A = TypeVar("A")
B = TypeVar("B")


class Mapped(Protocol):
    """The built-in ``map``, or one that shares the work out; results come in the order of values.

    What it is given to call, its values and its results can all be pickled.
    """

    def __call__(self, function: Callable[[A], B], values: Iterable[A], /) -> Iterator[B]: ...


@dataclass(frozen=True, slots=True, eq=False)
class PackJob:
    """What the pack's own pages tell of a job, so that no more of it is held for them."""

    job: Job
    machine: Machine
    digest: str
    taken: Taken
    splices: tuple[tuple[str, Splice], ...]  # each with the name of its loop
    findings: tuple[Finding, ...]
    minutes: float  # of work for the crew
    wire_m: float


@dataclass(frozen=True, slots=True, eq=False)
class PackData:
    """The jobs in their order, laid by one plan of the spools; the day file where there is one.

    ``told`` is what is told of each job, ``jobs`` are all of each, read from a file one by one.
    ``digest`` is ``sha256:`` and 64 digits over plans, order and spools. ``starts`` are the pages
    of the pack at which the jobs begin, 0 while they are not known yet; ``prefixes`` are those of
    the jobs' anchors.
    """

    told: tuple[PackJob, ...]
    jobs: Spill[JobData]
    cuttings: tuple[Cutting, ...]
    day: DayPlan | None
    digest: str
    starts: tuple[int, ...]
    prefixes: tuple[str, ...] = ()

    @property
    def drives(self) -> tuple[float, ...]:
        """Minutes of driving to each job."""
        if self.day is None:
            return (0.0,) * len(self.told)
        return tuple(job.drive for job in self.day.jobs)


def pack_of(
    plans: Sequence[Plan],
    day: DayPlan | None = None,
    progress: Progress | None = None,
    mapped: Mapped = map,
) -> PackData:
    """The plans laid as one pack, checked, and named by a digest of their own.

    ``day`` names the same jobs in the same order. ``mapped`` does what is done job by job, to
    walk each and to lay and check it. Raises nothing for valid plans.
    """
    from renderer.ground.gauges import boards, setbacks_in_use
    from renderer.ground.pack import cut_pack
    from renderer.sheets.spill import Spill

    count = len(plans)
    asked: list[Asked] = []
    walked: Spill[Walked] = Spill()
    for number, (asks, walk) in enumerate(mapped(_walked, plans), 1):
        asked.append(asks)
        walked.add(walk)
        if progress:
            progress(number, 2 * count)  # the second half of the way is printing
    parts, cuttings = cut_pack(asked, _stock(asked[0].kind, day))
    del asked
    told: list[PackJob] = []
    jobs: Spill[JobData] = Spill()
    shared = boards(setbacks_in_use(plan).values() for plan in plans)
    walks = zip(walked.raw(), parts, repeat(shared), strict=False)
    for tells, job in mapped(_laid, walks):
        told.append(tells)
        jobs.add(job)
    digest = _digest(told, parts, day)
    return PackData(tuple(told), jobs, cuttings, day, digest, (0,) * count)


def _walked(plan: Plan) -> tuple[Asked, bytes]:
    """What a job asks of the spools, and its walk, packed."""
    from renderer.ground.engine import walk_plan
    from renderer.ground.pack import asked
    from renderer.plan import about_origin
    from renderer.sheets.spill import packed

    walked = walk_plan(about_origin(plan))
    return asked(walked), packed(walked)


def _laid(walk: tuple[bytes, SpoolPlan, tuple[Board, ...]]) -> tuple[PackJob, bytes]:
    """What is told of a job laid by its part of the pack, and all of it, packed."""
    from renderer.checks import check_plan
    from renderer.ground.pack import lay_cut
    from renderer.plan import digest
    from renderer.sheets.spill import packed, unpacked

    walked = unpacked(walk[0])
    plan, lay = lay_cut(walked, walk[1])
    job = JobData(plan, lay, check_plan(plan, lay), digest(walked.plan), boards=walk[2])
    return told_of(job), packed(job)


def told_of(job: JobData) -> PackJob:
    """What the pack's own pages tell of a job."""
    from renderer.ground.minutes import crew_minutes
    from renderer.ground.packload import taken

    loops = job.lay.loops
    return PackJob(
        job.plan.job,
        job.plan.machine,
        job.digest,
        taken(job.plan, job.lay, job.boards),
        tuple((loop.name, splice) for loop in loops for splice in loop.splices),
        job.findings,
        crew_minutes(job.plan, loops)[1],
        job.wire_m,
    )


def _stock(first: WireKind, day: DayPlan | None) -> dict[WireKind, tuple[float, ...]] | None:
    if day is None or not day.stock.has_wire:
        return None
    if day.stock.spools:
        return {first: day.stock.spools}
    return {wire.kind: wire.spools for wire in day.stock.wires}


def _digest(jobs: Sequence[PackJob], parts: Iterable[SpoolPlan], day: DayPlan | None) -> str:
    spools = [
        [piece.spool, piece.loop, round(piece.from_m, 4), round(piece.to_m, 4)]
        for part in parts
        for piece in part.pieces
    ]
    told = [
        [job.digest for job in jobs],
        spools,
        None if day is None else day.model_dump(mode="json"),
    ]
    text = json.dumps(told, sort_keys=True, separators=(",", ":"))
    return "sha256:" + hashlib.sha256(text.encode()).hexdigest()
