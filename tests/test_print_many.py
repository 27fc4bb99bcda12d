"""Many jobs over several processes: each file is what one process alone makes of it."""

from __future__ import annotations

import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING

import pytest

import renderer
from tests.plans import ROOT
from tests.shared import print_sheets

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.own_work

NAMES = ("practice-lawn", "quarry-lane")


def print_many(folder: Path, *more: str) -> None:
    jobs = [str(ROOT / f"demo/{name}.plan.yaml") for name in NAMES]
    script = str(ROOT / "demo/print_many.py")
    path = os.pathsep.join(filter(None, (str(ROOT), os.environ.get("PYTHONPATH"))))
    subprocess.run(
        [sys.executable, script, *jobs, "--to", str(folder), *more],
        env=os.environ | {"PYTHONPATH": path},
        check=True,
        timeout=300,
    )


def assert_as_alone(folder: Path) -> None:
    assert sorted(file.stem for file in folder.iterdir()) == sorted(NAMES)
    for name in NAMES:
        plan = renderer.load(ROOT / f"demo/{name}.plan.yaml")
        assert (folder / f"{name}.pdf").read_bytes() == print_sheets([plan], draft=True)


def test_a_process_a_core_gives_the_bytes_of_one_process(tmp_path: Path) -> None:
    print_many(tmp_path)
    assert_as_alone(tmp_path)


def test_threads_at_once_print_the_bytes_of_one_after_the_other() -> None:
    plans = [renderer.load(ROOT / f"demo/{name}.plan.yaml") for name in NAMES]
    alone = [print_sheets([plan], draft=True) for plan in plans]
    with ThreadPoolExecutor(2) as pool:
        at_once = list(pool.map(lambda plan: renderer.print_sheets([plan], draft=True), plans * 2))
    assert at_once == alone * 2


def test_dask_workers_give_the_bytes_of_one_process(tmp_path: Path) -> None:
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(
        n_workers=1,
        threads_per_worker=1,
        processes=False,
        protocol="tcp://",
        dashboard_address=None,
    ) as cluster:
        print_many(tmp_path, "--dask", cluster.scheduler_address)
    assert_as_alone(tmp_path)
