"""Rules that go by kinds, asked kind by kind: each of them, not one for all."""

from __future__ import annotations

from typing import get_args

import pytest

from renderer.plan.kinds import ObstacleKind, SideKind
from tests.checks.jobs import MACHINE, changed, found, one_lawn, plan_of
from tests.shared import check_plan, lay_plan

# What is beyond decides: harm to people, or a machine that bumps into something.
SEVERE = {"water": "stop", "drop": "stop", "road": "stop"}
ONE = one_lawn()


def findings_of(changes: dict[str, object], moved: dict[str, object]) -> dict[str, str]:
    """Level by rule of what is found where the lay is of a plan with less setback."""
    laid = lay_plan(plan_of(changed(ONE, changes)))
    wanted = plan_of(changed(ONE, {**changes, **moved}))
    return {finding.rule: finding.level for finding in check_plan(wanted, laid)}


@pytest.mark.parametrize("kind", get_args(SideKind))
def test_wire_too_near_each_kind_of_side(kind: str) -> None:
    setback = MACHINE["setback"][kind]
    found = findings_of(
        {"lawns.0.outline.1": [24, 0, kind]}, {f"machine.setback.{kind}": setback + 0.2}
    )
    rule = "wire-too-near-hazard" if kind in SEVERE else "wire-too-near-side"
    assert found.get(rule) == SEVERE.get(kind, "warn")


@pytest.mark.parametrize("kind", [each for each in get_args(ObstacleKind) if each != "firm"])
def test_wire_too_near_each_kind_of_obstacle(kind: str) -> None:
    setback = MACHINE["setback"][kind]
    found = findings_of({"obstacles.1.kind": kind}, {f"machine.setback.{kind}": setback + 0.2})
    rule = "wire-too-near-hazard" if kind in SEVERE else "wire-too-near-side"
    assert found.get(rule) == SEVERE.get(kind, "warn")


@pytest.mark.parametrize(
    ("leg", "at"), [("outer", [1, 11]), ("island", [5.5, 8.4])], ids=["outer", "island"]
)
def test_a_slope_under_each_kind_of_ring(leg: str, at: list[float]) -> None:
    """A bank 0.9 m wide that only this kind of leg crosses; 22 % where 15 % is the most."""
    plan = plan_of(
        changed(
            ONE,
            {"features.1.percent": 22, "features.1.circle": {"at": at, "radius": 0.45}}
            if leg == "island"
            else {"features.1.percent": 22, "features.1.circle.at": at},
        )
    )
    rules = {finding.rule: finding for finding in found(plan)}
    assert set(rules) == {"slope-too-steep-at-wire"}
    loop = lay_plan(plan).loops[0]
    at_m = rules["slope-too-steep-at-wire"].at_m
    assert at_m is not None
    (kind,) = {each.kind for each in loop.legs if each.from_m < at_m < each.to_m}
    assert kind == leg
