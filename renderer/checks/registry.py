"""All rules by id, and how their hits become findings."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from renderer.checks import services, setbacks, stock, supply, walks, winding
from renderer.checks.finding import LEVELS, Finding

if TYPE_CHECKING:
    from collections.abc import Iterable

    from renderer.checks.case import Case
    from renderer.checks.rule import Hit, Rule

RULES: dict[str, Rule] = {
    rule.id: rule
    for room in (winding, walks, setbacks, services, supply, stock)
    for rule in room.RULES
}


def findings(case: Case) -> list[Finding]:
    """What all rules find, in no order."""
    return [_finding(rule, hit) for rule in RULES.values() for hit in rule.look(case)]


def _finding(rule: Rule, hit: Hit) -> Finding:
    at = None if hit.at is None else (round(float(hit.at[0]), 4), round(float(hit.at[1]), 4))
    return Finding(
        rule=rule.id,
        level=rule.level,
        message=hit.message + ".",
        at=at,
        cure=(hit.cure or rule.cure) + ".",
        about=hit.about,
        at_m=None if hit.at_m is None else round(hit.at_m, 4),
    )


def worst_first(found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Stops, then warnings, then notes; each by rule and by place along the wire."""
    return tuple(sorted(found, key=_order))


def _order(finding: Finding) -> tuple[int, str, float, tuple[float, float], str, str]:
    return (
        LEVELS.index(finding.level),
        finding.rule,
        math.inf if finding.at_m is None else finding.at_m,
        finding.at or (math.inf, math.inf),
        finding.about,
        finding.message,
    )


def accepted(case: Case, found: Iterable[Finding]) -> list[Finding]:
    """The findings with the warnings that the plan accepts marked by name and reason."""
    return [_accepted(case, finding) for finding in found]


def _accepted(case: Case, finding: Finding) -> Finding:
    if finding.level != "warn":
        return finding
    for each in case.plan.acknowledged:
        if each.rule == finding.rule and each.about in ("", finding.about):
            return replace(finding, acknowledged=f"{each.by}: {each.reason}")
    return finding
