"""Several jobs laid as one pack: walked each by itself, then laid by one plan of the spools."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from itertools import repeat
from typing import TYPE_CHECKING

from renderer.job import Job
from renderer.job.pack import PackData

if TYPE_CHECKING:
    from renderer.batch.spill import Spill
    from renderer.ground.engine import Walked
    from renderer.ground.gauges import Board
    from renderer.ground.lay import SpoolPlan
    from renderer.ground.pack import Asked
    from renderer.job.summary import Summary
    from renderer.plan.day import DayPlan
    from renderer.plan.model import Plan
    from renderer.plan.wire import WireKind
    from renderer.progress import Mapped, Progress


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
    from renderer.batch.spill import Spill
    from renderer.ground.gauges import boards, setbacks_in_use
    from renderer.ground.pack import cut_pack

    count = len(plans)
    asked: list[Asked] = []
    walked: Spill[Walked] = Spill()
    for number, (asks, walk) in enumerate(mapped(_walked, plans), 1):
        asked.append(asks)
        walked.add(walk)
        if progress:
            progress(number, 2 * count)  # the second half of the work is printing
    parts, cuttings = cut_pack(asked, _stock(asked[0].kind, day))
    del asked
    told: list[Summary] = []
    jobs: Spill[Job] = Spill()
    shared = boards((setbacks_in_use(plan).values() for plan in plans), plans[0].units)
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
    from renderer.packed import packed
    from renderer.plan import about_origin

    walked = walk_plan(about_origin(plan))
    return asked(walked), packed(walked)


def _laid(walk: tuple[bytes, SpoolPlan, tuple[Board, ...]]) -> tuple[Summary, bytes]:
    """What the pack's own pages say of a job laid by its part of the pack, and the job, packed."""
    from renderer.ground.pack import lay_cut
    from renderer.packed import packed, unpacked
    from renderer.plan import digest

    walked = unpacked(walk[0])
    plan, lay = lay_cut(walked, walk[1])
    job = Job.known(plan, lay, digest=digest(walked.plan), boards=walk[2])
    return job.summary, packed(job)


def _stock(first: WireKind, day: DayPlan | None) -> dict[WireKind, tuple[float, ...]] | None:
    if day is None or not day.stock.has_wire:
        return None
    if day.stock.spools:
        return {first: day.stock.spools}
    return {wire.kind: wire.spools for wire in day.stock.wires}


def _digest(jobs: Sequence[Summary], parts: Iterable[SpoolPlan], day: DayPlan | None) -> str:
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
