"""The value that a check gives."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from renderer.checks.fact import Facts, moved_facts

if TYPE_CHECKING:
    from collections.abc import Sequence

Level = Literal["stop", "warn", "note"]
LEVELS: tuple[Level, ...] = ("stop", "warn", "note")


@dataclass(frozen=True, slots=True)
class Lapsed:
    """An acceptance that does not hold for a finding, whose figure is not the one it states."""

    by: str
    figure: str  # as the plan states it


@dataclass(frozen=True, slots=True)
class Finding:
    """What a check has found: rule, level, the key of its text with facts that fill it, place.

    ``renderer.findings_text`` makes sentences of it in a language.
    """

    rule: str  # an id in words, such as "wire-crosses-itself"
    level: Level
    key: str  # of its text in the catalogue of findings
    facts: Facts
    at: tuple[float, float] | None = None
    about: str = ""  # name of the lawn, obstacle, loop or feature concerned
    at_m: float | None = None  # running distance on the wire, where there is one
    acknowledged: str = ""  # "name: reason", for a warning that was accepted in the plan
    apart: tuple[str, ...] = ()  # lengths among the facts that must not read alike
    figure: str = ""  # name of the fact that an acceptance may state
    lapsed: Lapsed | None = None
    lies: bool = False  # whether it is of wire that lies, not of wire to be laid


def moved_findings(findings: Sequence[Finding], by: tuple[float, float]) -> tuple[Finding, ...]:
    """The same findings with their places moved by metres, still to 0.1 mm."""
    if by == (0.0, 0.0):
        return tuple(findings)
    return tuple(
        each
        if each.at is None
        else replace(
            each,
            at=(round(each.at[0] + by[0], 4), round(each.at[1] + by[1], 4)),
            facts=moved_facts(each.facts, by),
        )
        for each in findings
    )
