"""The parts of a loop add up to its area, and each has its own name."""

from __future__ import annotations

import pytest

from renderer.ground import lay_plan
from renderer.ground.parts import mown_parts
from tests.checks.jobs import JOB, changed, one_lawn, plan_of
from tests.checks.test_plan_mistakes import NARROW


def test_two_lawns_of_one_loop_are_two_parts_the_docks_first() -> None:
    loop = lay_plan(plan_of(JOB)).loops[0]
    parts = mown_parts(loop)
    assert [(part.name, part.at_start) for part in parts] == [("Rear", True), ("Front", False)]
    assert sum(part.area_m2 for part in parts) == pytest.approx(loop.working_area_m2, abs=0.05)


def test_parts_of_one_lawn_are_numbered() -> None:
    job = changed(one_lawn(), {"lawns.0.outline": NARROW, "obstacles.2.circle.at": [5, 11]})
    loop = lay_plan(plan_of(job)).loops[0]
    parts = mown_parts(loop)
    assert [part.name for part in parts] == ["Rear 1", "Rear 2"]
    assert [part.at_start for part in parts] == [True, False]
    assert parts[1].area_m2 > parts[0].area_m2  # the dock's part comes first, though smaller
    assert sum(part.area_m2 for part in parts) == pytest.approx(loop.working_area_m2, abs=0.05)
