"""Numbers as people read them: metric, or feet and inches; one of the two on a sheet."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from typing import Literal

from renderer.frozen import dataclass
from renderer.language import Words
from renderer.language.feet import QUARTERS, feet_and_inches, tape_parts
from renderer.language.numbers import IN_ENGLISH, NO_BREAK, Numbers
from renderer.units import M_PER_FOOT, MM_PER_M

CM_PER_M = 100.0
SMALL_M = 0.03  # below it millimetres, from it centimetres
FEW_M2 = 10.0  # below it areas have a decimal
ROUNDING = 1e-6  # what a sum of lengths may stand above a whole number by rounding alone


@dataclass(frozen=True, slots=True)
class Measure:
    """Writes ground figures in the plan's units, ``m`` or ``ft``."""

    units: Literal["m", "ft"]
    words: Words

    @property
    def numbers(self) -> Numbers:
        """How the sheet's language writes numbers."""
        return self.words.numbers

    @property
    def as_typed(self) -> Measure:
        """The same, with numbers as a plan file takes them in any language."""
        return replace(self, words=replace(self.words, numbers=IN_ENGLISH))

    def length(self, length_m: float) -> str:
        """A length: ``12.30 m``, or ``12' 6¼"`` to the nearest quarter of an inch."""
        if self.units == "ft":
            return self._feet(length_m)
        return f"{self.numbers.fixed(length_m, 2)}{NO_BREAK}m"

    def bare(self, length_m: float) -> str:
        """A length for a column whose head names the unit."""
        if self.units == "ft":
            return self._feet(length_m)
        return self.numbers.fixed(length_m, 2)

    def tape(self, length_m: float, parts: int = 1) -> str:
        """A length by tape over grass, as far as that is read, or to ``parts`` of an inch."""
        if self.units == "ft":
            return self._feet(length_m, max(parts, tape_parts(length_m)))
        return self.bare(length_m)

    def taped(self, length_m: float) -> str:
        """The same with its unit."""
        return self.tape(length_m) if self.units == "ft" else self.length(length_m)

    def small(self, length_m: float) -> str:
        """A length of a hand's size: ``6 mm``, ``5 cm``, or ``¼"``."""
        if self.units == "ft":
            return self._feet(length_m)
        if length_m < SMALL_M:
            return f"{length_m * MM_PER_M:.0f}{NO_BREAK}mm"
        return f"{length_m * CM_PER_M:.0f}{NO_BREAK}cm"

    def ordered(self, length_m: float) -> str:
        """A length to order or load, rounded up to whole metres or feet."""
        if self.units == "ft":
            return f"{_up(length_m / M_PER_FOOT)}{NO_BREAK}{self.words('unit.ft')}"
        return f"{_up(length_m)}{NO_BREAK}m"

    def quantity(self, quantity: float, unit: str) -> str:
        """How much of an item: a length where its unit is ``m``, else a number."""
        return self.length(quantity) if unit == "m" else self.numbers.plain(quantity)

    def area(self, area_m2: float) -> str:
        """An area in whole square metres or feet; one decimal below ten square metres."""
        if self.units == "ft":
            area = self.numbers.grouped(area_m2 / M_PER_FOOT**2)
            return f"{area}{NO_BREAK}{self.words('unit.square-ft')}"
        return f"{self.numbers.grouped(area_m2, 1 if area_m2 < FEW_M2 else 0)}{NO_BREAK}m²"

    def area_step(self, area_m2: float) -> float:
        """The square metres to which ``area`` gives an area."""
        if self.units == "ft":
            return M_PER_FOOT**2
        return 0.1 if area_m2 < FEW_M2 else 1.0

    def per_length(self, ohm_per_m: float) -> str:
        """Resistance of 100 m or 100 ft of wire."""
        return self.per_100(self.ohms_per_100(ohm_per_m))

    def ohms_per_100(self, ohm_per_m: float) -> str:
        """The ohms of 100 m or 100 ft of wire, without their unit."""
        factor = M_PER_FOOT if self.units == "ft" else 1.0
        return self.numbers.fixed(100 * factor * ohm_per_m, 2)

    def per_100(self, ohms: str) -> str:
        """Ohms with their unit, for 100 m or 100 ft of wire."""
        unit = self.words("unit.ft") if self.units == "ft" else "m"
        return f"{ohms}{NO_BREAK}Ω/100{NO_BREAK}{unit}"

    @property
    def unit(self) -> str:
        """The unit for a column's head, after a comma; feet and inches carry their own signs."""
        return self.words(f"unit.head.{self.units}")

    @property
    def write_unit(self) -> str:
        """The unit at the end of a space to write in."""
        return self.words(f"unit.write.{self.units}")

    def ohms(self, resistance: float) -> str:
        """A resistance in ohms."""
        return f"{self.numbers.fixed(resistance, 2)}{NO_BREAK}Ω"

    def percent(self, share: float) -> str:
        """A percentage without needless decimals."""
        return f"{self.numbers.plain(share)}{NO_BREAK}%"

    def day(self, when: date | None) -> str:
        """A date in words, such as ``Monday 4 May 2026``; empty when there is none."""
        return "" if when is None else self.numbers.weekday(when)

    def short_day(self, when: date | None) -> str:
        """A date such as ``4 May 2026``, the month in letters so that no two customs mix it up."""
        return "" if when is None else self.numbers.day(when)

    def minutes(self, minutes: float) -> str:
        """Time as ``1 h 55 min``."""
        hours, rest = divmod(round(minutes), 60)
        if not hours:
            return f"{rest}{NO_BREAK}min"
        return f"{hours}{NO_BREAK}h" + (f"{NO_BREAK}{rest:02d}{NO_BREAK}min" if rest else "")

    def _feet(self, length_m: float, parts: int = QUARTERS) -> str:
        return feet_and_inches(length_m, parts, gap=NO_BREAK)


def _up(length: float) -> int:
    return math.ceil(length - ROUNDING)
