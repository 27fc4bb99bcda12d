"""The jobs of a print and its document; with ``--keep-going`` without those that are not sound."""

from __future__ import annotations

import os
from contextlib import nullcontext
from dataclasses import replace
from itertools import compress
from typing import TYPE_CHECKING

import renderer
from renderer.commands.common import options_of, sentences
from renderer.explain import Usage, explanations
from renderer.progress import doing
from renderer.terminal import complain

if TYPE_CHECKING:
    import argparse
    from collections.abc import Container, Iterable, Iterator, Sequence

    from renderer.plan.day import DayPlan
    from renderer.plan.errors import PlanError
    from renderer.plan.model import Plan
    from renderer.primitives import Document

SHARED_FROM = 8  # jobs of a pack from which sharing them among processes pays


def sheets_of(arguments: argparse.Namespace) -> tuple[Document | None, list[str]]:
    """The sheets, none where findings stop them, which are told; and the jobs that are left out."""
    day, plans, bad = _jobs(arguments.jobs, arguments.keep_going)
    while True:
        try:
            return _composed(arguments, day, plans), bad
        except renderer.Refused as refused:
            lost = _stopped(refused)
            if not arguments.keep_going or len(lost) == len(plans):
                complain("not printed; use --draft to print it with a mark on every page")
                return None, bad
        except Exception:
            lost = _not_drawn(arguments, day, plans) if arguments.keep_going else []
            if not 0 < len(lost) < len(plans):
                raise
        day, plans = _without(lost, day, plans)
        bad = [*bad, *lost]


def _stopped(refused: renderer.Refused) -> list[str]:
    """The numbers of the jobs that findings stop, each told with its findings."""
    for job, findings in refused.stops:
        for finding in findings:
            complain(f"{job}: {sentences(finding)}")
    return sorted({job for job, _ in refused.stops})


def _not_drawn(
    arguments: argparse.Namespace, day: DayPlan | None, plans: Sequence[Plan]
) -> list[str]:
    """The numbers of the jobs that cannot be printed by themselves either, each told with why."""
    lost = []
    numbers = [plan.job.number for plan in plans]
    for number in numbers if len(numbers) > 1 else ():
        try:
            _composed(
                arguments, *_without([each for each in numbers if each != number], day, plans)
            )
        except renderer.Refused:
            pass  # told with the others of its kind
        except Exception as error:
            lost.append(number)
            for line in explanations(error):
                complain(f"{number}: {line}")
    return lost


def _composed(
    arguments: argparse.Namespace, day: DayPlan | None, plans: Sequence[Plan]
) -> Document:
    with doing("step") if len(plans) > 1 else nullcontext() as step:
        return renderer.compose_sheets(
            plans,
            print_options(arguments),
            day=day,
            processes=arguments.processes or _processes_for(len(plans)),
            progress=step,
        )


def _without(
    stopped: Container[str], day: DayPlan | None, plans: Sequence[Plan]
) -> tuple[DayPlan | None, Sequence[Plan]]:
    """The day and its plans without the jobs of some numbers."""
    stays = [plan.job.number not in stopped for plan in plans]
    if day is not None:
        day = day.model_copy(update={"jobs": tuple(compress(day.jobs, stays))})
    left = compress(plans, stays)
    return day, tuple(left) if len(plans) < SHARED_FROM else _spilt(left)


def print_options(arguments: argparse.Namespace) -> renderer.PrintOptions:
    """Those with what ``pegline print`` alone can be asked for."""
    return replace(
        options_of(arguments),
        draft=arguments.draft,
        fields=arguments.fields,
        two_sided=None if arguments.sides is None else arguments.sides == 2,
        as_planned=arguments.as_planned,
        full=arguments.full,
    )


def _processes_for(jobs: int) -> int:
    """A process for each core where there are enough jobs to make up for starting them."""
    if jobs < SHARED_FROM:
        return 1
    from renderer.batch.workers import cores

    return cores()


def _jobs(paths: list[str], keep_going: bool) -> tuple[DayPlan | None, Sequence[Plan], list[str]]:
    """The plans in their order, the day where a day file names them, and the files left out.

    Unless it is to keep going, it raises PlanError with the mistakes of all files.
    """
    from renderer.plan import is_day_file
    from renderer.plan.day import load_sound_day, plans_named, require_each_once
    from renderer.plan.errors import PlanError

    day: DayPlan | None = None
    plans: Sequence[Plan]
    errors: Sequence[PlanError]
    numbers: Sequence[tuple[str, str]] = ()
    days = [path for path in paths if is_day_file(path)]
    if not days:
        plans, errors, numbers = _loaded(paths)
        used = [path for path, _ in numbers]
    elif len(paths) > 1:
        raise Usage(f"{days[0]}: a day file must be the only file; list all jobs in it")
    else:
        day, plans, errors = load_sound_day(days[0])
        paths = list(plans_named(days[0]))
        folder = os.path.dirname(days[0])
        used = [os.path.join(folder, job.plan) for job in day.jobs]
    if errors:
        all_wrong = PlanError.of(errors)
        if not (keep_going and plans):
            raise all_wrong
        for line in explanations(all_wrong):
            complain(line)
    if day is None:
        require_each_once(used, [number for _, number in numbers])
    return day, plans, [path for path in paths if path not in used]


def _loaded(
    paths: Sequence[str],
) -> tuple[Sequence[Plan], Sequence[PlanError], Sequence[tuple[str, str]]]:
    """The plans, where there are many in a file from which they are read one by one.

    With them all mistakes, and each file without one with its job number.
    """
    from renderer.plan.errors import PlanError

    errors: list[PlanError] = []
    numbers: list[tuple[str, str]] = []

    def sound() -> Iterator[Plan]:
        for path in paths:
            try:
                plan = renderer.load(path)
            except PlanError as error:
                errors.extend(error.all)
                continue
            numbers.append((path, plan.job.number))
            yield plan

    plans: Sequence[Plan] = tuple(sound()) if len(paths) < SHARED_FROM else _spilt(sound())
    return plans, errors, numbers


def _spilt(plans: Iterable[Plan]) -> Sequence[Plan]:
    from renderer.batch.spill import Spill

    return Spill(plans)
