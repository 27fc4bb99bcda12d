"""Warnings that someone accepts by name and reason."""

from __future__ import annotations

import pytest
import yaml

from renderer.checks.figure import figure_name
from renderer.checks.registry import RULES
from renderer.findings_text import in_words
from tests.checks.jobs import JOB, changed, faults_found, plan_of
from tests.shared import check_plan, lay_plan

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


def accepting_at(figure: str | float, **more: str) -> dict[str, object]:
    each = {"rule": "lead-too-long", "by": "A. Lead", "reason": "agreed on site", "figure": figure}
    return {"acknowledged": [each | more]}


@pytest.mark.parametrize("figure", ["10.5 m", "10.50 m", "1050 cm", "10.496 m", "34 ft 5 3/8 in"])
def test_an_acceptance_holds_for_the_figure_that_it_states(figure: str) -> None:
    (hit,) = faults_found(plan_of(changed(JOB, LEAD | accepting_at(figure))))
    assert hit.acknowledged == "A. Lead: agreed on site"


@pytest.mark.parametrize(
    ("figure", "then"),
    [("10.4 m", "10.40 m"), ("10.506 m", "10.51 m"), ("10.5", "10.5"), ("10.5 %", "10.5 %")],
)
def test_with_another_figure_a_warning_is_open_and_says_both(figure: str, then: str) -> None:
    (hit,) = faults_found(plan_of(changed(JOB, LEAD | accepting_at(figure))))
    assert (hit.rule, hit.acknowledged) == ("lead-too-long", "")
    assert f"A. Lead accepted this at {then}; it is 10.50 m now" in hit.message


def test_feet_are_compared_as_they_are_printed() -> None:
    """10.5 m is 34 ft 5.39 in, printed to quarters of an inch (1 in = 25.4 mm by definition)."""
    feet = LEAD | {"shown_in": "ft"}
    for figure, holds in (("34 ft 5 1/2 in", True), ("34 ft 5 1/4 in", False)):
        (hit,) = faults_found(plan_of(changed(JOB, feet | accepting_at(figure))))
        assert bool(hit.acknowledged) is holds
    assert hit.accept_with == (
        '- {rule: lead-too-long, about: "main", figure: 34 ft 5 1/2 in, by: "", reason: ""}'
    )


def test_a_figure_that_must_not_read_like_its_limit_is_compared_as_finely_as_it_is_printed() -> (
    None
):
    fine = {"loops.0.supply.lead": 10.004}
    for figure, holds in (("10.004 m", True), ("10 m", False)):
        (hit,) = faults_found(plan_of(changed(JOB, fine | accepting_at(figure))))
        assert "is 10.004 m" in hit.message
        assert bool(hit.acknowledged) is holds


FULL = {
    "slope-too-steep-at-wire": STEEP,
    "firm-too-slight": {"obstacles.2.circle.radius": 0.04},
    "service-crossed-askew": {"features.4.line": [[15, -14.5], [25, -3.5]]},
    "lead-too-long": LEAD,
}


@pytest.mark.parametrize("units", ["m", "ft"])
@pytest.mark.parametrize("rule", FULL)
def test_the_line_that_is_offered_accepts_the_warning(rule: str, units: str) -> None:
    job = changed(JOB, FULL[rule] | {"shown_in": units})
    offered = [hit.accept_with for hit in faults_found(plan_of(job)) if hit.accept_with]
    assert any(f"rule: {rule}," in line and "figure: " in line for line in offered)
    lines = [yaml.safe_load(line)[0] | {"by": "A. Lead", "reason": "seen"} for line in offered]
    again = faults_found(plan_of(changed(job, {"acknowledged": lines})))
    assert all(hit.acknowledged or hit.level == "note" for hit in again)
    assert not {hit.rule for hit in again} & {"acceptance-idle", "acceptance-unknown"}


def test_a_figure_for_what_has_none_does_not_accept_it() -> None:
    open_end = accepting_at("3 m", rule="services-not-asked")
    (hit,) = faults_found(plan_of(changed(JOB, open_end | {"job.services_asked": None})))
    assert not hit.acknowledged
    assert hit.message.endswith(
        "A. Lead accepted this at 3 m, but it has no figure; leave figure out."
    )
    assert "figure" not in hit.accept_with


def test_a_figure_left_over_when_another_acceptance_holds_is_told() -> None:
    each = accepting_at("9 m")["acknowledged"], accepting_at("10.5 m")["acknowledged"]
    hits = faults_found(plan_of(changed(JOB, LEAD | {"acknowledged": [*each[0], *each[1]]})))
    assert {hit.rule: bool(hit.acknowledged) for hit in hits} == {
        "lead-too-long": True,
        "acceptance-idle": False,
    }
    assert "at 9 m, but no such warning has that figure" in hits[1].message


def test_what_is_no_warning_to_accept_has_no_line() -> None:
    hits = faults_found(plan_of(changed(JOB, {"wire.spools": [120]} | accepting("stock-short"))))
    assert [hit.accept_with for hit in hits] == ["", ""]


@pytest.mark.parametrize(
    ("language", "says"),
    [
        ("de", "bei 10,40 m akzeptiert; jetzt sind es 10,50 m"),
        ("es", "con 10,40 m; ahora es 10,50 m"),
        ("fr", "à 10,40 m ; c’est maintenant 10,50 m"),
    ],
)
def test_the_other_languages_say_both_figures_their_way(language: str, says: str) -> None:
    plan = plan_of(changed(JOB, LEAD | accepting_at("10.4 m")))
    told = in_words(
        [each for each in check_plan(plan, lay_plan(plan)) if each.level == "warn"], "m", language
    )
    assert says in told[0].message.replace("\N{NO-BREAK SPACE}", " ")
    assert "figure: 10.50 m" in told[0].accept_with


def test_a_distance_of_nothing_is_a_figure_and_a_count_of_nothing_is_none() -> None:
    rule = RULES["wire-too-near-side"]
    assert figure_name(rule, {"needed_m": 0.1, "away_m": 0.0}) == "away_m"
    assert figure_name(rule, {"pegs": 0, "share_percent": 0.0}) == ""
