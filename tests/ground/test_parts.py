"""The parts of a loop add up to its area, and each has its own name."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import shapely

from renderer.ground.parts import mown_parts, part_names, sides_along
from tests.checks.jobs import JOB, Job, changed, found, one_lawn, plan_of
from tests.checks.mistakes import NARROW
from tests.ground.gardens import as_text, figures, laid, ring_of
from tests.shared import check_plan, lay_plan


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


TWO_PARTS = changed(one_lawn(), {"lawns.0.outline": NARROW, "obstacles.2.circle.at": [5, 11]})


def test_shares_are_of_the_whole_and_each_part_has_its_place() -> None:
    loop = lay_plan(plan_of(TWO_PARTS)).loops[0]
    parts = mown_parts(loop)
    assert sum(part.share for part in parts) == pytest.approx(1.0)
    for part in parts:
        assert part.share == pytest.approx(part.area_m2 / loop.working_area_m2, abs=1e-3)
        assert shapely.contains(loop.working, shapely.Point(part.at))


def test_pairs_lead_to_parts_by_the_names_of_their_rings() -> None:
    loop = lay_plan(plan_of(TWO_PARTS)).loops[0]
    names = part_names(loop)
    assert {names[ring.id] for ring in loop.rings if ring.kind == "outer"} == {"Rear 1", "Rear 2"}
    assert all(names[lead.id] == names[lead.to_ring] for lead in loop.leads)
    assert "Rear 2" in {names[lead.id] for lead in loop.leads}


def test_the_sides_of_a_part_are_those_along_its_wire() -> None:
    plan = plan_of(TWO_PARTS)
    lay = lay_plan(plan)
    home, away = (
        sides_along(plan, lay.loops[0], part, lay.lawns[0]) for part in mown_parts(lay.loops[0])
    )
    assert max(x for side in home for x in side.points[:, 0]) <= 11
    assert min(x for side in away for x in side.points[:, 0]) >= 10
    assert {id(side) for side in (*home, *away)} == {id(side) for side in lay.lawns[0].sides}


@pytest.mark.parametrize(
    ("turn", "shift"), [(1, 0), (-1j, 0), (0.6 + 0.8j, 0), (1, 649000 + 5318000j)]
)
def test_the_finding_names_the_parts_wherever_the_garden_lies(
    turn: complex, shift: complex
) -> None:
    plan = plan_of(placed(TWO_PARTS, turn, shift))
    told = [each for each in found(plan) if each.rule == "parts-carried-to"]
    assert [each.level for each in told] == ["note"]
    areas = [each.area_m2 for each in mown_parts(lay_plan(plan).loops[0])]
    assert f"Rear 1 ({areas[0]:.0f} m²" in told[0].message
    assert f"Rear 2 ({areas[1]:.0f} m²" in told[0].message


def placed(job: Job, turn: complex, shift: complex) -> Job:
    """The job with every place turned and shifted, as complex numbers."""

    def moved(value: Any) -> Any:
        if isinstance(value, dict):
            return {key: moved(each) for key, each in value.items()}
        if not isinstance(value, list):
            return value
        if len(value) in (2, 3) and all(isinstance(n, int | float) for n in value[:2]):
            at = complex(*value[:2]) * turn + shift
            return [at.real, at.imag, *value[2:]]
        return [moved(each) for each in value]

    kept = {"machine", "wire"}
    return {key: value if key in kept else moved(value) for key, value in job.items()}


def test_a_ring_names_its_obstacles_one_by_one_whatever_signs_their_names_have() -> None:
    first, second = (JOB["obstacles"][k]["name"] for k in (0, 1))
    plus = changed(one_lawn(), {"obstacles.0.name": f"{first} + {second}"})
    plain, joined = (
        {ring.obstacles for loop in lay_plan(plan_of(job)).loops for ring in loop.rings}
        for job in (one_lawn(), plus)
    )
    assert (first,) in plain and (f"{first} + {second}",) in joined
    assert {len(names) for names in joined} == {len(names) for names in plain}
    rules = [[hit.rule for hit in found(plan_of(job))] for job in (plus, one_lawn())]
    assert rules[0] == rules[1]


def test_lawns_that_lie_on_each_other_are_told_and_break_nothing() -> None:
    """The same outline twice, the second a centimetre off: their wires cross wherever they can."""
    ring = [(10 * math.cos(a), 9 * math.sin(a)) for a in np.arange(40) * math.tau / 40]
    twins = [
        {"name": name, "outline": ring_of([(round(x + by, 3), round(y, 3)) for x, y in ring])}
        for name, by in (("One", 0.0), ("Other", 0.01))
    ]
    loop = {"dock": {"at": [10, 0]}, "crossings": [{"between": ["One", "Other"]}]}
    plan, lay = laid(as_text(figures(), twins, [], [loop]))
    assert [part.area_m2 for part in mown_parts(lay.loops[0])] == pytest.approx([258, 258], abs=8)
    assert "lawns-overlap" in {finding.rule for finding in check_plan(plan, lay)}
