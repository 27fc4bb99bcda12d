"""All rules: their form, that each is tripped by some mistake, and the order of findings."""

from __future__ import annotations

import json
import pickle
import re
from datetime import date
from functools import cache
from typing import TYPE_CHECKING

import pytest

from renderer import checks, ground
from renderer.checks.fact import Phrase
from renderer.checks.finding import LEVELS
from renderer.checks.registry import ROOMS, RULES
from renderer.findings_text import in_words
from renderer.language import languages, load_words
from renderer.plan import load
from tests.checks import lay_mistakes, mistakes
from tests.checks.jobs import JOB, changed, found, one_lawn, plan_of
from tests.shared import check_plan, lay_plan

if TYPE_CHECKING:
    from pathlib import Path

    from renderer.ground.lay import Lay
    from renderer.plan import Plan


@pytest.mark.parametrize("rule", RULES.values(), ids=RULES.keys())
def test_a_rule_says_what_it_looks_for(rule: object) -> None:
    from renderer.checks.rule import Rule

    assert isinstance(rule, Rule)
    assert re.fullmatch(r"[a-z]+(-[a-z]+)+", rule.id), "an id in words, with dashes"
    assert rule.level in LEVELS
    looks_for = (rule.look.__doc__ or "").partition("\n")[0]
    assert looks_for.endswith(".") and looks_for[0].isupper() and "func" not in looks_for


def test_the_catalogue_tells_of_each_rule_and_of_no_other() -> None:
    words = load_words("en", "findings")
    for part in ("cure", "why"):
        told = {key.partition(".")[0] for key in words if key.endswith(f".{part}")}
        assert told - {"check"} == set(RULES)
    for rule in RULES:
        assert words[f"{rule}.why"].endswith(".") and words[f"{rule}.why"][0].isupper()
    for rule in RULES:
        texts = [words[key] for key in words if key.startswith(f"{rule}.")]
        assert len(texts) > 1 and all(text.endswith((".", "?")) for text in texts)


def test_no_two_rules_share_an_id() -> None:
    told = [rule.id for room in ROOMS for rule in room.RULES]
    assert len(told) == len(set(told))
    assert set(told) <= set(RULES)


def test_each_rule_is_tripped_by_some_mistake() -> None:
    tables = (
        mistakes.MISTAKES,
        mistakes.NOTES,
        lay_mistakes.MISTAKES,
        mistakes.RECORDED,
    )
    tripped = {rule for table in tables for mistake in table.values() for rule in mistake[-1]}
    assert set(RULES) - tripped == set(lay_mistakes.ON_ITS_OWN)


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
    again = checks.check_plan(plan, ground.lay_plan(plan))
    assert in_words(again, plan.units) == hits


@cache
def mistaken() -> tuple[tuple[Plan, Lay], ...]:
    """Plans laid once that trip every rule which a plan can trip, each rule for the first time."""
    seen: set[str] = set()
    made = []
    for job, changes, rules in (
        *mistakes.MISTAKES.values(),
        *mistakes.NOTES.values(),
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


def test_each_language_has_a_sentence_for_each_finding() -> None:
    for plan, lay in mistaken():
        hits = check_plan(plan, lay)
        english = in_words(hits, plan.units)
        for language in (each for each in languages() if each != "en"):
            other = in_words(hits, plan.units, language)
            for one, two in zip(english, other, strict=True):
                assert (one.rule, one.at, one.facts) == (two.rule, two.at, two.facts)
                assert one.message != two.message and two.message.endswith((".", "?"))
                assert one.cure != two.cure and one.why != two.why


PLAIN = (str, int, float, date)


def is_closed(fact: object) -> bool:
    """Whether a fact is one of the few types that the texts and JSON know how to write."""
    if isinstance(fact, Phrase):
        return all(map(is_closed, fact.facts.values()))
    if isinstance(fact, tuple):
        return all(
            isinstance(each, str) or (isinstance(each, Phrase) and is_closed(each)) for each in fact
        )
    return isinstance(fact, PLAIN) and not isinstance(fact, bool)


def test_facts_are_of_few_types_and_can_be_stored() -> None:
    for plan, lay in mistaken():
        hits = check_plan(plan, lay)
        assert pickle.loads(pickle.dumps(hits)) == hits
        for hit in hits:
            assert all(map(is_closed, hit.facts.values())), hit
            assert set(hit.apart) <= set(hit.facts)
        for each in in_words(hits, plan.units):
            assert json.loads(json.dumps(each.facts, allow_nan=False)) == each.facts


def test_a_rule_asked_for_alone_finds_what_it_finds_among_all() -> None:
    for plan, lay in mistaken()[:12]:
        hits = check_plan(plan, lay)
        for rule in {hit.rule for hit in hits} | {"pair-apart"}:
            alone = checks.check_plan(plan, lay, only={rule})
            assert alone == tuple(hit for hit in hits if hit.rule == rule)
        assert checks.check_plan(plan, lay, only=()) == ()


def test_a_fact_is_a_plain_figure_in_metres_whatever_the_plan_shows() -> None:
    for shown in ("m", "ft"):
        over = {"machine.loop_max": 160, "shown_in": shown}
        hit = found(plan_of(changed(JOB, over)))[0]
        assert hit.facts["loop"] == "main" and hit.facts["limit_m"] == 160.0
        assert hit.facts["length_m"] == pytest.approx(202.59, abs=0.01)
        assert hit.facts["over_m"] == pytest.approx(42.59, abs=0.01)


def test_a_corner_far_out_is_told_where_it_stands_in_the_plan_file() -> None:
    """National-grid coordinates: the lay has an origin of its own, the reader has the file."""
    east, north = 451000.0, 5412000.0
    outline = [[0, 0, "flush"], [24, 0, "fence"], [24, 1400, "hedge"], [0, 14, "wall"]]
    changes = {
        "lawns.0.outline": [[x + east, y + north, side] for x, y, side in outline],
        "loops.0.dock.at": [8 + east, 0.1 + north],
        "loops.0.supply.at": [5 + east, -0.5 + north],
        "obstacles": [],
        "features": [],
        "survey": None,
    }
    hits = found(plan_of(changed(one_lawn(), changes)))
    (hit,) = (each for each in hits if each.rule == "lawn-odd")
    assert "at 451024.00 m, 5413400.00 m," in hit.message
    assert (hit.facts["x_m"], hit.facts["y_m"]) == hit.at == (451024.0, 5413400.0)


def test_figures_are_told_in_the_unit_of_the_plan() -> None:
    over = {"machine.loop_max": 160}
    metric = found(plan_of(changed(JOB, over)))[0].message
    feet = found(plan_of(changed(JOB, over | {"shown_in": "ft"})))[0].message
    assert "202.59 m" in metric and "160.00 m" in metric
    assert "664' 8\"" in feet and "524' 11 1/4\"" in feet and " m " not in feet


def test_plans_that_ship_are_not_stopped(any_plan: Path) -> None:
    plan = load(any_plan)
    assert [hit for hit in check_plan(plan, lay_plan(plan)) if hit.level == "stop"] == []
