"""From a loop's reading to what may have caused it, the likeliest first; ohms and metres.

The bands are those of the test record and the wiring map.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from renderer.ground.electric import temperature_factor
from renderer.trade import OPEN_TIMES

if TYPE_CHECKING:
    from renderer.ground.bands import Band
    from renderer.ground.lay import LoopLay
    from renderer.job.readings import Readings

Kind = Literal["sound", "left-out", "joint", "bridged", "open"]


@dataclass(frozen=True, slots=True)
class Cause:
    """What may be the matter: what it concerns, what a meter reads then, and how far that is off.

    ``reads`` is missing where it can be anything. ``apart`` is 0 where the reading lies in the
    middle of what is to be expected, 1 at its edge. ``wire_m`` is the wire that has no part in the
    reading, ``more_ohm`` what a joint adds.
    """

    kind: Kind
    of: tuple[str, ...] = ()
    reads: Band | None = None
    apart: float = 0.0
    wire_m: float | None = None
    more_ohm: float | None = None


def causes(
    readings: Readings, loop: LoopLay, ohms: float | None, celsius: float
) -> tuple[Cause, ...]:
    """What may be the matter with a loop that reads ``ohms``; ``None`` where the meter shows none.

    Sound wire comes first where the reading is good, islands left out by how well they fit.
    """
    good = readings.good(loop, celsius)
    if ohms is None or ohms > OPEN_TIMES * good.high:
        return (Cause("open"),)
    found = [Cause("sound", reads=good, apart=_apart(good, ohms))] if ohms in good else []
    found += sorted(_left_out(readings, loop, ohms, celsius), key=lambda each: each.apart)
    middle = (good.low + good.high) / 2.0
    if ohms > good.high:
        splices = tuple(splice.id for splice in loop.splices)
        found.append(Cause("joint", splices, more_ohm=ohms - middle))
    elif ohms < good.low:
        rate = readings.rate
        of_metre = temperature_factor(celsius) * (rate.low + rate.high) / 2.0
        found.append(Cause("bridged", wire_m=(middle - ohms) / of_metre))
    return tuple(found)


def _left_out(readings: Readings, loop: LoopLay, ohms: float, celsius: float) -> Iterator[Cause]:
    """The islands whose leaving out agrees with a reading."""
    factor = temperature_factor(celsius)
    for laid, row in readings.left_out:
        if laid is not loop:
            continue
        band = readings.meter.band(factor * row.reads.low, factor * row.reads.high)
        if ohms in band:
            yield Cause("left-out", (row.of,), band, _apart(band, ohms), row.without_m)


def _apart(band: Band, ohms: float) -> float:
    return abs(ohms - (band.low + band.high) / 2.0) / max((band.high - band.low) / 2.0, 1e-9)
