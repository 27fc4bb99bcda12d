"""How long two people take, row by row: the formula can be printed and each rate changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.frozen import dataclass
from renderer.trade import TAPED_ANYWAY

if TYPE_CHECKING:
    from collections.abc import Sequence

    from renderer.ground.lay import LoopLay
    from renderer.plan.model import Plan


@dataclass(frozen=True, slots=True)
class Minutes:
    """A row of the estimate: ``count`` times ``rate`` two-person minutes."""

    key: str  # fixed, per_control, per_m, per_island, per_splice, per_crossing, dock or test
    count: float
    rate: float

    @property
    def minutes(self) -> float:
        return self.count * self.rate


def crew_minutes(plan: Plan, loops: Sequence[LoopLay]) -> tuple[tuple[Minutes, ...], float]:
    """The rows of the estimate and their total, in two-person minutes.

    The rates are common practice without a published source; the machine's file may change each.
    Wire is counted without the tails, control pegs beyond those that the fixed minutes cover.
    Rows that come to nothing are left out.
    """
    rates = plan.machine.minutes
    islands = sum(ring.kind == "island" for loop in loops for ring in loop.rings)
    crossings = sum(lead.kind == "crossing" for loop in loops for lead in loop.leads)
    control = sum(peg.control for loop in loops for peg in loop.pegs)
    rows = (
        Minutes("fixed", 1.0, rates.fixed),
        Minutes("per_control", max(0, control - TAPED_ANYWAY), rates.per_control),
        Minutes("per_m", sum(loop.length_m - 2.0 * loop.tail_m for loop in loops), rates.per_m),
        Minutes("per_island", islands, rates.per_island),
        Minutes("per_splice", sum(len(loop.splices) for loop in loops), rates.per_splice),
        Minutes("per_crossing", crossings, rates.per_crossing),
        Minutes("dock", len(loops), rates.dock),
        Minutes("test", 1.0, rates.test),
    )
    kept = tuple(row for row in rows if row.count and (row.rate or row.key != "per_control"))
    return kept, sum(row.minutes for row in kept)
