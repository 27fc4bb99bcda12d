"""Voltage drop against worked examples that others published."""

from __future__ import annotations

import pytest

from renderer.ground.electric import lead_drop, temperature_factor
from renderer.plan.model import SupplyFigures
from renderer.trade import IEC_60228_OHM_PER_KM
from renderer.units import M_PER_FOOT


def figures(amperes: float, volts: float = 24.0, mm2: float = 1.5) -> SupplyFigures:
    return SupplyFigures(current_a=amperes, voltage_v=volts, conductor_mm2=mm2)


def test_two_wire_example_of_an_electrical_code_course() -> None:
    # conductor properties of NEC chapter 9 table 8: No 16, 100 ft one way, 4 A on 24 V;
    # printed 4.0 V and 16.7 percent, 3.992 V and 16.63 percent unrounded
    drop = lead_drop(figures(4.0), 100 * M_PER_FOOT, 4.99 / 1000 / M_PER_FOOT)
    assert drop.volts == pytest.approx(3.992, abs=5e-4)
    assert drop.volts == pytest.approx(4.0, abs=0.05)
    assert drop.percent == pytest.approx(16.63, abs=5e-3)


@pytest.mark.parametrize(
    ("ohm_per_ft", "feet", "amperes", "volts"),
    [
        (0.00044, 107, 20, 0.942),
        (0.00028, 90, 20, 0.504),
        (0.00306, 100, 20, 6.12),
        (0.00126, 39, 20, 0.98),
        (0.00126, 156, 20, 3.93),
        (0.00126, 273, 20, 6.88),
        (0.00202, 88, 20, 3.555),  # printed as 3.60
        (0.00126, 19.5, 20, 0.491),  # printed as .366
    ],
)
def test_faa_ac_43_13_1b_tables_11_7_and_11_8(
    ohm_per_ft: float, feet: float, amperes: float, volts: float
) -> None:
    # one wire with return through the structure there, so half of a two-wire lead
    drop = lead_drop(figures(amperes), feet * M_PER_FOOT, ohm_per_ft / M_PER_FOOT)
    assert drop.volts / 2 == pytest.approx(volts, abs=5e-3)


def test_faa_derating_of_length_at_temperature() -> None:
    # L2 = 254.5 L1 / (234.5 + T2): 0.8946 at 50 degC
    assert 1 / temperature_factor(50) == pytest.approx(0.8946, rel=0.001)


def test_a_flexible_two_core_lead_by_the_limit_of_iec_60228() -> None:
    ohm = IEC_60228_OHM_PER_KM[5][1.5] / 1000
    assert lead_drop(figures(2.0), 20.0, ohm).volts == pytest.approx(1.064)
    assert 250 * ohm == pytest.approx(3.325)
    assert 250 * ohm * temperature_factor(50) == pytest.approx(3.717, abs=5e-4)
