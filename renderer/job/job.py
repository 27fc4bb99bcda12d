"""A job as the sheets take it, and the figures that several blocks share."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from renderer.checks.finding import Finding
    from renderer.ground.gauges import Board
    from renderer.ground.lay import Lay, Lead, LoopLay, Peg, Ring, Splice
    from renderer.plan.model import Loop, Plan


@dataclass(frozen=True, slots=True, eq=False)
class JobData:
    """One plan with all that was worked out from it; ``digest`` is ``sha256:`` and 64 digits.

    ``anonymous`` tells that the plan is one for a class: nothing in it says whose it is.
    ``boards`` are the gauge boards of all jobs of its day, where there are several.
    """

    plan: Plan
    lay: Lay
    findings: tuple[Finding, ...]
    digest: str
    anonymous: bool = False
    boards: tuple[Board, ...] = ()

    def near(self) -> JobData:
        """The job about an origin near its lawns; sheets print nothing but that in figures."""
        from renderer.checks.finding import moved_findings
        from renderer.ground.engine import plan_and_lay_near

        plan, lay = plan_and_lay_near(self.plan, self.lay)
        away = self.plan.origin[0] - plan.origin[0], self.plan.origin[1] - plan.origin[1]
        return replace(self, plan=plan, lay=lay, findings=moved_findings(self.findings, away))

    @property
    def pegs(self) -> tuple[Peg, ...]:
        """All pegs of the plan, loop after loop."""
        return tuple(peg for loop in self.lay.loops for peg in loop.pegs)

    @property
    def splices(self) -> tuple[Splice, ...]:
        """All splices of the plan, loop after loop."""
        return tuple(splice for loop in self.lay.loops for splice in loop.splices)

    @property
    def leads(self) -> tuple[Lead, ...]:
        """Lead pairs and crossings."""
        return tuple(lead for loop in self.lay.loops for lead in loop.leads)

    @property
    def islands(self) -> tuple[Ring, ...]:
        """The rings round islands, loop after loop."""
        return tuple(r for loop in self.lay.loops for r in loop.rings if r.kind == "island")

    @property
    def crossings(self) -> tuple[Lead, ...]:
        """Lead pairs over ground that is not lawn."""
        return tuple(lead for lead in self.leads if lead.kind == "crossing")

    @property
    def spools(self) -> tuple[tuple[int, float], ...]:
        """Number and length in metres of each spool that the job takes along."""
        used = {piece.spool: piece.spool_length_m for piece in self.lay.spools.pieces}
        return tuple(sorted(used.items()))

    @property
    def wire_m(self) -> float:
        """Wire laid, tails included, over all loops."""
        return sum(loop.length_m for loop in self.lay.loops)

    @property
    def working_area_m2(self) -> float:
        """The ground inside the wires, over all loops."""
        return sum(loop.working_area_m2 for loop in self.lay.loops)

    def kinds(self) -> tuple[str, ...]:
        """Kinds of sides and obstacles that have a setback, in the order of the file."""
        return tuple(dict.fromkeys(kind for kind in self._kinds() if kind != "firm"))

    def _kinds(self) -> Iterator[str]:
        for lawn in self.plan.lawns:
            yield from (vertex.side for vertex in lawn.outline)
        yield from (obstacle.kind for obstacle in self.plan.obstacles)

    def loops(self) -> Iterator[tuple[Loop, LoopLay]]:
        """The plan's loops that were laid, each with its lay; one without ground is left out."""
        laid = {loop.name: loop for loop in self.lay.loops}
        return ((loop, laid[loop.name]) for loop in self.plan.loops if loop.name in laid)

    def loop_of(self, name: str) -> LoopLay:
        """The lay of a loop by its name, which must have been laid."""
        return next(loop for loop in self.lay.loops if loop.name == name)
