"""All rules by id, and how their hits become findings."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from renderer.checks import (
    accept,
    close,
    corners,
    dock,
    dockplace,
    foreign,
    gaps,
    grounds,
    hazards,
    loops,
    passages,
    recorded,
    room,
    services,
    setbacks,
    sizes,
    slopes,
    splices,
    stock,
    strips,
    supply,
    sureness,
    taped,
    walks,
    winding,
)
from renderer.checks.figure import figure_name
from renderer.checks.finding import LEVELS, Finding
from renderer.checks.rule import Rule
from renderer.progress import doing

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping

    from renderer.checks.case import Case
    from renderer.checks.rule import Hit

# A rule is added to the RULES of its room, a room to this list.
ROOMS = (
    winding,
    walks,
    setbacks,
    hazards,
    gaps,
    close,
    corners,
    passages,
    room,
    dock,
    dockplace,
    splices,
    sureness,
    taped,
    services,
    strips,
    supply,
    stock,
    recorded,
    slopes,
    grounds,
    sizes,
    loops,
    foreign,
)


def _on_acceptances(
    look: Callable[[Case, Mapping[str, Rule]], Iterator[Hit]],
) -> Callable[[Case], Iterator[Hit]]:
    """A rule's function from one that has to know all rules."""

    def told(case: Case) -> Iterator[Hit]:
        return look(case, RULES)

    told.__doc__ = look.__doc__
    return told


_ON_ACCEPTANCES = (
    Rule("stop-cannot-be-accepted", "warn", _on_acceptances(accept.stop_accepted)),
    Rule("acceptance-unknown", "warn", _on_acceptances(accept.unknown_accepted)),
    Rule("acceptance-idle", "note", _on_acceptances(accept.idle_accepted)),
)

RULES: dict[str, Rule] = {
    rule.id: rule for rules in (*(room.RULES for room in ROOMS), _ON_ACCEPTANCES) for rule in rules
}


def findings(case: Case, only: Iterable[str] | None = None) -> list[Finding]:
    """What all rules find, or those of the ids in ``only``; in no order."""
    rules = RULES.values() if only is None else [RULES[each] for each in sorted(only)]
    lies = case.past is not None
    found: list[Finding] = []
    with doing("rule") as at:
        for number, rule in enumerate(rules, 1):
            at(number, len(rules))
            found.extend(_finding(rule, hit, lies) for hit in rule.look(case))
    return found


def _finding(rule: Rule, hit: Hit, lies: bool) -> Finding:
    at = None if hit.at is None else (round(float(hit.at[0]), 4), round(float(hit.at[1]), 4))
    return Finding(
        rule=rule.id,
        level=rule.level,
        key=hit.key,
        facts=hit.facts,
        at=at,
        about=hit.about,
        at_m=None if hit.at_m is None else round(hit.at_m, 4),
        apart=hit.apart,
        figure=figure_name(rule, hit.facts),
        lies=lies,
    )


def worst_first(found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Stops, then warnings, then notes; each by rule and by place along the wire."""
    return tuple(sorted(found, key=_order))


def _order(finding: Finding) -> tuple[int, str, float, tuple[float, float], str]:
    return (
        LEVELS.index(finding.level),
        finding.rule,
        math.inf if finding.at_m is None else finding.at_m,
        finding.at or (math.inf, math.inf),
        finding.about,
    )
