"""Jobs shared out over processes: the bytes of one process, errors as of one, few values held."""

from __future__ import annotations

import os
import pickle
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

import renderer
from renderer.batch.workers import AHEAD, Workers
from renderer.drawing import DrawError
from renderer.plan.errors import PlanError
from renderer.sheets import SheetError
from renderer.text import MissingGlyph
from tests.plans import ROOT

pytestmark = pytest.mark.own_work

LAWN = ROOT / "demo/practice-lawn.plan.yaml"


def slow_first(value: int) -> tuple[int, int]:
    if value == 0:
        time.sleep(0.3)
    return value, os.getpid()


def refused(value: int) -> int:
    if value == 3:
        raise SheetError("block plan", "it does not fit", "choose a smaller scale")
    return value


def test_results_come_in_order_and_from_other_processes() -> None:
    with Workers(2) as workers:
        found = list(workers.map(slow_first, range(20)))
    assert [value for value, _ in found] == list(range(20))
    assert os.getpid() not in {process for _, process in found}


def test_one_process_does_all_itself() -> None:
    with Workers(1) as workers:
        assert list(workers.map(slow_first, [1])) == [(1, os.getpid())]


def test_no_more_values_are_taken_than_there_is_room_for() -> None:
    taken = []

    def values() -> Iterator[int]:
        for value in range(100):
            taken.append(value)
            yield value

    with Workers(2) as workers:
        next(workers.map(slow_first, values()))
        assert len(taken) == 2 * AHEAD


def test_an_error_of_a_worker_is_raised_as_it_is() -> None:
    with Workers(2) as workers, pytest.raises(SheetError, match="plan: it does not fit; choose"):
        list(workers.map(refused, range(20)))


@pytest.mark.parametrize(
    "error",
    [
        SheetError("block plan", "it does not fit", "choose a smaller scale"),
        DrawError("1:50 does not fit"),
        MissingGlyph("\u4e2d", "regular", "plan A-1"),
        PlanError("a.yaml", 3, "lawns[0]", "it is open", "close it"),
    ],
)
def test_errors_can_go_from_one_process_to_another(error: Exception) -> None:
    again = pickle.loads(pickle.dumps(error))
    assert type(again) is type(error)
    assert str(again) == str(error)
    assert vars(again) == vars(error)


def test_two_processes_print_the_bytes_of_one(tmp_path: Path) -> None:
    plan = renderer.load(LAWN)
    plans = [
        plan.model_copy(update={"job": plan.job.model_copy(update={"number": f"W-{number}"})})
        for number in range(3)
    ]
    assert renderer.print_sheets(plans, processes=2) == renderer.print_sheets(plans)


def test_the_command_shares_the_jobs_out(tmp_path: Path) -> None:
    written = []
    shutil.copy(LAWN.with_name("machine.yaml"), tmp_path)
    plans = [tmp_path / f"{number}.plan.yaml" for number in range(3)]
    for plan in plans:
        text = LAWN.read_text("utf-8")
        plan.write_text(text.replace("number: FH-100", f"number: {plan.name}"), "utf-8")
    for count in ("1", "2"):
        output = tmp_path / f"by-{count}.pdf"
        words = ["print", *map(str, plans), "-o", str(output), "--processes", count]
        subprocess.run(
            [sys.executable, "-m", "renderer", *words], cwd=ROOT, check=True, timeout=300
        )
        written.append(output.read_bytes())
    assert written[0] == written[1]
