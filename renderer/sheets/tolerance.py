"""How near to the key an answer has to be: as the sheet states it and as the key marks by it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from renderer.frozen import dataclass
from renderer.sheets.measure import Measure
from renderer.teaching import practice

if TYPE_CHECKING:
    from renderer.language import Words


@dataclass(frozen=True, slots=True)
class Tolerance:
    """The tolerances of an exercise in the unit of its sheet; lengths in metres."""

    measure: Measure

    @property
    def words(self) -> Words:
        return self.measure.words

    @property
    def length_m(self) -> float:
        """Of a distance or a tape."""
        return practice.LENGTH_M[self.measure.units]

    def sum_m(self, length_m: float) -> float:
        """Of a length that is added up from several."""
        step = practice.STEP_M[self.measure.units]
        share = math.ceil(practice.SUM_PERCENT / 100 * length_m / step - 1e-9) * step
        return max(self.length_m, share)

    def order_m(self, length_m: float) -> float:
        """Of the wire to order."""
        least = practice.ORDER_M[self.measure.units]
        return max(least, practice.ORDER_PERCENT / 100 * length_m)

    def pegs(self, count: int) -> int:
        """Of a number of pegs."""
        return max(1, math.ceil(practice.PEG_PERCENT / 100 * count - 1e-9))

    def length(self) -> str:
        return self._of(self.measure.small(self.length_m))

    def sum(self, length_m: float) -> str:
        near_m = self.sum_m(length_m)
        metres = self.measure.units == "m" and near_m >= 1.0
        return self._of(self.measure.length(near_m) if metres else self.measure.small(near_m))

    def order(self, length_m: float) -> str:
        return self._of(self.measure.ordered(self.order_m(length_m)))

    def count(self, count: int) -> str:
        return self._of(str(self.pegs(count)))

    def ohms(self) -> str:
        return self._of(self.measure.ohms(practice.OHM))

    def minutes(self) -> str:
        return self._of(self.measure.minutes(practice.MINUTES))

    def facts(self) -> dict[str, str]:
        """All of them as figures for the sentence that states them."""
        measure = self.measure
        return {
            "length": measure.small(self.length_m),
            "sum": measure.percent(practice.SUM_PERCENT),
            "pegs": measure.percent(practice.PEG_PERCENT),
            "order": measure.ordered(practice.ORDER_M[measure.units]),
            "more": measure.percent(practice.ORDER_PERCENT),
            "ohm": measure.ohms(practice.OHM),
            "minutes": measure.minutes(practice.MINUTES),
        }

    def _of(self, figure: str) -> str:
        return self.words("within.off", off=figure)
