"""What a job is set out by: gauges, fixed points, tapes, supply leads; each worked out once."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from renderer.frozen import dataclass

if TYPE_CHECKING:
    from renderer.ground.edges import Edge
    from renderer.ground.gauges import Board, Gauge
    from renderer.ground.lay import Lay, LoopLay
    from renderer.ground.references import Reference
    from renderer.ground.supply import SupplyRun
    from renderer.ground.tapes import Tapes
    from renderer.ground.whereabouts import Whereabouts
    from renderer.plan.model import Plan


@dataclass(frozen=True, eq=False)
class SettingOut:
    """From a plan and its lay, each part when it is first asked for; lengths and places in metres.

    ``boards`` are the gauge boards of all jobs of a day; a job by itself has its own. ``fixed`` are
    the fixed points of the garden as it was planned, which keep their letters once it is built.
    """

    plan: Plan
    lay: Lay
    boards: tuple[Board, ...] = ()
    fixed: tuple[Reference, ...] | None = None

    @cached_property
    def gauges(self) -> tuple[Gauge, ...]:
        """Boards cut to length and numbered, shortest first."""
        from renderer.ground.gauges import gauges

        return gauges(self.plan, self.boards)

    def gauge_of(self, kind: str) -> Gauge | None:
        """The gauge that serves a kind of side or obstacle; ``None`` where it needs none."""
        return next((gauge for gauge in self.gauges if kind in gauge.kinds), None)

    @cached_property
    def references(self) -> tuple[Reference, ...]:
        """The fixed points from which the wire is taped."""
        from renderer.ground.references import references

        if self.fixed is not None:
            return self.fixed
        return references(self.plan, self.lay.lawns)

    @cached_property
    def tapes(self) -> Tapes:
        """What places of the wire are taped from, and what is in the way of the tapes."""
        from renderer.ground.tapes import tapes_of

        return tapes_of(self.plan, self.lay.lawns, self.references)

    @property
    def edges(self) -> tuple[Edge, ...]:
        """The sides and obstacles that a place of the wire is measured off."""
        return self.tapes.edges

    @cached_property
    def places(self) -> Whereabouts:
        """What of the plan and the lay lies where, for drawings of a part of it."""
        from renderer.ground.whereabouts import Whereabouts

        return Whereabouts(self.plan, self.lay)

    @cached_property
    def supply_runs(self) -> dict[str, SupplyRun]:
        """How the lead from each supply lies, by the name of its loop."""
        from renderer.ground.supply import supply_run

        laid: dict[str, LoopLay] = {loop.name: loop for loop in self.lay.loops}
        runs = {
            loop.name: supply_run(self.plan, self.lay, loop, laid[loop.name])
            for loop in self.plan.loops
            if loop.name in laid
        }
        return {name: run for name, run in runs.items() if run is not None}
