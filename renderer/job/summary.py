"""What a pack's own pages say of a job, small enough to hold for every job of a pack."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from renderer.checks.finding import Finding
    from renderer.ground.lay import Splice
    from renderer.ground.packload import Taken
    from renderer.plan.machine import Machine
    from renderer.plan.model import JobHead
    from renderer.plan.values import Units


@dataclass(frozen=True, slots=True, eq=False)
class Summary:
    """The job's head, machine and digest, what goes in the van, its splices, findings and work."""

    job: JobHead
    machine: Machine
    digest: str
    taken: Taken
    splices: tuple[tuple[str, Splice], ...]  # each with the name of its loop
    findings: tuple[Finding, ...]
    minutes: float  # of work for the crew
    wire_m: float
    units: Units
