"""A job's parts: made when they are asked for, once, and kept through a pickle."""

from __future__ import annotations

import pickle
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import FrozenInstanceError
from importlib import import_module
from pathlib import Path
from threading import Thread
from typing import Any

import pytest

import renderer
from renderer.ground.gauges import Board
from renderer.job import Job, Jobs, prepare
from renderer.options import PrintKeywords, PrintOptions
from renderer.plan.model import Plan
from tests.plans import ROOT

pytestmark = pytest.mark.own_work

LAWN = ROOT / "demo/practice-lawn.plan.yaml"
LANE = ROOT / "demo/quarry-lane.plan.yaml"
# What is worked out for a whole job, where it is called from: by parts of the job and by checks.
COUNTED = {
    "ground.engine.lay_plan": "renderer.ground.lay_plan",
    "checks.check_plan": "renderer.checks.check_plan",
    "checks.cautions": "renderer.checks.cautions",
    "gauges": "renderer.ground.gauges.gauges",
    "references": "renderer.ground.references.references",
    "tapes": "renderer.ground.tapes.tapes_of",
    "minutes": "renderer.ground.minutes.crew_minutes",
}


@pytest.fixture
def calls(monkeypatch: pytest.MonkeyPatch) -> Iterator[Counter[str]]:
    """How often each of ``COUNTED`` was called."""
    found: Counter[str] = Counter()

    def counted(name: str, function: Callable[..., Any]) -> Callable[..., Any]:
        def called(*args: Any, **more: Any) -> Any:
            found[name] += 1
            return function(*args, **more)

        return called

    for name, path in COUNTED.items():
        module, _, function = path.rpartition(".")
        home = import_module(module)
        monkeypatch.setattr(home, function, counted(name, getattr(home, function)))
    yield found


@pytest.mark.parametrize("layout", ["crew-work-order", "wiring-map"])
def test_a_print_works_out_each_part_once(calls: Counter[str], layout: str) -> None:
    renderer.print_sheets([renderer.load(LANE)], layout=layout, draft=True)
    assert all(calls[name] <= 1 for name in COUNTED), calls
    assert calls["ground.engine.lay_plan"] == calls["checks.check_plan"] == 1


def test_a_prepared_job_is_laid_and_checked_once_for_all_calls(calls: Counter[str]) -> None:
    job = renderer.prepare(renderer.load(LAWN))
    assert not calls
    renderer.check(job)
    renderer.lay(job)
    renderer.draw(job)
    renderer.print_sheets([job], draft=True)
    renderer.print_sheets([job], layout="wiring-map", draft=True)
    renderer.print_sheets([job], draft=True, language="de")
    renderer.check(job, language="fr")
    assert calls["ground.engine.lay_plan"] == calls["checks.check_plan"] == 1


def test_a_job_prints_what_its_plan_prints() -> None:
    plan = renderer.load(LAWN)
    job = renderer.prepare(plan)
    assert renderer.print_sheets([job]) == renderer.print_sheets([plan])
    assert renderer.draw(job, "svg") == renderer.draw(plan, "svg")
    assert renderer.check(job, language="de") == renderer.check(plan, language="de")
    assert renderer.print_sheets([job, job]) == renderer.print_sheets([plan, plan])


def test_a_job_cannot_be_changed() -> None:
    job = prepare(renderer.load(LAWN))
    with pytest.raises(FrozenInstanceError):
        job.plan = job.plan  # type: ignore[misc]


def test_a_pickled_job_keeps_the_parts_that_it_has(calls: Counter[str]) -> None:
    job = prepare(renderer.load(LANE))
    assert job.findings and job.setting.gauges and job.digest
    again = pickle.loads(pickle.dumps(job))
    before = Counter(calls)
    assert again.findings == job.findings
    assert again.setting.gauges == job.setting.gauges
    assert calls == before
    assert renderer.print_sheets([again], draft=True) == renderer.print_sheets([job], draft=True)


def moved(plan: Plan, number: str) -> Plan:
    return plan.model_copy(update={"job": plan.job.model_copy(update={"number": number})})


def test_jobs_are_kept_by_what_their_plans_say() -> None:
    jobs, plan = Jobs(most=2), renderer.load(LAWN)
    first = jobs.prepare(plan)
    assert jobs.prepare(renderer.load(LAWN)) is first
    assert jobs.prepare(moved(plan, "X-1")) is not first
    assert jobs.prepare(plan) is first
    jobs.prepare(moved(plan, "X-2"))
    assert len(jobs) == 2
    assert jobs.prepare(plan) is first


def test_what_a_job_is_made_from_tells_it_from_others(tmp_path: Path) -> None:
    plan = renderer.load(LAWN)
    keys = {
        Job(plan).key,
        Job(moved(plan, "X-1")).key,
        Job(plan, english=plan).key,
        Job(plan, boards=(Board("G1", 0.3),)).key,
    }
    assert len(keys) == 4
    copy = tmp_path / "copy.yaml"
    copy.write_text(LAWN.read_text("utf-8") + "\n# a remark\n", "utf-8")
    (tmp_path / "machine.yaml").write_bytes((ROOT / "demo/machine.yaml").read_bytes())
    remarked = renderer.load(copy)
    assert Job(remarked).key == Job(plan).key
    jobs = Jobs()
    kept = jobs.prepare(plan)
    laid = kept.lay
    again = jobs.prepare(remarked)
    assert again.lay is laid
    assert "# a remark" in again.plan.source.files[0].text
    assert "# a remark" not in kept.plan.source.files[0].text


def test_threads_share_one_job() -> None:
    jobs, plan = Jobs(), renderer.load(LAWN)
    found: list[Job] = []
    threads = [Thread(target=lambda: found.append(jobs.prepare(plan))) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(set(map(id, found))) == 1


def test_the_options_are_the_keywords() -> None:
    assert set(PrintKeywords.__annotations__) == set(PrintOptions.__dataclass_fields__)


def test_options_say_what_keywords_say() -> None:
    plan = renderer.load(LAWN)
    options = renderer.PrintOptions(paper="Letter", language="de", fields=True)
    assert renderer.print_sheets([plan], options) == renderer.print_sheets(
        [plan], paper="Letter", language="de", fields=True
    )
