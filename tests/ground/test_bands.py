"""What a meter may read on sound wire, and that no bypassed island ever passes as sound.

Readings are worked out here from resistances of their own, drawn between the limits, so that the
bands are held against what a meter would show rather than against the code that made them.
"""

from __future__ import annotations

from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from renderer.ground.bands import Meter, left_out, loop_band, rate_of
from renderer.ground.lay import LoopLay
from renderer.plan import load
from renderer.plan.model import Wire
from tests.ground.gardens import laid, some_gardens
from tests.ground.jobs import plan_of
from tests.shared import lay_plan

CABLES: dict[str, dict[str, Any]] = {
    "0.5": {"conductor_mm2": 0.5},
    "0.75": {"conductor_mm2": 0.75},
    "1.5 solid": {"conductor_mm2": 1.5, "conductor_class": 1},
    "4": {"conductor_mm2": 4.0},
    "AWG 18": {"conductor_awg": 18},
    "AWG 12": {"conductor_awg": 12},
    "label": {"ohm_per_100m": 2.4},
    "steel": {"ohm_per_100m": 6.5, "conductor": "copper-clad steel"},
    "spool": {
        "conductor_mm2": 0.75,
        "measured": [{"length": 100, "ohm": 2.35, "temperature": 14}],
    },
}
METERS = (Meter(3.0, 0.1), Meter(10.0, 0.5), Meter(0.0, 0.0))
ENDS_C = (0.0, 20.0, 30.0)


def wire(cable: str) -> Wire:
    return Wire.model_validate(CABLES[cable])


def factor(celsius: float) -> float:
    return 1.0 + 0.00393 * (celsius - 20.0)


def without(loop: LoopLay, of: str) -> float:
    """Wire of an island, its pair and all that hangs on it, from the legs of the walk."""
    (lead,) = (lead for lead in loop.leads if lead.of == of and lead.kind == "lead")
    gone, rings, leads = 0.0, {lead.to_ring}, {lead.id}
    for _ in loop.leads:
        hung = [each for each in loop.leads if each.from_ring in rings]
        rings |= {each.to_ring for each in hung}
        leads |= {each.id for each in hung}
    for leg in loop.legs:
        gone += leg.length_m if leg.part in rings | leads else 0.0
    return gone


def hold(loop: LoopLay, cable: str, meter: Meter) -> None:
    """All that is promised about the islands of one loop, of one wire, by one meter."""
    rate = rate_of(wire(cable))
    rows = left_out(loop, rate, meter)
    good = loop_band(loop, rate, meter)
    share = meter.percent / 100.0
    for row in rows:
        if row.tells_now != "no":  # then a reading is printed
            assert row.reads.low not in good
            assert row.reads.high not in good
        for celsius in ENDS_C if row.tells == "yes" else ():
            for ohm in (rate.low, rate.high):  # the wire at hand, once it is measured
                whole = ohm * factor(celsius) * loop.length_m * (1.0 - share) - meter.ohm
                rest = loop.length_m + loop.slope_extra_m - row.without_m
                assert ohm * factor(celsius) * rest * (1.0 + share) + meter.ohm < whole
    told = [row for row in rows if row.tells_now == "yes"]
    for one, other in combinations(told[:6], 2):
        gone = max(one.without_m, other.without_m)  # one may hang on the other
        assert rate.high * (loop.length_m - gone) * (1 + share) + meter.ohm < good.low


@pytest.mark.parametrize("cable", CABLES)
def test_no_island_left_out_reads_as_good_in_any_garden_at_hand(any_plan: Path, cable: str) -> None:
    for loop in lay_plan(load(any_plan)).loops:
        for meter in METERS:
            hold(loop, cable, meter)
        for row in left_out(loop, rate_of(wire(cable)), METERS[0]):
            assert row.without_m == pytest.approx(without(loop, row.of), abs=1e-3)


@pytest.mark.parametrize("cable", CABLES)
def test_no_island_left_out_reads_as_good_in_random_gardens(cable: str) -> None:
    for text in some_gardens():
        for loop in laid(text)[1].loops:
            for meter in METERS:
                hold(loop, cable, meter)


@given(
    st.sampled_from(sorted(CABLES)),
    st.floats(20, 1000),
    st.floats(0, 1),
    st.floats(-1, 1),
    st.floats(-1, 1),
    st.floats(0, 30),
)
def test_sound_wire_reads_good(
    cable: str, length: float, between: float, off: float, error: float, celsius: float
) -> None:
    """Wire of any resistance that its size allows, any error of meter and length, any warmth."""
    rate, meter = rate_of(wire(cable)), METERS[0]
    ohm = rate.low + between * (rate.high - rate.low)
    reads = ohm * factor(celsius) * length * (1 + 0.03 * off) + 0.1 * error
    loop = _loop_of(length)
    band = loop_band(loop, rate, meter, celsius)
    assert band.low - 1e-9 <= reads <= band.high + 1e-9


def _loop_of(length: float) -> LoopLay:
    from tests.ground.walks import loop_lay, plain

    walk = plain([(0, 0), (length - 0.6, 0)])
    return loop_lay(walk, length_m=length)


def test_copper_of_the_full_area_is_good_wire() -> None:
    # 1000 / (58 x 0.75) = 22.99 ohm/km lies 11.6 percent under the limit of 26.0
    band = loop_band(_loop_of(184.67), rate_of(wire("0.75")), METERS[0])
    assert 184.67 * 0.02299 in band
    assert band.low == pytest.approx(184.67 * 0.022989 * 0.97 - 0.1, abs=1e-3)
    assert band.high == pytest.approx(184.67 * 0.026 * 1.03 + 0.1, abs=1e-3)


def test_a_gauge_runs_from_solid_to_stranded() -> None:
    rate = rate_of(wire("AWG 18"))
    assert (rate.low, rate.high) == pytest.approx((0.020948, 0.021367), rel=1e-4)


def test_measured_spools_come_before_label_and_standard() -> None:
    both = (
        {"length": 100, "ohm": 2.35, "temperature": 20},
        {"length": 50, "ohm": 1.15, "temperature": 20},
    )
    wire = Wire.model_validate({"conductor_mm2": 0.75, "measured": list(both)})
    assert rate_of(wire).source == "spools"
    assert rate_of(wire).low == rate_of(wire).high == pytest.approx(3.50 / 150)
    warm = {"length": 100, "ohm": 2.35 * 1.0393, "temperature": 30}
    at_30 = rate_of(Wire.model_validate({"ohm_per_100m": 2.6, "measured": [warm]}))
    assert at_30.low == pytest.approx(0.0235)


def test_a_measured_spool_tells_more_islands_than_the_standard_alone() -> None:
    bed = {"name": "Bed", "kind": "bed", "circle": {"at": [10, 6], "radius": 1.5}}
    (loop,) = lay_plan(plan_of(obstacles=[bed])).loops
    (alone,) = left_out(loop, rate_of(wire("0.75")), METERS[0])
    (known,) = left_out(loop, rate_of(wire("spool")), METERS[0])
    assert (alone.tells, alone.tells_now) == ("yes", "maybe")
    assert known.tells == known.tells_now == "yes"


def test_a_small_island_in_a_long_loop_is_said_to_be_beyond_the_meter() -> None:
    stump = {"name": "Stump", "kind": "bed", "circle": {"at": [10, 1.6], "radius": 0.1}}
    (loop,) = lay_plan(plan_of(obstacles=[stump])).loops
    (row,) = left_out(loop, rate_of(wire("spool")), METERS[0])
    assert row.tells == "no"
    assert row.reads.high in loop_band(loop, rate_of(wire("spool")), METERS[0])
