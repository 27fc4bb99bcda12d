"""A day's jobs as the sheets take them, and the figures that the pack's own pages share."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from renderer.sheets.job import JobData

if TYPE_CHECKING:
    from renderer.ground.pack import Cutting, PackLay
    from renderer.plan.day import DayPlan
    from renderer.plan.model import Plan
    from renderer.plan.wire import WireKind

Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True, eq=False)
class PackData:
    """The jobs in their order, laid by one plan of the spools; the day file where there is one.

    ``digest`` is ``sha256:`` and 64 digits over plans, order and spools. ``starts`` are the pages
    of the pack at which the jobs begin, 0 while they are not known yet; ``prefixes`` are those of
    the jobs' anchors.
    """

    jobs: tuple[JobData, ...]
    cuttings: tuple[Cutting, ...]
    day: DayPlan | None
    digest: str
    starts: tuple[int, ...]
    prefixes: tuple[str, ...] = ()

    @property
    def drives(self) -> tuple[float, ...]:
        """Minutes of driving to each job."""
        if self.day is None:
            return (0.0,) * len(self.jobs)
        return tuple(job.drive for job in self.day.jobs)


def pack_of(
    plans: Sequence[Plan], day: DayPlan | None = None, progress: Progress | None = None
) -> PackData:
    """The plans laid as one pack, checked, and named by a digest of their own.

    ``day`` names the same jobs in the same order. Raises nothing for valid plans.
    """
    from renderer.checks import check_plan
    from renderer.ground.pack import lay_pack
    from renderer.plan import digest

    count = len(plans)
    laid = lay_pack(plans, _stock(plans, day), _half(progress, count))
    jobs = tuple(
        JobData(found, lay, check_plan(found, lay), digest(given))
        for given, found, lay in zip(plans, laid.plans, laid.lays, strict=True)
    )
    return PackData(jobs, laid.cuttings, day, _digest(jobs, laid, day), (0,) * count)


def _half(progress: Progress | None, count: int) -> Callable[[int], None] | None:
    """Laying is the first half of the way, printing the second."""
    return None if progress is None else lambda done: progress(done, 2 * count)


def _stock(plans: Sequence[Plan], day: DayPlan | None) -> dict[WireKind, tuple[float, ...]] | None:
    if day is None or not day.stock.has_wire:
        return None
    if day.stock.spools:
        return {plans[0].wire.kind: day.stock.spools}
    return {wire.kind: wire.spools for wire in day.stock.wires}


def _digest(jobs: Sequence[JobData], laid: PackLay, day: DayPlan | None) -> str:
    spools = [
        [piece.spool, piece.loop, round(piece.from_m, 4), round(piece.to_m, 4)]
        for lay in laid.lays
        for piece in lay.spools.pieces
    ]
    told = [
        [job.digest for job in jobs],
        spools,
        None if day is None else day.model_dump(mode="json"),
    ]
    text = json.dumps(told, sort_keys=True, separators=(",", ":"))
    return "sha256:" + hashlib.sha256(text.encode()).hexdigest()
