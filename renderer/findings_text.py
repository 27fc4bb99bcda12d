"""Findings in words: the sentences of a language, figures in the unit that the plan is shown in."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from renderer.checks.accept import OF_ACCEPTANCES
from renderer.checks.fact import Phrase
from renderer.checks.figure import figure_unit
from renderer.language import ENGLISH, load_words
from renderer.language.show import Show
from renderer.plan.figures import figure_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping
    from typing import Any

    from renderer.checks.fact import Fact, Facts
    from renderer.checks.finding import Finding, Level
    from renderer.language.words import Words
    from renderer.plan.values import Units


@dataclass(frozen=True, slots=True)
class FindingText:
    """A finding as people read it: what was found, what to do about it, why it matters.

    ``facts`` are the same as plain values for scripts; lengths are metres. ``accept_with`` is the
    line of the plan file that accepts it with its figure, name and reason left to write; empty for
    what cannot be accepted.
    """

    rule: str
    level: Level
    message: str
    cure: str
    why: str
    at: tuple[float, float] | None
    about: str
    at_m: float | None
    acknowledged: str
    facts: dict[str, Any]
    accept_with: str = ""


def in_words(
    findings: Iterable[Finding], units: Units, language: str = ENGLISH
) -> tuple[FindingText, ...]:
    """The findings in a language, in their order, figures in ``units``.

    Raises WordError for a language that has no words.
    """
    words = load_words(language, "findings")
    show = Show(units, words)
    return tuple(
        FindingText(
            each.rule,
            each.level,
            _message(show, each),
            _cure(words, each),
            words(f"{each.rule}.why"),
            each.at,
            each.about,
            each.at_m,
            each.acknowledged,
            {name: _plain(fact) for name, fact in each.facts.items()},
            _accept_with(each, units),
        )
        for each in findings
    )


def _cure(words: Words, finding: Finding) -> str:
    """What to do about it; of wire that lies it may be something else."""
    lying = f"{finding.rule}.cure-lying"
    return words(lying if finding.lies and lying in words else f"{finding.rule}.cure")


def _message(show: Show, finding: Finding) -> str:
    """What was found, and what had been accepted where that is not what it is now."""
    message = sentence(show, finding.key, finding.facts, finding.apart)
    if finding.lapsed is None:
        return message
    then = figure_of(finding.lapsed.figure)
    unit = figure_unit(finding.figure)
    told = {"by": finding.lapsed.by, "then": finding.lapsed.figure}
    if then and then.unit == unit:
        told["then"] = _figure(show, unit, then.value)
    if not finding.figure:
        return f"{message} {show.words('lapsed.none', **told)}"
    return f"{message} {show.words('lapsed.found', now=_figure_now(show, finding), **told)}"


def _figure_now(show: Show, finding: Finding) -> str:
    """The figure of a finding as its sentence prints it, with its unit."""
    fact = _length(finding.facts[finding.figure])
    if finding.figure in finding.apart:
        lengths = show.lengths(*(_length(finding.facts[name]) for name in finding.apart))
        return lengths[finding.apart.index(finding.figure)]
    return _figure(show, figure_unit(finding.figure), fact)


def _figure(show: Show, unit: str, value: float) -> str:
    text = _WRITTEN[unit](show, value) if unit else show.plain(value)
    return f"{text}°" if unit == "deg" else text


def _accept_with(finding: Finding, units: Units) -> str:
    """The line under ``acknowledged`` that accepts a warning with the figure that it has now."""
    if finding.level != "warn" or finding.rule in OF_ACCEPTANCES:
        return ""
    line = f"- {{rule: {finding.rule}"
    if finding.about:
        line += f", about: {json.dumps(finding.about, ensure_ascii=False)}"
    if finding.figure:
        printed = _figure_now(Show(units, load_words(ENGLISH, "findings")), finding)
        line += f", figure: {_as_typed(printed)}"
    return line + ', by: "", reason: ""}'


def _as_typed(figure: str) -> str:
    """A printed figure as it is typed in a plan file: ``9 ft 6 1/2 in``, no comma in thousands."""
    return figure.replace("'", " ft").replace('"', " in").replace(",", "")


def sentence(show: Show, key: str, facts: Facts, apart: tuple[str, ...]) -> str:
    """The text of a key with the facts put in, by the names of their placeholders."""
    filled: dict[str, str] = {}
    for name, fact in facts.items():
        placeholder, text = _shown(show, name, fact)
        filled[placeholder] = text
    if apart:
        lengths = show.lengths(*(_length(facts[name]) for name in apart))
        filled |= {name.removesuffix("_m"): text for name, text in zip(apart, lengths, strict=True)}
    key = _without_kind(show, key, filled)
    if key in show.words:
        return show.words(key, **filled)
    return show.words.count(key, int(_length(facts["count"])), **filled)


def _without_kind(show: Show, key: str, filled: Mapping[str, str]) -> str:
    """The key of the text that leaves out a kind which the name says already, if there is one."""
    kind, name = filled.get("kind"), filled.get("name", "")
    said = kind is not None and kind.casefold() in name.casefold()
    return f"{key}-plain" if said and f"{key}-plain" in show.words else key


def _shown(show: Show, name: str, fact: Fact) -> tuple[str, str]:
    """A fact's placeholder and how it is written."""
    if isinstance(fact, str):
        return name, fact
    if isinstance(fact, Phrase):
        return name, sentence(show, fact.key, fact.facts, fact.apart)
    if isinstance(fact, date):
        return name, fact.isoformat()
    stem, _, unit = name.rpartition("_")
    if isinstance(fact, tuple):
        texts = [_shown(show, "", each)[1] for each in fact]
        if unit == "keys":  # of the plan file, each of which is named, in words where there are any
            named = (f"figure.{text}" for text in texts)
            told = [show.words.get(key, text) for key, text in zip(named, texts, strict=True)]
            return stem, show.words("list.join").join(told)
        return name, show.words.listed(texts)
    writes = _WRITTEN.get(unit)
    return (stem or name, writes(show, fact)) if writes else (name, str(fact))


# How a figure is written, by the unit that its name ends in.
_WRITTEN: dict[str, Callable[[Show, float], str]] = {
    "m": Show.length,
    "m2": Show.area,
    "percent": Show.percent,
    "ohm": Show.ohms,
    "deg": Show.plain,
    "mm": Show.thickness,
    "a": Show.plain,
    "v": Show.plain,
    "megohm": Show.plain,
    "mm2": lambda show, size: f"{show.plain(size)} mm²",
    "awg": lambda show, gauge: f"AWG {gauge:.0f}",
}


def _length(fact: Fact) -> float:
    assert isinstance(fact, int | float)
    return fact


def _plain(fact: Fact) -> Any:
    """A fact as JSON holds it; a phrase is its word, or its key and facts."""
    if isinstance(fact, Phrase):
        if not fact.facts:
            return fact.key.rpartition(".")[2]
        return {"text": fact.key} | {name: _plain(each) for name, each in fact.facts.items()}
    if isinstance(fact, tuple):
        return [_plain(each) for each in fact]
    if isinstance(fact, date):
        return fact.isoformat()
    if isinstance(fact, float):
        return round(fact, 4) + 0.0
    return fact


def explained(rule: str, language: str = ENGLISH) -> tuple[str, ...]:
    """Lines about a rule: its id and level, why it matters, what to do, and what it looks at.

    What it looks at is given in English only. Raises LookupError, naming the nearest rule, where
    there is none of that id.
    """
    from renderer.checks.registry import RULES
    from renderer.plan.errors import did_you_mean

    if rule not in RULES:
        cure = did_you_mean(rule, RULES) or "pegline check --explain lists them all"
        raise LookupError(f"no rule is called '{rule}'; {cure}")
    words = load_words(language, "findings")
    lines = [
        f"{rule} ({RULES[rule].level})",
        f"  {words('check.why', why=words(f'{rule}.why'))}",
        f"  {words('check.cure', cure=words(f'{rule}.cure'))}",
    ]
    if language == ENGLISH:
        about = " ".join((RULES[rule].look.__doc__ or "").partition("\n\n")[0].split())
        lines.append(f"  looks at: {about}")
    return tuple(lines)


def listed(language: str = ENGLISH) -> tuple[str, ...]:
    """A line per rule, stops first: level, id and why it matters."""
    from renderer.checks.finding import LEVELS
    from renderer.checks.registry import RULES

    words = load_words(language, "findings")
    width = max(map(len, RULES))
    rules = sorted(RULES.values(), key=lambda rule: (LEVELS.index(rule.level), rule.id))
    return tuple(f"{each.level:<4} {each.id:<{width}} {words(f'{each.id}.why')}" for each in rules)
