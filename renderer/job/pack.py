"""A day's jobs as the sheets take them, and what the pack's own pages tell of each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from renderer.checks.finding import Finding
    from renderer.ground.lay import Splice
    from renderer.ground.pack import Cutting
    from renderer.ground.packload import Taken
    from renderer.job.job import JobData
    from renderer.plan.day import DayPlan
    from renderer.plan.machine import Machine
    from renderer.plan.model import Job


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
    jobs: Sequence[JobData]
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
