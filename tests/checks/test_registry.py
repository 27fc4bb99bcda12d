"""All rules: their form, that each is tripped by some mistake, and the order of findings."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

import pytest

from renderer.checks import check_plan
from renderer.checks.finding import LEVELS, Finding
from renderer.checks.registry import ROOMS, RULES
from renderer.ground import lay_plan
from renderer.language import languages, load_words
from renderer.plan import load
from tests.checks import test_lay_mistakes, test_plan_mistakes
from tests.checks.jobs import JOB, changed, found, plan_of

if TYPE_CHECKING:
    from pathlib import Path

    from renderer.ground.lay import Lay
    from renderer.plan import Plan

# what no plan can bring about through the engine, and has a test of its own
ON_ITS_OWN = {"wire-crosses-itself", "corner-too-sharp"}


@pytest.mark.parametrize("rule", RULES.values(), ids=RULES.keys())
def test_a_rule_says_why_and_what_to_do(rule: object) -> None:
    from renderer.checks.rule import Rule

    assert isinstance(rule, Rule)
    assert re.fullmatch(r"[a-z]+(-[a-z]+)+", rule.id), "an id in words, with dashes"
    assert rule.level in LEVELS
    assert rule.why.endswith(".") and rule.why[0].isupper()
    assert rule.look.__doc__, "what the function looks for"


def test_the_catalogue_tells_of_each_rule_and_of_no_other() -> None:
    words = load_words("en", "findings")
    told = {key.partition(".")[0] for key in words if key.endswith(".cure")}
    assert told == set(RULES)
    for rule in RULES:
        texts = [words[key] for key in words if key.startswith(f"{rule}.")]
        assert len(texts) > 1 and all(text.endswith((".", "?")) for text in texts)


def test_no_two_rules_share_an_id() -> None:
    told = [rule.id for room in ROOMS for rule in room.RULES]
    assert len(told) == len(set(told))
    assert set(told) <= set(RULES)


def test_each_rule_is_tripped_by_some_mistake() -> None:
    tables = (
        test_plan_mistakes.MISTAKES,
        test_plan_mistakes.NOTES,
        test_lay_mistakes.MISTAKES,
    )
    tripped = {rule for table in tables for mistake in table.values() for rule in mistake[-1]}
    assert set(RULES) - tripped == ON_ITS_OWN


def test_findings_come_worst_first_and_the_same_each_time() -> None:
    plan = plan_of(
        changed(
            JOB,
            {
                "job.services_asked": "",
                "survey": None,
                "machine.loop_max": 100,
                "features.4.located": None,
                "wire.spools": [50],
            },
        )
    )
    hits = found(plan)
    levels = [LEVELS.index(hit.level) for hit in hits]
    assert levels == sorted(levels) and set(levels) == {0, 1, 2}
    for level in LEVELS:
        names = [hit.rule for hit in hits if hit.level == level]
        assert names == sorted(names)
    assert found(plan) == hits


@cache
def mistaken() -> tuple[tuple[Plan, Lay], ...]:
    """Plans laid once that trip every rule which a plan can trip, each rule for the first time."""
    seen: set[str] = set()
    made = []
    for job, changes, rules in (
        *test_plan_mistakes.MISTAKES.values(),
        *test_plan_mistakes.NOTES.values(),
    ):
        if not rules <= seen:
            seen |= rules
            plan = plan_of(changed(job, changes))
            made.append((plan, lay_plan(plan)))
    return tuple(made)


def test_messages_are_sentences_with_a_cure() -> None:
    assert len(mistaken()) > 30
    for plan, lay in mistaken():
        hits = found(plan, lay)
        assert hits
        for hit in hits:
            assert hit.message.endswith((".", "?")) and not hit.message.endswith("..")
            assert hit.cure.endswith(".") and not hit.cure.endswith("..")
            assert "None" not in hit.message and "nan" not in hit.message
            assert " ft" not in hit.message.replace("sq ft", "")


def test_each_language_tells_the_same_findings_in_the_same_order() -> None:
    """What prints beside the translation is told apart from it by its place in the list alone."""
    for plan, lay in mistaken():
        english = check_plan(plan, lay)
        for language in (each for each in languages() if each != "en"):
            other = check_plan(plan, lay, language)
            assert [texts_left_out(each) for each in other] == [texts_left_out(e) for e in english]
            for one, two in zip(english, other, strict=True):
                assert one.message != two.message and two.message.endswith((".", "?"))
                assert one.cure != two.cure


def texts_left_out(finding: Finding) -> Finding:
    return replace(finding, message="", cure="")


def test_figures_are_told_in_the_unit_of_the_plan() -> None:
    over = {"machine.loop_max": 160}
    metric = found(plan_of(changed(JOB, over)))[0].message
    feet = found(plan_of(changed(JOB, over | {"shown_in": "ft"})))[0].message
    assert "202.59 m" in metric and "160.00 m" in metric
    assert "664' 8\"" in feet and "524' 11 1/4\"" in feet and " m " not in feet


def test_plans_that_ship_are_not_stopped(any_plan: Path) -> None:
    plan = load(any_plan)
    assert [hit for hit in check_plan(plan, lay_plan(plan)) if hit.level == "stop"] == []
