"""Conductor resistances against IEC 60228, ASTM B258, IEC 60028 and published figures for gauges.

What was read: cable makers' pages that restate IEC 60228 for 1 to 4 mm2 (the two smaller sizes are
from memory), a calculator's page with the even gauges, pages that restate the constants of IEC
60028 and the temperature table of IEC 60228, and FAA AC 43.13-1B. The standards themselves and the
tables of the National Bureau of Standards could not be read and are not cited for figures.
"""

from __future__ import annotations

import math

import pytest

from renderer.ground.bands import rate_of
from renderer.ground.electric import awg_area_mm2, ohm_per_m, temperature_factor
from renderer.plan.model import Wire
from renderer.units import M_PER_FOOT

# IEC 60228, greatest resistance at 20 degC in ohm/km, plain copper: class 1 and 2, class 5. A
# second typing of the table: it finds slips of the keyboard in either, no error of the source.
IEC_60228 = {
    0.5: (36.0, 39.0),
    0.75: (24.5, 26.0),
    1.0: (18.1, 19.5),
    1.5: (12.1, 13.3),
    2.5: (7.41, 7.98),
    4.0: (4.61, 4.95),
}

# Even gauges as a calculator's page prints them: diameter in mil, ohm per 100 ft of solid annealed
# copper at 20 degC
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


# NEC chapter 9 table 8, stranded, ohm per 1000 ft at 75 degC, from memory and not read
NEC_STRANDED = {18: 7.95, 16: 4.99, 14: 3.14, 12: 1.98}


@pytest.mark.parametrize("size", NEC_STRANDED)
def test_stranded_gauges_lie_two_percent_above_solid_ones(size: int) -> None:
    # 4.99 of No 16 is in the worked example of test_voltage_drop, which was read; the band that
    # sheets print for a gauge runs from solid to stranded
    rate = rate_of(Wire(conductor_awg=size))
    at_75 = (234.5 + 75) / 254.5 * 1000 * M_PER_FOOT
    assert rate.high * at_75 == pytest.approx(NEC_STRANDED[size], rel=0.005)
    assert rate.low * at_75 == pytest.approx(NEC_STRANDED[size] / 1.02, rel=0.005)


@pytest.mark.parametrize("size", IEC_60228)
def test_the_limit_of_iec_60228_is_a_maximum(size: float) -> None:
    # copper of the full area by IEC 60028, 58 m per ohm and mm2, reads 10 to 14 percent lower
    rate = rate_of(Wire(conductor_mm2=size))
    assert rate.high * 1000 == pytest.approx(IEC_60228[size][1])
    assert rate.low * 1000 == pytest.approx(1000 / 58 / size)
    assert 0.86 < rate.low / rate.high < 0.9


@pytest.mark.parametrize("celsius", range(-10, 71, 10))
def test_the_published_form_of_the_temperature_factor(celsius: int) -> None:
    # (234.5 + T) / 254.5, FAA AC 43.13-1B page 11-22 and annex B of IEC 60228 as GOST 22483
    # restates it; ours is linear with the 0.00393 of IEC 60028 and differs by up to 0.2 percent
    assert temperature_factor(celsius) == pytest.approx((234.5 + celsius) / 254.5, rel=0.002)


@pytest.mark.parametrize(("celsius", "to_20"), [(5, 1.064), (10, 1.042), (30, 0.962), (50, 0.893)])
def test_iec_60228_correction_to_20_degrees(celsius: float, to_20: float) -> None:
    # these rounded factors follow 0.004 a kelvin; annex B of the standard has the form above
    assert 1 / temperature_factor(celsius) == pytest.approx(to_20, rel=0.003)
