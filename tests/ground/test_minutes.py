"""Crew time is the sum of printed rows, and each rate can be changed."""

from __future__ import annotations

import pytest

from renderer.ground.minutes import crew_minutes
from tests.ground.jobs import plan_of
from tests.shared import lay_plan


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


def test_taping_costs_time_beyond_the_first_control_pegs() -> None:
    """Common practice: the fixed minutes cover the tapes of a small garden, not of a large one."""
    width = 120.0
    corners = [[0, 0, "wall"], [width, 0, "wall"], [width, 60, "wall"], [0, 60, "wall"]]
    plan = plan_of(lawns=[{"name": "Rear", "outline": corners}], wire__spools=[400])
    loops = lay_plan(plan).loops
    control = [peg for peg in loops[0].pegs if peg.control]
    assert len(control) > 15
    by_key = {row.key: row for row in crew_minutes(plan, loops)[0]}
    assert by_key["per_control"].count == len(control) - 15
    quick = plan_of(
        lawns=[{"name": "Rear", "outline": corners}],
        wire__spools=[400],
        machine__minutes={"per_control": 0.5},
    )
    saved = crew_minutes(plan, loops)[1] - crew_minutes(quick, loops)[1]
    assert saved == pytest.approx(0.5 * (len(control) - 15))
    small = {row.key for row in crew_minutes(plan_of(), lay_plan(plan_of()).loops)[0]}
    assert "per_control" not in small
