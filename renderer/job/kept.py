"""The last jobs kept by what they are made from, for a program that asks for them again."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock
from typing import TYPE_CHECKING

from renderer.job.job import Job, prepare

if TYPE_CHECKING:
    from renderer.plan.model import Plan

MOST = 8


class Jobs:
    """A number of jobs, the one asked for longest ago dropped first; threads may share it."""

    def __init__(self, most: int = MOST) -> None:
        self._most = most
        self._jobs: OrderedDict[str, Job] = OrderedDict()
        self._lock = Lock()

    def prepare(self, plan: Plan) -> Job:
        """The job of a plan: the one kept for a plan that says the same, else a new one.

        Where its file has changed but for what it says, such as a remark, so has that of the job.
        """
        new = prepare(plan)
        with self._lock:
            job = self._jobs.setdefault(new.key, new)
            if job.plan.source.files != plan.source.files:
                job = self._jobs[new.key] = job.written_as(plan)
            self._jobs.move_to_end(new.key)
            while len(self._jobs) > self._most:
                self._jobs.popitem(last=False)
        return job

    def __len__(self) -> int:
        return len(self._jobs)
