"""``pegline check``: the findings of jobs, and what a rule is about."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any

import renderer
from renderer.commands.common import as_json, read_job
from renderer.explain import Usage, explanations
from renderer.terminal import EXIT_FINE, EXIT_INVALID, EXIT_STOPPED, complain, write_out

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from renderer.check_report import Told
    from renderer.findings_text import FindingText
    from renderer.job import Job
    from renderer.plan.model import Plan

WITH_PLACES = ("plain", "sarif")  # forms of a report that name lines of the files


def run_check(arguments: argparse.Namespace) -> int:
    """Findings of each job, worst first; a job that cannot be read does not hide the others."""
    from renderer.language import require_language
    from renderer.text import require_all

    language = arguments.language or "en"
    require_language(language)
    if arguments.explain is not None:
        return _run_explain(arguments, language)
    code = EXIT_FINE
    form = "json" if arguments.json else arguments.format
    reports: list[tuple[str, Job]] = []
    texts: dict[str, str] = {}
    told: list[Told] = []
    for path in arguments.jobs:
        try:
            plan, texts[path] = read_job(path)
            require_all(plan.model_dump(), f"plan {plan.job.number}")
            job = renderer.prepare(plan, as_planned=arguments.as_planned)
            findings = job.findings
        except Exception as error:
            told += _told_of(path, error, form)
            code = EXIT_INVALID
            continue
        if any(finding.level == "stop" for finding in findings):
            code = max(code, EXIT_STOPPED)
        reports.append((path, job))
    _report(reports, texts, told, form, language)
    return code


def _told_of(path: str, error: Exception, form: str) -> Sequence[Told]:
    """What is wrong with a file, as part of a report that has places; else it is complained of."""
    from renderer.check_report import of_error

    lines = explanations(error, [path] if os.path.isfile(path) else ())
    if form in WITH_PLACES:
        return of_error(path, error, lines[0])
    for line in lines:
        complain(line)
    return ()


def _report(
    reports: list[tuple[str, Job]],
    texts: dict[str, str],
    told: Sequence[Told],
    form: str,
    language: str,
) -> None:
    if form == "json":
        write_out(as_json(_check_json(reports, language)))
    elif form in WITH_PLACES:
        from renderer.check_report import of_job, plain, sarif

        every = list(told)
        for path, job in reports:
            every += of_job(path, texts[path], job, language)
        if form == "plain":
            write_out(plain(every))
        else:
            write_out(as_json(sarif(every, renderer.__version__, language)))
    else:
        write_out("\n".join(_check_text(path, job, language) for path, job in reports))


def _run_explain(arguments: argparse.Namespace, language: str) -> int:
    """What one rule looks at, why it matters and what to do; or each rule with its reason."""
    from renderer.findings_text import explained, listed

    if arguments.jobs or arguments.json or arguments.format != "text":
        raise Usage("--explain is about rules only; leave out plan files, --format and --json")
    if not arguments.explain:
        write_out("".join(f"{line}\n" for line in listed(language)))
        return EXIT_FINE
    try:
        lines = explained(arguments.explain, language)
    except LookupError as unknown:
        raise Usage(str(unknown.args[0])) from None
    write_out("".join(f"{line}\n" for line in lines))
    return EXIT_FINE


def _check_text(path: str, job: Job, language: str) -> str:
    from renderer.language import load_words

    plan, words = job.plan, load_words(language, "findings")
    head = words("check.head", number=plan.job.number, revision=plan.job.revision)
    lines = [f"{path}: {head}"]
    counts = {"stop": 0, "warn": 0, "note": 0}
    for finding in job.findings_in(language):
        counts[finding.level] += 1
        lines.append(
            f"  {finding.level:<4} {finding.message} [{finding.rule}{_place(plan, finding)}]"
        )
        if finding.cure:
            lines.append(f"       {words('check.cure', cure=finding.cure)}")
        if finding.acknowledged:
            lines.append(f"       {words('check.accepted', by=finding.acknowledged)}")
        elif finding.accept_with:
            lines.append(f"       {words('check.accept', line=finding.accept_with)}")
    stops = counts["stop"]
    verdict = words.count("check.stopped", stops) if stops else words("check.clear")
    rest = words("check.rest", warnings=counts["warn"], notes=counts["note"])
    lines.append(f"  {verdict}; {rest}")
    return "\n".join(lines) + "\n"


def _place(plan: Plan, finding: FindingText) -> str:
    """Where a finding is, in the unit that the plan is shown in."""
    from renderer.units import M_PER_FOOT

    if finding.at is None:
        return ""
    unit = M_PER_FOOT if plan.units == "ft" else 1.0
    x, y = (along / unit for along in finding.at)
    return f" at ({x:.2f}, {y:.2f}) {plan.units}"


def _check_json(reports: list[tuple[str, Job]], language: str) -> dict[str, Any]:
    from renderer.checks.finding import LEVELS
    from renderer.report import finding_json, plan_json

    jobs: list[dict[str, Any]] = [
        {
            "file": path,
            "plan": plan_json(job),
            "findings": [finding_json(finding) for finding in job.findings_in(language)],
        }
        for path, job in reports
    ]
    every = [{"file": job["file"], **found} for job in jobs for found in job["findings"]]
    every.sort(key=lambda found: LEVELS.index(found["level"]))
    return {"jobs": jobs, "findings": every}
