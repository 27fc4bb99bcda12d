"""A day's jobs as the sheets take them, and what the pack's own pages tell of each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from renderer.ground.pack import Cutting
    from renderer.job.job import Job
    from renderer.job.summary import Summary
    from renderer.plan.day import DayPlan


@dataclass(frozen=True, slots=True, eq=False)
class PackData:
    """The jobs in their order, laid by one plan of the spools; the day file where there is one.

    ``told`` is what is told of each job, ``jobs`` are all of each, read from a file one by one.
    ``digest`` is ``sha256:`` and 64 digits over plans, order and spools. ``starts`` are the pages
    of the pack at which the jobs begin, 0 while they are not known yet; ``prefixes`` are those of
    the jobs' anchors.
    """

    told: tuple[Summary, ...]
    jobs: Sequence[Job]
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
