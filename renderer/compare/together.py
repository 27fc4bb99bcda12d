"""Two jobs in one set of coordinates, near zero, so that they can be drawn on one sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.ground.shift import moved_lay
from renderer.job import Job, prepare
from renderer.plan.origin import moved

if TYPE_CHECKING:
    from renderer.plan.model import Plan


def together(old: Job, new: Job) -> tuple[Job, Job]:
    """The two with the coordinates of the new one about its own origin."""
    near = new.near
    x, y = (there - here for there, here in zip(near.plan.origin, old.plan.origin, strict=True))
    if (x, y) == (0.0, 0.0):
        return old, near
    plan = _moved(old.plan, (-x, -y), near.plan.origin)
    planned = _moved(old.as_planned.plan, (-x, -y), near.plan.origin) if old.is_built else None
    lay = moved_lay(old.lay, (-x, -y))
    return Job.known(plan, lay, digest=old.digest, designed=planned), near


def _moved(plan: Plan, by: tuple[float, float], origin: tuple[float, float]) -> Plan:
    found = moved(plan, by, exact=True)
    found.keep_origin(origin)
    return found


def before_last(job: Job) -> Job:
    """The job before its last record: as it was built, or as it was planned."""
    plan = job.designed
    if plan is None or not plan.changes:
        return job.as_planned
    return prepare(plan.model_copy(update={"changes": plan.changes[:-1]}))
