"""What a meter should read on a job's wire, and what a break or an island left out makes of it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from renderer.ground.bands import good_band, left_out, loop_band, rate_of

if TYPE_CHECKING:
    from renderer.ground.bands import Band, LeftOut, Meter, Rate
    from renderer.ground.lay import LoopLay
    from renderer.plan.wire import Wire


@dataclass(frozen=True, eq=False)
class Readings:
    """From the wire, its loops and how far off a sound reading may be; ohms, and metres of wire."""

    wire: Wire
    loops: tuple[LoopLay, ...]
    meter: Meter

    @cached_property
    def rate(self) -> Rate:
        """Least and greatest resistance of a metre at 20 degC."""
        return rate_of(self.wire)

    def good(self, loop: LoopLay, celsius: float = 20.0) -> Band:
        """Least and greatest reading of a loop with nothing wrong."""
        return loop_band(loop, self.rate, self.meter, celsius)

    def good_of(self, length_m: float, celsius: float = 20.0) -> Band:
        """The same of a length of wire, such as a full spool."""
        return good_band(self.rate, self.meter, length_m, celsius=celsius)

    @cached_property
    def left_out(self) -> tuple[tuple[LoopLay, LeftOut], ...]:
        """Each island of each loop as a meter sees it left out."""
        return tuple(
            (loop, row) for loop in self.loops for row in left_out(loop, self.rate, self.meter)
        )
