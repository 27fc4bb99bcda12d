"""A day's jobs as the sheets take them, and what the pack's own pages say of each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from renderer.trade import BREAK_AFTER_H, BREAK_MIN

if TYPE_CHECKING:
    from renderer.ground.pack import Cutting
    from renderer.job.job import Job
    from renderer.job.summary import Summary
    from renderer.plan.day import DayPlan


@dataclass(frozen=True, slots=True, eq=False)
class PackData:
    """The jobs in their order, laid by one plan of the spools; the day file where there is one.

    ``told`` is what the pack's own pages say of each job, ``jobs`` are the jobs themselves, read
    from a file one by one. ``digest`` is ``sha256:`` and 64 digits over plans, order and spools.
    ``starts`` are the pages of the pack at which the jobs begin, 0 while they are not known yet;
    ``prefixes`` are those of the jobs' anchors.
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

    @property
    def drive_home(self) -> float:
        """Minutes of driving home; as long as to the first job where the day file does not say."""
        if self.day is None or self.day.drive_home is None:
            return self.drives[0]
        return self.day.drive_home

    def rest(self, busy_minutes: float) -> float:
        """Minutes of breaks in a day of ``minutes`` of work and driving."""
        if self.day is not None and self.day.breaks is not None:
            return self.day.breaks
        return BREAK_MIN if busy_minutes > BREAK_AFTER_H * 60 else 0.0
