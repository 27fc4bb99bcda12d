"""What tests share is what they would have worked out: by its contents, once, never a failure."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from renderer import ground
from renderer.job import Job
from renderer.plan import load
from renderer.sheets import load_layout
from tests import shared
from tests.plans import ROOT, demo_plans
from tests.shared import compose, digest, job_of, lay_plan, once, record

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.own_work

LAWN = next(path for path in demo_plans() if path.name.startswith("practice"))
IN_A_PROCESS = """
import sys
from dataclasses import replace
from renderer.ground import lay_plan
from renderer.plan import load
from tests.shared import digest
plan = load(sys.argv[1])
print(digest((plan, lay_plan(plan))))
"""
made: list[object] = []


def counted(value: object) -> object:
    made.append(value)
    if value == "broken":
        raise ValueError(value)
    return [value]


@pytest.fixture(autouse=True)
def alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(shared.FOLDER, str(tmp_path))
    monkeypatch.setattr(shared, "_near", type(shared._near)())
    made.clear()


def forget() -> None:
    """As another process of the run, which has only the folder."""
    shared._near.clear()


def test_a_value_is_made_once_for_all_processes_of_a_run() -> None:
    first = once(counted, 1)
    assert once(counted, 1) is first
    forget()
    assert once(counted, 1) == first == [1]
    assert once(counted, 2) == [2]
    assert made == [1, 2]


def test_another_run_makes_it_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    once(counted, 1)
    forget()
    (tmp_path / "next").mkdir()
    monkeypatch.setenv(shared.FOLDER, str(tmp_path / "next"))
    once(counted, 1)
    assert made == [1, 1]


def test_a_process_keeps_the_last_ones_only() -> None:
    for number in range(shared.NEAR + 5):
        once(counted, number)
    assert len(shared._near) == shared.NEAR
    once(counted, 0)
    assert len(made) == shared.NEAR + 5


def test_an_error_is_not_kept() -> None:
    for _ in range(2):
        with pytest.raises(ValueError, match="broken"):
            once(counted, "broken")
    assert len(made) == 2


@pytest.mark.parametrize("seed", ["1", "2"])
def test_equal_values_have_one_digest_in_every_process(seed: str) -> None:
    run = [sys.executable, "-c", IN_A_PROCESS, str(LAWN)]
    told = subprocess.run(
        run,
        env=os.environ | {"PYTHONHASHSEED": seed},
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    plan = load(LAWN)
    assert told.stdout.strip() == digest((plan, lay_plan(plan)))
    forget()
    assert told.stdout.strip() == digest((plan, lay_plan(plan)))


def test_whatever_is_changed_changes_the_digest() -> None:
    plan = load(LAWN)
    wire = plan.wire.model_copy(update={"spools": (25.0, 45.0)})
    far = load(LAWN)
    far.keep_origin((649000.0, 5412000.0))
    job = Job.known(plan, lay_plan(plan), ())
    other = lay_plan(plan.model_copy(update={"wire": wire}))
    values = (
        plan,
        plan.model_copy(update={"wire": wire}),
        far,
        job,
        Job(plan),
        Job.known(plan, other, ()),
        job_of(plan),
        Job.known(plan, job.lay, (), "sha256:" + "0" * 64),
        load_layout("wiring-map"),
        load_layout("crew-work-order"),
    )
    assert len(set(map(digest, values))) == len(values)


def test_what_a_job_has_worked_out_since_changes_no_digest() -> None:
    job = job_of(load(LAWN))
    before = digest(job)
    assert job.minutes and job.cautions and job.readings
    assert digest(job) == before


def test_what_is_shared_is_what_the_calls_give() -> None:
    import renderer

    plan = load(LAWN)
    layout = load_layout("crew-work-order")
    for _ in range(2):
        job = job_of(plan)
        assert digest(job.lay) == digest(ground.lay_plan(plan))
        assert job.findings == renderer.prepare(plan).findings
        document = compose([job], layout, paper="A4")
        printed = renderer.compose_sheets([plan], paper="A4", draft=False)
        assert document == replace(printed, attachments=())
        assert record(document) is record(document)
        pdf = shared.print_sheets([plan], paper="A4")
        assert pdf == renderer.print_sheets([plan], paper="A4")
        forget()


def test_jobs_have_their_lays_and_findings_from_here_unless_they_work_alone() -> None:
    alone = Job(load(LAWN))
    shared.serve_jobs(True)
    try:
        served = Job(load(LAWN))
        assert Job(load(LAWN)).lay is served.lay is lay_plan(served.plan)
        assert Job(load(LAWN)).findings is served.findings
        assert ground.lay_plan is shared.lay_plan
    finally:
        shared.serve_jobs(False)
    assert ground.lay_plan is not shared.lay_plan
    assert Job(load(LAWN)).lay is not alone.lay is not served.lay
    assert digest(served.lay) == digest(alone.lay) and served.findings == alone.findings


def test_the_sheets_of_a_class_share_the_plates_of_their_job() -> None:
    from renderer.language import load_words
    from renderer.sheets.blocks import fault_plates

    job, other, own = (job_of(load(LAWN)), Job(load(LAWN)), fault_plates.plates)
    shared.serve_jobs(True)
    try:
        served = fault_plates.plates(job, load_words(), 100.0)
        assert fault_plates.plates(job, load_words(), 100.0) is served
        for asked in ((other, load_words(), 100.0), (job, load_words("de"), 100.0)):
            assert fault_plates.plates(*asked) is not served
        assert fault_plates.plates(job, load_words(), 1000.0) is not served
    finally:
        shared.serve_jobs(False)
    assert fault_plates.plates is own
    plain = own(job, load_words(), 100.0)
    assert [plate.key for plate in plain.plates] == [plate.key for plate in served.plates]
    assert digest(plain.skipped) == digest(served.skipped)
