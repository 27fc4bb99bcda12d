"""Voltage drop against worked examples that others published."""

from __future__ import annotations

import pytest

from renderer.ground.electric import lead_drop, temperature_factor
from renderer.plan.model import SupplyFigures
from renderer.units import M_PER_FOOT
from tests.checks.jobs import JOB, changed, found, plan_of


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
    ],
)
def test_faa_ac_43_13_1b_tables_11_7_and_11_8(
    ohm_per_ft: float, feet: float, amperes: float, volts: float
) -> None:
    # one wire of tin-plated copper with return through the structure, so half of a two-wire lead
    drop = lead_drop(figures(amperes), feet * M_PER_FOOT, ohm_per_ft / M_PER_FOOT)
    assert drop.volts / 2 == pytest.approx(volts, abs=5e-3)


@pytest.mark.parametrize(
    ("ohm_per_ft", "feet", "printed"), [(0.00202, 88, 3.60), (0.00126, 19.5, 0.366)]
)
def test_two_lines_of_those_tables_are_misprints(
    ohm_per_ft: float, feet: float, printed: float
) -> None:
    # their own figures multiplied, 3.555 and 0.491 V, are not what they print
    assert ohm_per_ft * feet * 20 != pytest.approx(printed, abs=5e-3)
    drop = lead_drop(figures(20), feet * M_PER_FOOT, ohm_per_ft / M_PER_FOOT)
    assert drop.volts / 2 != pytest.approx(printed, abs=5e-3)


def test_faa_derating_of_length_at_temperature() -> None:
    # L2 = 254.5 L1 / (234.5 + T2): 0.8946 at 50 degC
    assert 1 / temperature_factor(50) == pytest.approx(0.8946, rel=0.001)


# By hand, from cable makers' pages for class 5 and a calculator's page for gauges:
# 2 x 20 m x 2 A x 13.3 ohm/km = 1.064 V, and so on; 20 V
LEADS = [
    ({"conductor_mm2": 1.5}, 1.064, 5.32),
    ({"conductor_mm2": 1.0}, 1.560, 7.80),
    ({"conductor_mm2": 2.5}, 0.6384, 3.192),
    ({"conductor_mm2": 1.5, "conductor_class": 2}, 0.968, 4.84),
    ({"conductor_awg": 16}, 1.075, 5.375),  # 4.016 ohm/1000 ft solid, 2 percent more stranded
]


@pytest.mark.parametrize(("conductor", "volts", "percent"), LEADS)
def test_the_product_takes_a_lead_by_the_limit_of_its_standard(
    conductor: dict[str, float], volts: float, percent: float
) -> None:
    supply = SupplyFigures.model_validate({"current_a": 2.0, "voltage_v": 20.0, **conductor})
    drop = lead_drop(supply, 20.0)
    assert drop.volts == pytest.approx(volts, rel=1e-3)
    assert drop.percent == pytest.approx(percent, rel=1e-3)


def test_twenty_metres_of_a_lead_that_pure_copper_would_pass_is_found() -> None:
    # 20 m of 1.5 mm2, 2 A, 20 V: 4.6 percent by pure copper, 5.32 by the standard, limit 5
    changes = {
        "machine.supply": {"current_a": 2.0, "voltage_v": 20, "conductor_mm2": 1.5},
        "machine.dock.lead_max": 25,
        "loops.0.supply.lead": 20,
    }
    (hit,) = [h for h in found(plan_of(changed(JOB, changes))) if h.rule == "lead-loses-voltage"]
    assert "5.32 %" in hit.message
    assert "1.5 mm²" in hit.message
