"""Crew time is the sum of printed rows, and each rate can be changed."""

from __future__ import annotations

import pytest

from renderer.ground import lay_plan
from renderer.ground.minutes import crew_minutes
from tests.ground.jobs import plan_of


def test_each_row_is_count_times_rate() -> None:
    plan = plan_of(wire__spools=[50, 50])
    loops = lay_plan(plan).loops
    rows, total = crew_minutes(plan, loops)
    assert [row.key for row in rows] == [
        "fixed",
        "per_m",
        "per_island",
        "per_splice",
        "dock",
        "test",
    ]
    by_key = {row.key: row for row in rows}
    assert by_key["per_m"].count == pytest.approx(loops[0].length_m - 4.0)
    assert by_key["per_splice"].minutes == 3.0
    assert total == pytest.approx(sum(row.minutes for row in rows))


def test_the_machines_file_changes_a_rate() -> None:
    rates = {"per_m": 0.15, "fixed": 30}
    plan = plan_of(machine__minutes=rates)
    loops = lay_plan(plan).loops
    _, slow = crew_minutes(plan_of(), loops)
    _, fast = crew_minutes(plan, loops)
    assert slow - fast == pytest.approx(10 + 0.15 * (loops[0].length_m - 4.0))
