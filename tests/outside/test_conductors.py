"""Conductor resistances against IEC 60228, ASTM B258, IEC 60028 and the copper wire tables."""

from __future__ import annotations

import math

import pytest

from renderer.ground.electric import awg_area_mm2, ohm_per_m, temperature_factor
from renderer.plan.model import Wire
from renderer.units import M_PER_FOOT

# IEC 60228, greatest resistance at 20 degC in ohm/km, plain copper: class 1 and 2, class 5
IEC_60228 = {
    0.5: (36.0, 39.0),
    0.75: (24.5, 26.0),
    1.0: (18.1, 19.5),
    1.5: (12.1, 13.3),
    2.5: (7.41, 7.98),
    4.0: (4.61, 4.95),
}

# Copper wire tables (NBS Circular 31, later Handbook 100), even gauges of ASTM B258: diameter in
# mil, ohm per 100 ft of annealed copper at 20 degC
AWG_TABLE = {
    12: (80.808, 0.15880),
    14: (64.084, 0.25250),
    16: (50.820, 0.40160),
    18: (40.303, 0.63850),
    20: (31.961, 1.01500),
    22: (25.347, 1.61400),
}


@pytest.mark.parametrize("size", IEC_60228)
def test_iec_60228(size: float) -> None:
    solid, flexible = IEC_60228[size]
    assert ohm_per_m(Wire(conductor_mm2=size, conductor_class=1)) * 1000 == pytest.approx(solid)
    assert ohm_per_m(Wire(conductor_mm2=size, conductor_class=2)) * 1000 == pytest.approx(solid)
    assert ohm_per_m(Wire(conductor_mm2=size, conductor_class=5)) * 1000 == pytest.approx(flexible)


@pytest.mark.parametrize("size", AWG_TABLE)
def test_astm_b258_diameters_and_resistances(size: int) -> None:
    mils, ohm_per_100_ft = AWG_TABLE[size]
    diameter_mm = math.sqrt(4 * awg_area_mm2(size) / math.pi)
    assert diameter_mm / 0.0254 == pytest.approx(mils, abs=0.002)
    # four digits are printed
    assert ohm_per_m(Wire(conductor_awg=size)) * 100 * M_PER_FOOT == pytest.approx(
        ohm_per_100_ft, rel=5e-4
    )


@pytest.mark.parametrize(
    ("celsius", "factor"),
    [(-10, 0.8821), (0, 0.9214), (10, 0.9607), (30, 1.0393), (50, 1.1179), (70, 1.1965)],
)
def test_iec_60028_temperature_coefficient(celsius: float, factor: float) -> None:
    assert temperature_factor(celsius) == pytest.approx(factor, abs=5e-5)


@pytest.mark.parametrize("celsius", range(-10, 71, 10))
def test_the_other_published_form_of_the_temperature_factor(celsius: int) -> None:
    # (234.5 + T) / 254.5, FAA AC 43.13-1B, differs by up to 0.2 percent
    assert temperature_factor(celsius) == pytest.approx((234.5 + celsius) / 254.5, rel=0.002)


@pytest.mark.parametrize(("celsius", "to_20"), [(5, 1.064), (10, 1.042), (30, 0.962), (50, 0.893)])
def test_iec_60228_correction_to_20_degrees(celsius: float, to_20: float) -> None:
    # the standard's factors follow 0.004 a kelvin, copper 0.00393
    assert 1 / temperature_factor(celsius) == pytest.approx(to_20, rel=0.003)
