"""Readings for practice with a meter: what a garden's own wire shows with a named fault."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from renderer.ground.bands import rate_of
from renderer.ground.electric import bypass_table
from renderer.ground.parts import part_names
from renderer.job.practice import Figures
from renderer.teaching import practice
from renderer.teaching.arithmetic import Number, Step, number
from renderer.teaching.lengths import OHM_DECIMALS, ohm_rates
from renderer.teaching.reckoner import LENGTH_DECIMALS

if TYPE_CHECKING:
    from renderer.ground.bands import Band
    from renderer.ground.lay import Lay, LoopLay
    from renderer.teaching.ground import Ground

Fault = Literal["sound", "open", "short", "island", "splice"]
ROUNDED_OHM = 0.006
LENGTH_SHOWN = 2  # decimals of the lengths that the sheet gives


@dataclass(frozen=True, slots=True, eq=False)
class Reading:
    """One visit: the fault, what it concerns, what the meter shows in ohms, and the key's sums.

    ``ohm`` is missing where the meter shows none. ``halves`` are what is read on both sides of
    the splice ``of``. ``answer`` is a length in metres, or ohms, where one is asked for; a
    length is right within ``off_m``, since a meter shows hundredths of an ohm.
    """

    fault: Fault
    ohm: Number | None
    of: str = ""
    halves: tuple[Number, Number] | None = None
    answer: float | None = None
    off_m: float = 0.0
    steps: tuple[Step, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Practice:
    """A loop with what its sheet gives: wire and rate as printed, islands, splices, the band."""

    loop: LoopLay
    wire: Number
    rate: Number
    islands: tuple[tuple[str, Number], ...]
    splices: tuple[tuple[str, Number], ...]
    good: Band
    readings: tuple[Reading, ...]


def meter_practice(ground: Ground, lay: Lay, digest: str) -> Practice:
    """Readings of the longest loop with one fault each, in an order that the digest shuffles."""
    loop = max(lay.loops, key=lambda each: each.length_m)
    given = _Given(ground, loop)
    found = [given.sound(), Reading("open", None), given.short()]
    found += [reading for reading in (given.island(), given.splice()) if reading]
    random.Random(digest).shuffle(found)
    return Practice(
        loop, given.wire, given.rate, given.islands, given.splices, given.good, tuple(found)
    )


class _Given:
    """What the sheet gives of a loop, as rounded there; all readings are worked out from it."""

    def __init__(self, ground: Ground, loop: LoopLay) -> None:
        self.reckon, self.loop = ground.reckon, loop
        wire = ground.plan.wire
        least, most = ohm_rates(ground)
        self.rate = least if rate_of(wire).source == "awg" else most
        self.wire = self._shown(loop.length_m)
        named = part_names(loop)
        self.islands = tuple(
            (named[row.lead], self._shown(row.without_m)) for row in bypass_table(loop, 1.0)
        )
        self.splices = tuple((splice.id, self._shown(splice.at_m)) for splice in loop.splices)
        meter = Figures(ground.plan.machine, ground.plan.units).meter
        whole = self._ohm(self.wire.value)
        self.good = meter.band(whole, whole)

    def _shown(self, length_m: float) -> Number:
        return number(length_m / self.reckon.metres, LENGTH_SHOWN)

    def _ohm(self, length: float) -> float:
        return length * self.rate.value / 100.0

    def _reads(self, ohm: float) -> Number:
        return number(ohm, OHM_DECIMALS)

    def sound(self) -> Reading:
        step = self._step("sound", "{W} × {k} ÷ 100", {"W": self.wire, "k": self.rate})
        return Reading("sound", step.result, steps=(step,))

    def short(self) -> Reading:
        """Bare wires touch as far from one terminal as from the other."""
        far = max(2.0, float(round(practice.SHORT_SHARE * self.wire.value)))
        reads = self._reads(self._ohm(2.0 * far))
        put_in = {"r": reads, "k": self.rate}
        units = self.reckon.units
        off = 0.5 * 10.0**-OHM_DECIMALS * 100.0 / self.rate.value / 2.0 + 10.0**-LENGTH_DECIMALS
        step = Step("meter.short", "{r} × 100 ÷ {k} ÷ 2", put_in, far, LENGTH_SHOWN, units, off)
        metres = self.reckon.metres
        step_m = practice.DISTANCE_M[units]
        near = math.ceil((off * metres + practice.LENGTH_M[units]) / step_m) * step_m
        return Reading("short", reads, answer=far * metres, off_m=near, steps=(step,))

    def island(self) -> Reading | None:
        """The island that a meter tells from a whole loop and from all others, the largest one."""
        told = [
            (gone.value, name)
            for name, gone in self.islands
            if self._ohm(self.wire.value - gone.value) < self.good.low
            and all(
                abs(gone.value - other.value) >= practice.ISLANDS_APART * gone.value
                for each, other in self.islands
                if each != name
            )
        ]
        if not told:
            return None
        gone, name = max(told)
        reads = self._reads(self._ohm(self.wire.value - gone))
        put_in = {"W": self.wire, "r": reads, "k": self.rate}
        off = 0.5 * 10.0**-OHM_DECIMALS * 100.0 / self.rate.value + 10.0**-LENGTH_SHOWN
        formula = "{W} − {r} × 100 ÷ {k}"
        units, facts = self.reckon.units, {"of": name}
        step = Step("meter.island", formula, put_in, gone, LENGTH_SHOWN, units, off, facts)
        return Reading("island", reads, name, steps=(step,))

    def splice(self) -> Reading | None:
        """A joint that adds more than any sound reading allows, and what is read on both sides."""
        if not self.splices:
            return None
        name, at = self.splices[-1]
        halves = (
            self._reads(self._ohm(at.value)),
            self._reads(self._ohm(self.wire.value - at.value)),
        )
        adds = round(practice.POOR_SPLICE_OHM + self.good.high - self.good.low, 1)
        reads = self._reads(sum(half.value for half in halves) + adds)
        put_in = {"r": reads, "a": halves[0], "b": halves[1]}
        step = self._step("splice", "{r} − {a} − {b}", put_in, adds)
        return Reading("splice", reads, name, halves, adds, steps=(step,))

    def _step(
        self, key: str, formula: str, put_in: dict[str, Number], ohm: float | None = None
    ) -> Step:
        laid = self._ohm(self.wire.value) if ohm is None else ohm
        return Step(f"meter.{key}", formula, put_in, laid, OHM_DECIMALS, "Ω", ROUNDED_OHM)
