"""Warnings that someone accepts by name and reason."""

from __future__ import annotations

from tests.checks.jobs import JOB, changed, faults_found, plan_of

LEAD = {"loops.0.supply.lead": 10.5}
STEEP = {"features.1.percent": 22, "features.1.circle.at": [1, 11]}


def accepting(rule: str, about: str = "") -> dict[str, object]:
    each = {"rule": rule, "by": "A. Lead", "reason": "agreed on site"}
    return {"acknowledged": [each | ({"about": about} if about else {})]}


def test_an_accepted_warning_stays_with_name_and_reason() -> None:
    (hit,) = faults_found(plan_of(changed(JOB, LEAD | accepting("lead-too-long"))))
    assert (hit.rule, hit.level) == ("lead-too-long", "warn")
    assert hit.acknowledged == "A. Lead: agreed on site"


def test_an_acceptance_about_one_thing_leaves_the_others() -> None:
    both = {
        "obstacles.2.circle.radius": 0.04,
        "obstacles.+": {"name": "Cane", "kind": "firm", "circle": {"at": [12, 3], "radius": 0.02}},
    }
    hits = faults_found(plan_of(changed(JOB, both | accepting("firm-too-slight", "Cane"))))
    assert {hit.about: bool(hit.acknowledged) for hit in hits} == {"Cane": True, "Post": False}


def test_an_acceptance_without_about_is_for_all_of_the_rule() -> None:
    both = {
        "obstacles.2.circle.radius": 0.04,
        "obstacles.+": {"name": "Cane", "kind": "firm", "circle": {"at": [12, 3], "radius": 0.02}},
    }
    hits = faults_found(plan_of(changed(JOB, both | accepting("firm-too-slight"))))
    assert [bool(hit.acknowledged) for hit in hits] == [True, True]


def test_a_stop_cannot_be_accepted() -> None:
    short = {"wire.spools": [120]}
    hits = faults_found(plan_of(changed(JOB, short | accepting("stock-short"))))
    assert {hit.rule: hit.acknowledged for hit in hits} == {
        "stock-short": "",
        "stop-cannot-be-accepted": "",
    }


def test_an_acceptance_about_the_wrong_thing_is_told() -> None:
    hits = faults_found(plan_of(changed(JOB, LEAD | accepting("lead-too-long", "court"))))
    assert {hit.rule: hit.acknowledged for hit in hits} == {
        "lead-too-long": "",
        "acceptance-idle": "",
    }


def test_the_nearest_rule_is_named_for_one_that_is_not() -> None:
    (hit,) = faults_found(plan_of(changed(JOB, accepting("lead-to-long"))))
    assert "did you mean 'lead-too-long'?" in hit.message
