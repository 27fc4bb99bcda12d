"""Warnings that someone accepts by name and reason, and acceptances that do not hold."""

from __future__ import annotations

import difflib
from dataclasses import replace
from typing import TYPE_CHECKING

from renderer.checks.rule import Hit

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from renderer.checks.case import Case
    from renderer.checks.finding import Finding
    from renderer.checks.rule import Rule
    from renderer.plan.model import Acknowledgement


def accepted(case: Case, found: Iterable[Finding]) -> list[Finding]:
    """The findings, warnings that the plan accepts marked with name and reason."""
    return [_accepted(case, finding) for finding in found]


def _accepted(case: Case, finding: Finding) -> Finding:
    if finding.level == "warn":
        for each in case.plan.acknowledged:
            if _meant(each, finding):
                return replace(finding, acknowledged=f"{each.by}: {each.reason}")
    return finding


def _meant(each: Acknowledgement, finding: Finding) -> bool:
    return each.rule == finding.rule and each.about in ("", finding.about)


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
        if not any(each.about in ("", hit.about) for hit in hits):
            key = f"acceptance-idle.{'about' if each.about else 'found'}"
            facts = {"by": each.by, "rule": each.rule, "about": each.about}
            yield Hit(key, facts, about=each.rule)
