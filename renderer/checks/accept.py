"""Warnings that someone accepts by name and reason, and acceptances that do not hold."""

from __future__ import annotations

import difflib
from dataclasses import replace
from typing import TYPE_CHECKING

from renderer.checks.figure import figure_name, states
from renderer.checks.finding import Lapsed
from renderer.checks.rule import Hit

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from renderer.checks.case import Case
    from renderer.checks.finding import Finding
    from renderer.checks.rule import Rule
    from renderer.plan.model import Acknowledgement

# What is said of acceptances themselves as a warning; nobody accepts that.
OF_ACCEPTANCES = ("stop-cannot-be-accepted", "acceptance-unknown")


def accepted(case: Case, found: Iterable[Finding]) -> list[Finding]:
    """The findings, warnings that the plan accepts marked with name and reason.

    A warning that is open because an acceptance states another figure has that one as ``lapsed``.
    """
    found = list(found)
    spent = [
        each
        for each in case.plan.acknowledged
        if each.figure and not any(_accepts(case, each, finding) for finding in found)
    ]
    return [_accepted(case, finding, spent) for finding in found]


def _accepted(case: Case, finding: Finding, spent: Iterable[Acknowledgement]) -> Finding:
    if finding.level != "warn":
        return finding
    for each in case.plan.acknowledged:
        if _accepts(case, each, finding):
            return replace(finding, acknowledged=f"{each.by}: {each.reason}")
    for each in spent:
        if each.figure and _meant(each, finding):
            return replace(finding, lapsed=Lapsed(each.by, each.figure))
    return finding


def _meant(each: Acknowledgement, finding: Finding) -> bool:
    return each.rule == finding.rule and each.about in ("", finding.about)


def _accepts(case: Case, each: Acknowledgement, finding: Finding) -> bool:
    return _meant(each, finding) and _has_figure(case, each, finding, finding.figure)


def _has_figure(case: Case, each: Acknowledgement, found: Finding | Hit, name: str) -> bool:
    """Whether an acceptance states no figure, or the one that the finding has."""
    if not each.figure:
        return True
    return states(each.figure, name, found.facts, found.apart, case.plan.units)


def stop_accepted(case: Case, rules: Mapping[str, Rule]) -> Iterator[Hit]:
    """Acceptances of what stops the lay."""
    for each in case.plan.acknowledged:
        if each.rule in rules and rules[each.rule].level == "stop":
            facts = {"by": each.by, "rule": each.rule}
            yield Hit("stop-cannot-be-accepted.found", facts, about=each.rule)


def unknown_accepted(case: Case, rules: Mapping[str, Rule]) -> Iterator[Hit]:
    """Acceptances of a rule that does not exist."""
    for each in case.plan.acknowledged:
        if each.rule not in rules:
            facts = {"by": each.by, "rule": each.rule}
            if near := difflib.get_close_matches(each.rule, rules, 1, 0.6):
                facts["near"] = near[0]
            key = f"acceptance-unknown.{'near' if near else 'found'}"
            yield Hit(key, facts, about=each.rule)


def idle_accepted(case: Case, rules: Mapping[str, Rule]) -> Iterator[Hit]:
    """Acceptances of a warning that is not there."""
    for each in case.plan.acknowledged:
        rule = rules.get(each.rule)
        if rule is None or rule.level == "stop":
            continue
        hits = rule.look(case) if rule.level == "warn" else ()
        meant = [hit for hit in hits if each.about in ("", hit.about)]
        facts = {"by": each.by, "rule": each.rule, "about": each.about}
        if not meant:
            key = f"acceptance-idle.{'about' if each.about else 'found'}"
            yield Hit(key, facts, about=each.rule)
        elif each.figure and all(_by_another(case, rule, each, hit) for hit in meant):
            yield Hit("acceptance-idle.figure", facts | {"figure": each.figure}, about=each.rule)


def _by_another(case: Case, rule: Rule, this: Acknowledgement, hit: Hit) -> bool:
    """Whether an acceptance other than ``this`` accepts a hit that ``this`` does not."""
    name = figure_name(rule, hit.facts)
    if _has_figure(case, this, hit, name):
        return False
    return any(
        each.rule == rule.id
        and each.about in ("", hit.about)
        and _has_figure(case, each, hit, name)
        for each in case.plan.acknowledged
    )
