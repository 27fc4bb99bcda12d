"""Resistance of the wire, what a meter shows past a bypassed island, and the drop in the lead."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from renderer.frozen import dataclass
from renderer.trade import (
    ALPHA_PER_K,
    AWG_36_MM,
    AWG_RATIO,
    AWG_STEPS,
    IACS_M_PER_OHM_MM2,
    IEC_60228_OHM_PER_KM,
    STRANDED_AWG_RATIO,
)

if TYPE_CHECKING:
    from renderer.ground.lay import LoopLay
    from renderer.plan.model import SupplyFigures, Wire


@dataclass(frozen=True, slots=True)
class Bypass:
    """What a meter shows at the loop's ends when one island and its lead pair are left out."""

    lead: str  # the id of the pair
    of: str
    without_m: float  # ring and both wires of its pair
    deficit_ohm: float
    reading_ohm: float


@dataclass(frozen=True, slots=True)
class LeadDrop:
    """Voltage lost in a supply lead, out and back."""

    volts: float
    percent: float


def awg_area_mm2(size: int) -> float:
    """Conductor area of an AWG size in mm2, by the diameters of ASTM B258."""
    diameter: float = AWG_36_MM * AWG_RATIO ** ((36.0 - size) / AWG_STEPS)
    return math.pi / 4.0 * diameter * diameter


def pure_copper_ohm_per_m(area_mm2: float) -> float:
    """Resistance of annealed copper of an area at 20 degC, ohm per metre, by IEC 60028."""
    return 1.0 / (IACS_M_PER_OHM_MM2 * area_mm2)


def temperature_factor(celsius: float) -> float:
    """Resistance of copper at a temperature over that at 20 degC."""
    return 1.0 + ALPHA_PER_K * (celsius - 20.0)


def ohm_per_m(wire: Wire) -> float:
    """Resistance of the plan's wire at 20 degC, ohm per metre.

    Spools that were measured come first, all together, then a figure for 100 m from a label; else
    the greatest value of IEC 60228 for the size and class, or annealed copper of the area that ASTM
    B258 gives the gauge. Raises ``ValueError`` for a size that the standard does not list, and for
    another conductor than copper without a figure of its own.
    """
    if wire.measured:
        at_20 = sum(each.ohm / temperature_factor(each.temperature) for each in wire.measured)
        return at_20 / sum(each.length for each in wire.measured)
    if wire.ohm_per_100m is not None:
        return wire.ohm_per_100m / 100.0
    if wire.conductor.strip().lower() != "copper":
        raise ValueError(f"resistance of {wire.conductor} is not known; give wire.ohm_per_100m")
    if wire.conductor_awg is not None:
        return pure_copper_ohm_per_m(awg_area_mm2(wire.conductor_awg))
    table = IEC_60228_OHM_PER_KM[wire.conductor_class]
    if wire.conductor_mm2 not in table:
        sizes = ", ".join(f"{size:g}" for size in table)
        raise ValueError(f"{wire.conductor_mm2} mm2 is none of {sizes} of IEC 60228")
    return table[wire.conductor_mm2] / 1000.0


def lead_ohm_per_m(figures: SupplyFigures) -> float:
    """Greatest resistance of one conductor of the supply lead at 20 degC, ohm per metre.

    By the same standards as the wire: IEC 60228 for size and class, ASTM B258 for a gauge, here
    stranded. A size that the table does not list is as far above annealed copper as the worst of
    those that it lists.
    """
    if figures.conductor_awg is not None:
        area = awg_area_mm2(figures.conductor_awg)
        return pure_copper_ohm_per_m(area) * STRANDED_AWG_RATIO
    table = IEC_60228_OHM_PER_KM[figures.conductor_class]
    size = figures.conductor_mm2 or 0.0
    if size in table:
        return table[size] / 1000.0
    worst = max(limit / 1000.0 / pure_copper_ohm_per_m(each) for each, limit in table.items())
    return pure_copper_ohm_per_m(size) * worst


def bypass_table(loop: LoopLay, ohm_per_metre: float) -> tuple[Bypass, ...]:
    """For each island of a loop, the reading if its ring and lead pair were left out.

    An island whose pair also feeds others is listed with all that hang on it, since a joint at the
    pair's start leaves out everything beyond.
    """
    rows = []
    lead_to = {leg.part: leg for leg in loop.legs if leg.kind == "lead" and not leg.back}
    back_of = {leg.part: leg for leg in loop.legs if leg.kind == "lead" and leg.back}
    for lead in loop.leads:
        if lead.kind == "lead" and lead.id in lead_to and lead.id in back_of:
            gone = back_of[lead.id].to_m - lead_to[lead.id].from_m
            deficit = gone * ohm_per_metre
            rows.append(Bypass(lead.id, lead.of, gone, deficit, loop.resistance_ohm - deficit))
    return tuple(rows)


def lead_drop(
    figures: SupplyFigures, lead_m: float, ohm_per_metre: float | None = None
) -> LeadDrop:
    """Voltage lost in a two-wire lead of ``lead_m`` one way, in volts and percent of the supply.

    The resistance of the conductor is that of ``lead_ohm_per_m`` unless it is given.
    """
    each = lead_ohm_per_m(figures) if ohm_per_metre is None else ohm_per_metre
    volts = 2.0 * lead_m * figures.current_a * each
    return LeadDrop(volts, 100.0 * volts / figures.voltage_v)
