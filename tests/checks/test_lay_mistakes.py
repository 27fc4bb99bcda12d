"""Each mistake in a correct lay trips its rule, and nothing but what follows from it."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from renderer.findings_text import FindingText
from renderer.ground import faults, lay_plan
from renderer.ground.lay import Lay
from tests.checks.jobs import (
    CORRECT,
    JOB,
    changed,
    faults_found,
    found,
    plan_of,
    tripped,
    two_loops,
)
from tests.checks.lay_mistakes import MISTAKES, ON_ITS_OWN, Mistake

CLUSTER = {
    "obstacles.+": {"name": "Herbs", "kind": "bed", "circle": {"at": [12.5, 9], "radius": 0.8}}
}
NESTED = changed(JOB, CLUSTER)  # the way to the herbs leads over another island


@pytest.mark.parametrize("mistake", MISTAKES.values(), ids=MISTAKES.keys())
def test_a_mistake_trips_its_rule_alone(mistake: tuple[Mistake, set[str]]) -> None:
    make, expected = mistake
    plan = plan_of(JOB)
    assert tripped(plan, make(plan, lay_plan(plan))) == expected


def test_crossed_leads_spoil_all_that_hangs_on_them() -> None:
    plan = plan_of(NESTED)
    lay = lay_plan(plan)
    first = next(lead for lead in lay.loops[0].leads if lead.to_ring in _parents(lay))
    spoiled = {f.about for f in faults_found(plan, faults.crossed_leads(lay, first.of))}
    alone = {f.about for f in faults_found(plan, faults.reversed_island(lay, first.of))}
    assert alone == {first.of}
    assert spoiled == {first.of, "Herbs"}


def _parents(lay: Lay) -> set[str]:
    rings = {ring.id for ring in lay.loops[0].rings if ring.kind == "island"}
    return rings & {lead.from_ring for lead in lay.loops[0].leads}


def made(rule: str) -> tuple[FindingText, ...]:
    """What is found where the mistake of a rule with a garden of its own is made."""
    job, make = ON_ITS_OWN[rule]
    plan = plan_of(job)
    return found(plan, make(plan, lay_plan(plan)))


def test_a_corner_left_sharp_is_found() -> None:
    hits = made("corner-too-sharp")
    assert {hit.rule for hit in hits} == {"corner-too-sharp"}
    assert "67°" in hits[0].message and "80°" in hits[0].message


def test_a_dock_put_in_a_corner_is_found() -> None:
    plan = plan_of(JOB)
    cornered = faults.dock_in_corner(plan, lay_plan(plan), "main")
    assert {"dock-not-straight", "dock-near-corner"} <= tripped(cornered)


def test_a_wire_that_crosses_itself_is_found_where_it_does() -> None:
    crossings = [hit for hit in made("wire-crosses-itself") if hit.rule == "wire-crosses-itself"]
    assert crossings
    at = crossings[0].at
    assert at is not None and 3 < at[0] < 8 and 5 < at[1] < 9


def with_bends(lay: Lay, steps: list[complex]) -> Lay:
    """The lay with its wire taking some steps aside on a long straight, plus along and to the left.

    Each is from the straight's middle, metres.
    """
    loop = lay.loops[0]
    path = loop.path[:, 0] + 1j * loop.path[:, 1]
    index = int(np.argmax(np.abs(np.diff(path))))
    middle, along = (path[index] + path[index + 1]) / 2, path[index + 1] - path[index]
    bends = [middle + step * along / abs(along) for step in steps]
    bent = np.array([*path[: index + 1], *bends, *path[index + 1 :]])
    at_m = loop.at_m[0] + np.append(0.0, np.cumsum(np.abs(np.diff(bent))))
    here_m, longer_m = loop.at_m[index], at_m[-1] - loop.at_m[-1]
    legs = tuple(
        replace(
            leg,
            from_m=leg.from_m + longer_m * (leg.from_m > here_m),
            to_m=leg.to_m + longer_m * (leg.to_m > here_m),
        )
        for leg in loop.legs
    )
    points = np.column_stack((bent.real, bent.imag))
    bent_loop = replace(loop, path=points, at_m=at_m, legs=legs)
    return replace(lay, loops=(bent_loop, *lay.loops[1:]))


def test_a_leg_that_crosses_itself_is_found_at_both_its_distances() -> None:
    plan = plan_of(JOB)
    knot = with_bends(lay_plan(plan), [0.4, 0.4 + 0.2j, 0.2 + 0.2j, 0.2 - 0.2j, 0.6 - 0.2j])
    hits = [hit for hit in found(plan, knot) if hit.rule == "wire-crosses-itself"]
    assert hits
    here, there = (float(each) for each in re.findall(r"at (\d+\.\d+) m", hits[0].message))
    assert there - here == pytest.approx(0.8, abs=0.011)  # the way round the knot


def test_a_fold_of_a_tenth_of_a_millimetre_is_no_crossing() -> None:
    plan = plan_of(JOB)
    folded = with_bends(lay_plan(plan), [0.0, -0.0001, 0.0001])
    assert "wire-crosses-itself" not in tripped(plan, folded)


def test_a_stretch_walked_twice_is_found() -> None:
    plan = plan_of(two_loops())
    lay = lay_plan(plan)
    loop = lay.loops[1]
    outer, *_, last = [leg for leg in loop.legs if leg.kind == "outer"]
    back = loop.path[loop.at_m <= outer.to_m][-4:]
    path = np.concatenate((loop.path[:-1], back[::-1], loop.path[-1:]))
    at_m = loop.tail_m + np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(path, axis=0).T))))
    legs = tuple(
        replace(leg, to_m=float(at_m[-1])) if leg is last else leg for leg in loop.legs[:-1]
    )
    wrong = replace(loop, path=path, at_m=at_m, legs=legs)
    hits = found(plan, replace(lay, loops=(lay.loops[0], wrong)))
    twice = [hit for hit in hits if hit.rule == "wire-crosses-itself"]
    assert any("runs over itself" in hit.message for hit in twice)


@pytest.mark.parametrize("name", CORRECT)
def test_two_mistakes_at_once_are_both_told(name: str) -> None:
    plan = plan_of(CORRECT[name]())
    lay = faults.splice_in_lead(faults.reversed_island(lay_plan(plan), "Pond"), "Roses")
    assert tripped(plan, lay) == {"island-not-left-out", "splice-in-lead-pair"}
