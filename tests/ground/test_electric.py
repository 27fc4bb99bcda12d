"""Resistance by size, class, gauge or label; readings with an island bypassed; drop in the lead."""

from __future__ import annotations

import pytest

from renderer.ground.electric import (
    awg_area_mm2,
    bypass_table,
    lead_drop,
    ohm_per_m,
    pure_copper_ohm_per_m,
    temperature_factor,
)
from renderer.plan.model import SupplyFigures, Wire
from tests.ground.jobs import plan_of
from tests.ground.walks import circle, loop_lay, with_islands
from tests.shared import lay_plan

RING = [(6.0, 0.3), (10.0, 0.3), (15.0, 0.3), (19.7, 0.3), (19.7, 11.7), (0.3, 11.7), (0.3, 0.3)]


def test_a_figure_for_100_m_comes_first_whatever_the_conductor() -> None:
    assert ohm_per_m(Wire(ohm_per_100m=6.5, conductor="copper-clad steel")) == pytest.approx(0.065)


def test_another_conductor_needs_its_figure() -> None:
    with pytest.raises(ValueError, match="ohm_per_100m"):
        ohm_per_m(Wire.model_construct(conductor_mm2=0.75, conductor="aluminium"))


def test_a_size_that_the_standard_does_not_list_is_refused() -> None:
    with pytest.raises(ValueError, match=r"0\.6 mm2 is none of 0\.5, 0\.75"):
        ohm_per_m(Wire.model_construct(conductor_mm2=0.6))


def test_the_limits_are_a_little_above_pure_copper() -> None:
    for kind in (1, 2, 5):
        for size in (0.5, 0.75, 1.0, 1.5, 2.5, 4.0):
            limit = ohm_per_m(Wire(conductor_mm2=size, conductor_class=kind))
            assert 1.04 <= limit / pure_copper_ohm_per_m(size) <= 1.16


def test_a_gauge_is_its_area_of_copper() -> None:
    wire = Wire(conductor_awg=18)
    assert ohm_per_m(wire) == pytest.approx(1 / (58 * awg_area_mm2(18)))


def test_resistance_grows_with_temperature() -> None:
    assert temperature_factor(20) == 1.0
    assert temperature_factor(10) < 1.0 < temperature_factor(30)


def test_each_island_left_out_lacks_its_ring_and_both_wires_of_its_pair() -> None:
    walk = with_islands(RING, {1: (circle(10, 6, 1.3), []), 2: (circle(15, 5, 0.8), [])})
    loop = loop_lay(walk, resistance_ohm=walk.length_m * 0.026)
    rows = bypass_table(loop, 0.026)
    assert [row.of for row in rows] == ["Bed 1", "Bed 2"]
    for row, leads, ring in zip(rows, (4.4, 3.9), (8.168, 5.027), strict=True):
        assert row.without_m == pytest.approx(ring + 2 * leads, abs=0.005)
        assert row.deficit_ohm == pytest.approx(row.without_m * 0.026)
        assert row.reading_ohm == pytest.approx(loop.resistance_ohm - row.deficit_ohm)


def test_an_island_behind_another_goes_with_it() -> None:
    beds = [
        {"name": "Near", "kind": "bed", "circle": {"at": [10, 4], "radius": 0.5}},
        {"name": "Far", "kind": "bed", "circle": {"at": [10, 6.5], "radius": 0.5}},
    ]
    plan = plan_of(obstacles=beds)
    lay = lay_plan(plan)
    near, far = bypass_table(lay.loops[0], lay.ohm_per_m)
    assert (near.of, far.of) == ("Near", "Far")
    island = next(ring for ring in lay.loops[0].rings if ring.of == "Near")
    lead = next(lead for lead in lay.loops[0].leads if lead.of == "Near")
    own = 2 * lead.length_m + sum(
        leg.length_m for leg in lay.loops[0].legs if leg.part == island.id
    )
    assert near.without_m == pytest.approx(own + far.without_m, abs=1e-3)


def test_the_lead_drops_both_ways() -> None:
    figures = SupplyFigures(current_a=2.0, voltage_v=24.0, conductor_mm2=1.5)
    one, two = lead_drop(figures, 10.0), lead_drop(figures, 20.0)
    assert two.volts == pytest.approx(2 * one.volts)
    assert one.percent == pytest.approx(100 * one.volts / 24.0)
    assert lead_drop(figures, 10.0, 0.0133).volts == pytest.approx(0.532)
