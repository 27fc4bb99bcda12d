"""What a trainee's computations start from."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from renderer.ground.sides import NumberedSide
    from renderer.plan.model import Plan
    from renderer.teaching.arithmetic import Step
    from renderer.teaching.reckoner import Reckoner


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """What a ring is worked out from: the plan, its sides, and how numbers are written."""

    plan: Plan
    sides: tuple[NumberedSide, ...]
    reckon: Reckoner
    rings: dict[tuple[str, str], tuple[Step, ...]] = field(default_factory=dict)
    """The steps worked out so far, by loop and ring: most rings are asked for many times."""
