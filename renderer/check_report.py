"""What ``check`` finds, for editors and for programs that gather findings: places in the file.

``plain`` is a line each, ``file:line:column: level: text``, as compilers write them. SARIF is the
Static Analysis Results Interchange Format, version 2.1.0 (OASIS).
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from renderer.plan.errors import PlanError, one_line
from renderer.plan.files import text_of
from renderer.plan.lines import Lines, column_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from renderer.job import Job

# What an editor calls each level.
LEVELS = {"stop": "error", "warn": "warning", "note": "note"}
NOT_VALID = "not-valid"  # the rule of what keeps a file from being read
SARIF = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"


@dataclass(frozen=True, slots=True)
class Told:
    """Something said of a file: where, how bad, by which rule. Line 0 is the file as a whole."""

    path: str
    line: int
    column: int
    level: str
    rule: str
    message: str
    accepted: str = ""


def of_job(path: str, text: str, job: Job, language: str) -> tuple[Told, ...]:
    """The findings on a job with their places in its file's text, in the order of the lines."""
    lines = Lines(text, path, job.plan)
    found = []
    for each in job.findings_in(language):
        line, column = lines.place_of(each.about, each.rule)
        message = " ".join(filter(None, (each.message, each.cure)))
        level = LEVELS[each.level]
        found.append(Told(path, line, column, level, each.rule, message, each.acknowledged))
    return tuple(sorted(found, key=lambda told: told.line))


def of_error(path: str, error: Exception, explained: str) -> tuple[Told, ...]:
    """What keeps a file from being checked; ``explained`` tells an error that knows no lines."""
    if not isinstance(error, PlanError):
        return (Told(path, 0, 0, "error", NOT_VALID, explained.removeprefix(f"{path}: ")),)
    return tuple(_mistake(each) for each in error.all)


def _mistake(error: PlanError) -> Told:
    said = "; ".join(filter(None, (error.problem, error.cure)))
    message = one_line(": ".join(filter(None, (error.key, said))))
    if not error.line:
        return Told(error.path, 0, 0, "error", NOT_VALID, message)
    line = _text(error.path).split("\n")[error.line - 1 : error.line]
    column = column_of(line, error.key.rpartition(".")[2])
    return Told(error.path, error.line, column, "error", NOT_VALID, message)


def plain(told: Sequence[Told]) -> str:
    """A line each: ``file:line:column: level: text [rule]``; accepted warnings are left out."""
    return "".join(
        f"{_place(each)}: {each.level}: {each.message} [{each.rule}]\n" for each in _open(told)
    )


def _open(told: Sequence[Told]) -> Iterator[Told]:
    return (each for each in told if not each.accepted)


def _place(told: Told) -> str:
    return f"{told.path}:{told.line}:{told.column}" if told.line else told.path


def sarif(told: Sequence[Told], version: str, language: str) -> dict[str, Any]:
    """One run of SARIF 2.1.0 with a result each; accepted warnings are suppressed ones."""
    used = sorted({each.rule for each in told})
    driver = {
        "name": "pegline",
        "version": version,
        "rules": [_rule(rule, language) for rule in used],
    }
    run = {
        "tool": {"driver": driver},
        "language": language,
        "columnKind": "unicodeCodePoints",
        "results": [_result(each, used.index(each.rule)) for each in told],
    }
    return {"$schema": SARIF, "version": "2.1.0", "runs": [run]}


def _rule(rule: str, language: str) -> dict[str, Any]:
    if rule == NOT_VALID:
        return {"id": rule}
    from renderer.language import load_words

    words = load_words(language, "findings")
    return {
        "id": rule,
        "shortDescription": {"text": words(f"{rule}.why")},
        "help": {"text": words(f"{rule}.cure")},
    }


def _result(told: Told, rule: int) -> dict[str, Any]:
    location: dict[str, Any] = {"artifactLocation": {"uri": _uri(told.path)}}
    if told.line:
        location["region"] = {"startLine": told.line, "startColumn": told.column}
    result = {
        "ruleId": told.rule,
        "ruleIndex": rule,
        "level": told.level,
        "message": {"text": told.message},
        "locations": [{"physicalLocation": location}],
    }
    if told.accepted:
        result["suppressions"] = [{"kind": "external", "justification": told.accepted}]
    return result


def _uri(path: str) -> str:
    """A relative path as it is given, a whole one as the address of a file (RFC 8089)."""
    address = quote(path.replace(os.sep, "/"), errors="surrogatepass")
    return f"file://{address}" if os.path.isabs(path) else address


def _text(path: str) -> str:
    try:
        return text_of(path)
    except PlanError:
        return ""
