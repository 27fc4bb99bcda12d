"""Each mistake in a correct plan trips its rule, and nothing but what follows from it."""

from __future__ import annotations

import math
from typing import Any

import pytest

from tests.checks.jobs import (
    CORRECT,
    JOB,
    TOLD_OF_TWO_LAWNS,
    Job,
    changed,
    found,
    noted,
    plan_of,
    tripped,
)
from tests.checks.mistakes import MISTAKES, NOTES, ONE, THREE_NEAR, THROUGH_A_PLINTH, TWICE


@pytest.mark.parametrize("job", CORRECT.values(), ids=CORRECT.keys())
def test_a_correct_plan_trips_nothing(job: Any) -> None:
    assert {finding.rule for finding in found(plan_of(job()))} <= TOLD_OF_TWO_LAWNS


@pytest.mark.parametrize("mistake", MISTAKES.values(), ids=MISTAKES.keys())
def test_a_mistake_trips_its_rule_alone(mistake: tuple[Job, dict[str, Any], set[str]]) -> None:
    job, changes, expected = mistake
    assert tripped(plan_of(changed(job, changes))) == expected


@pytest.mark.parametrize("remark", NOTES.values(), ids=NOTES.keys())
def test_a_remark_is_noted_alone(remark: tuple[Job, dict[str, Any], set[str]]) -> None:
    job, changes, expected = remark
    plan = plan_of(changed(job, changes))
    assert noted(plan) == expected | noted(plan_of(job))
    assert tripped(plan) == set()


SOUND: dict[str, tuple[Job, dict[str, Any]]] = {
    "a cable crossed 80 degrees to the wire": (
        JOB,
        {"features.4.line": [[26, -9.559], [21, -10.441]]},
    ),
    "a cable located on the day": (JOB, {"job.planned_for": "2026-05-01"}),
    "marks four weeks old": (JOB, {"job.planned_for": "2026-05-29"}),
    "a cable deeper than a peg": (JOB, {"features.4.depth": 0.13}),
    "the cable of the supply": (JOB, {"features.4.line": [[5, -3], [5, -0.5]]}),
    "metal edging clear of the wire": (
        JOB,
        {"features.+": {"name": "Steel", "kind": "metal", "line": [[24.2, 2], [24.2, 12]]}},
    ),
    "a cable clear of the dock": (JOB, {"features.4.line": [[9.1, -3], [9.1, 1]]}),
}


@pytest.mark.parametrize("sound", SOUND.values(), ids=SOUND.keys())
def test_what_is_just_right_trips_nothing(sound: tuple[Job, dict[str, Any]]) -> None:
    job, changes = sound
    assert {each.rule for each in found(plan_of(changed(job, changes)))} <= TOLD_OF_TWO_LAWNS


def test_islands_in_a_row_are_noted_once_with_the_narrowest_gap() -> None:
    (note,) = (
        each for each in found(plan_of(changed(JOB, THREE_NEAR))) if each.rule == "islands-merged"
    )
    assert note.about == "Herbs + Roses + Court bed"
    assert " 2 gaps " in note.message
    assert "0.60 m from wire to wire" in note.message  # 1.20 m less two setbacks


POND_IN_CENTIMETRES = {
    "obstacles": [{"name": "Pond", "kind": "water", "circle": {"at": [9, 7], "radius": 160}}],
    "features.2": None,
}


@pytest.mark.parametrize(
    ("changes", "cause", "at"),
    [
        (POND_IN_CENTIMETRES, "Pond and its setback of 1.00 m leave no room on Rear", (12, 7)),
        (
            {"machine.setback.wall": 35, "features.2": None},
            "the setback of 35.00 m from the wall leaves no room on Rear, which is 14.00 m across",
            (0, 7),
        ),
        (
            {
                "lawns.0.outline": [[0, 0, "wall"], [24, 0, "wall"], [24, 1, "wall"]],
                "obstacles": [],
                "features": [],
            },
            "Rear is 0.98 m across at its widest and 12 m² in all, too little",
            (18, 0.5),
        ),
    ],
)
def test_a_loop_without_ground_names_the_likely_cause_and_points_at_it(
    changes: dict[str, Any], cause: str, at: tuple[float, float]
) -> None:
    """The largest circle in a triangle of 24 x 1 m has a radius of 24 / (25 + sqrt(577)) m."""
    hits = found(plan_of(changed(ONE, changes)))
    (hit,) = (each for each in hits if each.rule == "loop-without-ground")
    assert cause in hit.message
    assert hit.at is not None and math.dist(hit.at, at) < 0.1


def test_a_crossing_not_used_tells_which_of_two_causes_holds() -> None:
    messages = []
    for changes in (TWICE, THROUGH_A_PLINTH):
        notes = found(plan_of(changed(JOB, changes)))
        messages += [each.message for each in notes if each.rule == "crossing-idle"]
    twice, through = messages
    assert "joined without it" in twice
    assert "finds no way" in through
