"""Numbers in messages, against worked cases of the trade."""

from __future__ import annotations

import pytest

from renderer.ground import faults, lay_plan
from tests.checks.jobs import JOB, changed, faults_found, found, one_lawn, plan_of


def message(job: dict[str, object], changes: dict[str, object], rule: str) -> str:
    hits = [hit for hit in found(plan_of(changed(job, changes))) if hit.rule == rule]
    assert hits, rule
    return hits[0].message


@pytest.mark.parametrize(
    ("conductor", "percent"),
    [
        ({"conductor_mm2": 0.75}, "7.22 %"),  # by the limit of class 5; 6.39 % by pure copper
        ({"conductor_mm2": 1.0}, "5.42 %"),  # 4.79 % by pure copper
        ({"conductor_mm2": 1.0, "conductor_class": 2}, "5.03 %"),
        ({"conductor_mm2": 1.5}, None),
        ({"conductor_awg": 18}, "5.94 %"),
        ({"conductor_awg": 16}, None),
    ],
)
def test_voltage_lost_in_fifteen_metres(conductor: dict[str, float], percent: str | None) -> None:
    figures = {"current_a": 2.5, "voltage_v": 27, **conductor}
    changes = {
        "machine.supply": figures,
        "loops.0.supply.lead": 15,
        "machine.dock.lead_max": 20,
    }
    hits = [h for h in found(plan_of(changed(JOB, changes))) if h.rule == "lead-loses-voltage"]
    assert len(hits) == (percent is not None)
    assert percent is None or percent in hits[0].message
    size = f"AWG {conductor.get('conductor_awg')}"
    assert percent is None or (size in hits[0].message) == ("conductor_awg" in conductor)


def test_a_gate_of_one_twenty_needs_one_fifty() -> None:
    walls = [
        [0, 0, "wall"],
        [10, 0, "wall"],
        [10, 4, "wall"],
        [10.5, 4, "wall"],
        [10.5, 0, "wall"],
        [24, 0, "wall"],
        [24, 14, "wall"],
        [10.5, 14, "wall"],
        [10.5, 5.2, "wall"],
        [10, 5.2, "wall"],
        [10, 14, "wall"],
        [0, 14, "wall"],
    ]
    changes = {
        "machine.passage_min": 0.8,
        "lawns.0.outline": walls,
        "obstacles.2.circle.at": [9, 11],
        "features.2.line": [[10.25, 4], [10.25, 5.2]],
    }
    told = message(one_lawn(), changes, "gate-too-narrow")
    assert "1.20 m wide" in told and "needs 1.50 m" in told
    assert "0.35 m wall + 0.80 m between the wires + 0.35 m wall" in told
    pinched = message(one_lawn(), changes, "lawn-pinched")
    assert "0.50 m from wire to wire" in pinched and "about 1.20 m of the 1.50 m" in pinched


def test_a_neck_at_a_corner_that_the_wire_rounds() -> None:
    """Paving kept off by 0.10 m ends in a corner, round which the wire bends with 0.20 m radius.

    From the wall at y = 4 to the corner at y = 5 it is one metre: 0.35 + 0.45 + 0.20.
    """
    outline = [
        [0, 4, "wall"],
        [24, 4, "wall"],
        [24, 14, "hedge"],
        [13, 14, "flush"],
        [12, 5, "flush"],
        [11, 14, "hedge"],
        [0, 14, "wall"],
    ]
    changes = {
        "lawns.0.outline": outline,
        "obstacles": [],
        "features": [],
        "loops.0.dock.at": [4, 4],
    }
    told = message(one_lawn(), changes, "lawn-pinched")
    assert "0.45 m from wire to wire" in told
    assert "about 1.00 m of the 1.75 m needed" in told
    assert "0.35 m wall + 1.20 m between the wires + 0.20 m flush, where the wire rounds" in told


def test_twelve_metres_short() -> None:
    whole = lay_plan(plan_of(changed(JOB, {"wire.spools": []}))).loops[0].length_m
    told = message(JOB, {"wire.spools": [round(whole - 12, 4)]}, "stock-short")
    assert "12.00 m short" in told


def test_a_wire_thirty_centimetres_from_water() -> None:
    plan = plan_of(JOB)
    hits = found(plan, faults.wrong_setback(plan, "Pond", "bed"))
    assert "0.30 m from Pond" in hits[0].message and "needs 1.00 m" in hits[0].message


def test_a_shortfall_of_millimetres_is_told_in_millimetres() -> None:
    plan = plan_of(JOB)
    lay = lay_plan(plan_of(changed(JOB, {"machine.setback.bed": 0.297})))
    hits = [hit for hit in found(plan, lay) if hit.about == "Roses"]
    assert "0.297 m from Roses" in hits[0].message and "needs 0.300 m" in hits[0].message


def test_half_a_millimetre_is_no_shortfall() -> None:
    plan = plan_of(JOB)
    lay = lay_plan(plan_of(changed(JOB, {"machine.setback.bed": 0.2995})))
    assert faults_found(plan, lay) == ()


@pytest.mark.parametrize(
    ("line", "angle"), [([[25, -8], [21, -12]], "45°"), ([[26, -10.4], [22, -9.6]], None)]
)
def test_the_angle_at_which_a_cable_is_crossed(line: object, angle: str | None) -> None:
    hits = faults_found(plan_of(changed(JOB, {"features.4.line": line})))
    assert [hit.rule for hit in hits] == (["service-crossed-askew"] if angle else [])
    assert angle is None or angle in hits[0].message


def test_places_on_the_wire_are_told() -> None:
    plan = plan_of(JOB)
    hits = found(plan, faults.splice_at(lay_plan(plan), "main", 124.5))
    assert hits[0].at_m == pytest.approx(124.5) and hits[0].about == "S1"
    assert "0.65 m from a lead pair" in hits[0].message
