"""Figures as plain text in the plan's own unit: metres, or feet and inches."""

from __future__ import annotations

from typing import Literal

from renderer.frozen import dataclass
from renderer.language.feet import feet_and_inches
from renderer.language.words import Words
from renderer.units import M_PER_FOOT, MM_PER_M, WRITTEN_DECIMALS_M, WRITTEN_PARTS_INCH


@dataclass(frozen=True, slots=True)
class Show:
    """Writes ground figures, which are metres inside, in ``m`` or ``ft``."""

    units: Literal["m", "ft"]
    words: Words

    def length(self, length_m: float) -> str:
        """A length: ``12.30 m``, or ``12' 6 1/4"`` to the nearest quarter of an inch."""
        return self._length(length_m, 0)

    def lengths(self, *lengths_m: float) -> tuple[str, ...]:
        """Several lengths, fine enough that two different ones do not read the same."""
        told: tuple[str, ...] = ()
        for step in range(len(WRITTEN_DECIMALS_M)):
            told = tuple(self._length(length_m, step) for length_m in lengths_m)
            if len(set(told)) == len({round(length_m, 4) for length_m in lengths_m}):
                break
        return told

    def thickness(self, thickness_mm: float) -> str:
        """How thick something is, from millimetres: ``5 mm``, or ``1/4"`` as a length."""
        if self.units == "ft":
            return self.length(thickness_mm / MM_PER_M)
        return f"{self.words.numbers.plain(thickness_mm)} mm"

    def area(self, area_m2: float) -> str:
        """An area in square metres or square feet, one decimal below ten."""
        in_feet = self.units == "ft"
        area = area_m2 / M_PER_FOOT**2 if in_feet else area_m2
        unit = self.words("unit.square-ft") if in_feet else "m²"
        return f"{self.words.numbers.grouped(area, 1 if area < 10 else 0)} {unit}"

    def percent(self, share: float) -> str:
        """A percentage without needless decimals: ``6.4 %``."""
        return f"{self.words.numbers.signs(f'{share:.3g}')} %"

    def ohms(self, resistance: float) -> str:
        """A resistance: ``2.41 Ω``."""
        return f"{self.words.numbers.fixed(resistance, 2)} Ω"

    def plain(self, figure: float) -> str:
        """A figure of the plan as it stands there."""
        return self.words.numbers.plain(figure)

    def _length(self, length_m: float, step: int) -> str:
        if self.units == "ft":
            return feet_and_inches(length_m, WRITTEN_PARTS_INCH[step], typed=True)
        return f"{self.words.numbers.fixed(length_m, WRITTEN_DECIMALS_M[step])} m"
