"""What a meter may read on sound wire, and whether it shows that an island is left out.

The one source of these figures: test record, steps, wiring map and exercises all take them here.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from renderer.frozen import dataclass
from renderer.ground.electric import bypass_table, ohm_per_m, pure_copper_ohm_per_m
from renderer.ground.electric import temperature_factor as factor_at
from renderer.trade import COLDEST_C, STRANDED_AWG_RATIO

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.ground.electric import Bypass
    from renderer.ground.lay import LoopLay
    from renderer.plan.model import Wire

Source = Literal["spools", "label", "iec", "awg"]
Tells = Literal["yes", "maybe", "no"]


@dataclass(frozen=True, slots=True)
class Rate:
    """Resistance of a metre of sound wire at 20 degC, least and greatest, and where that is from.

    ``iec`` is a limit that no wire may exceed, and good wire reads less, down to copper of the full
    area; ``awg`` runs from solid wire to stranded. A figure of a label, or of spools that were
    measured, is one value.
    """

    low: float
    high: float
    source: Source

    @property
    def known(self) -> bool:
        """Whether one value stands for the wire at hand."""
        return self.source in ("spools", "label")


@dataclass(frozen=True, slots=True)
class Meter:
    """How far a sound reading may be off: a share for meter and length, and the meter's ohms."""

    percent: float
    ohm: float

    def band(self, least: float, most: float) -> Band:
        """What may be read where the resistance lies between two values, in ohm."""
        share = self.percent / 100.0
        return Band(max(0.0, least * (1.0 - share) - self.ohm), most * (1.0 + share) + self.ohm)


@dataclass(frozen=True, slots=True)
class Band:
    """Least and greatest reading, in ohm."""

    low: float
    high: float

    def __contains__(self, ohms: float) -> bool:
        return self.low <= ohms <= self.high


@dataclass(frozen=True, slots=True)
class LeftOut:
    """An island, with all that hangs on its pair, left out of a loop: what a meter makes of it.

    ``less`` is by how much it lowers the reading, ``reads`` what is then read, both from the least
    to the greatest resistance of the wire, without the meter's error. ``tells`` holds where the
    wire's resistance is known, from the label or once a spool is measured, and ``tells_now`` with
    what the plan knows: ``yes``, no reading of that loop is one of the whole loop; ``maybe``, the
    reading to be expected is not good, but the meter's error may make it so; ``no``, it is good.
    """

    lead: str  # the id of the pair
    of: str
    without_m: float
    less: Band
    reads: Band
    tells: Tells
    tells_now: Tells


def rate_of(wire: Wire) -> Rate:
    """Least and greatest resistance of the plan's wire, in ohm per metre at 20 degC.

    Spools that were measured come first, then the label, then the standard for its size.
    """
    most = ohm_per_m(wire)
    if wire.measured:
        return Rate(most, most, "spools")
    if wire.ohm_per_100m is not None:
        return Rate(most, most, "label")
    if wire.conductor_mm2 is not None:
        return Rate(pure_copper_ohm_per_m(wire.conductor_mm2), most, "iec")
    return Rate(most, most * STRANDED_AWG_RATIO, "awg")


def good_band(
    rate: Rate, meter: Meter, length_m: float, *, extra_m: float = 0.0, celsius: float = 20.0
) -> Band:
    """What a meter reads on sound wire: ``length_m`` by plan, up to ``extra_m`` more on slopes."""
    factor = factor_at(celsius)
    return meter.band(factor * length_m * rate.low, factor * (length_m + extra_m) * rate.high)


def loop_band(loop: LoopLay, rate: Rate, meter: Meter, celsius: float = 20.0) -> Band:
    """What a meter reads on a loop with nothing wrong."""
    return good_band(rate, meter, loop.length_m, extra_m=loop.slope_extra_m, celsius=celsius)


def left_out(loop: LoopLay, rate: Rate, meter: Meter) -> tuple[LeftOut, ...]:
    """Each island of a loop as a meter sees it left out, with all that hangs on its pair."""
    return tuple(_left_out(loop, row, rate, meter) for row in bypass_table(loop, rate.high))


def _left_out(loop: LoopLay, row: Bypass, rate: Rate, meter: Meter) -> LeftOut:
    gone, rest = row.without_m, loop.length_m - row.without_m
    less = Band(gone * rate.low, gone * rate.high)
    reads = Band(rest * rate.low, rest * rate.high)
    # the lower the resistance, the less an island weighs against the meter's ohms
    least = Rate(rate.low, rate.low, rate.source)
    known = _tells(loop, gone, least, meter)
    return LeftOut(row.lead, row.of, gone, less, reads, known, _tells(loop, gone, rate, meter))


def _tells(loop: LoopLay, gone_m: float, rate: Rate, meter: Meter) -> Tells:
    """What a meter can say, at each temperature that sheets print."""
    verdicts = set(_verdicts(loop, gone_m, rate, meter))
    return next(each for each in ("no", "maybe", "yes") if each in verdicts)


def _verdicts(loop: LoopLay, gone_m: float, rate: Rate, meter: Meter) -> Iterator[Tells]:
    for celsius in (COLDEST_C, 20.0):
        good = loop_band(loop, rate, meter, celsius)
        most = factor_at(celsius) * rate.high * (loop.length_m + loop.slope_extra_m - gone_m)
        if most >= good.low:
            yield "no"
        else:
            yield "maybe" if meter.band(most, most).high >= good.low else "yes"
