"""Fixtures that run a test once for each plan there is."""

from __future__ import annotations

import gc
import os
import shutil
import sys
import tempfile
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

from tests import shared
from tests.plans import demo_plans, example_plans

if TYPE_CHECKING:
    from pathlib import Path

# The same examples at each run, and no test fails for a slow machine; searches ask for more.
settings.register_profile("pegline", derandomize=True, deadline=None, database=None)
settings.load_profile("pegline")

# The arrays here are small: threads of their own take time from the run's other processes.
os.environ.setdefault("OMP_NUM_THREADS", "1")

# PyMuPDF loads models that guess at the layout of a page as soon as it is imported; no test asks.
sys.modules.setdefault("pymupdf.layout", None)  # type: ignore[arg-type]


def pytest_configure(config: pytest.Config) -> None:
    """A folder for what the processes of this run share; the first of them makes it."""
    if shared.FOLDER not in os.environ:
        folder = tempfile.mkdtemp(prefix="pegline-tests-")
        os.environ[shared.FOLDER] = folder
        config.add_cleanup(lambda: shutil.rmtree(folder, ignore_errors=True))
        config.add_cleanup(lambda: os.environ.pop(shared.FOLDER, None))
    runs_tests = hasattr(config, "workerinput") or not config.getoption("numprocesses", None)
    if runs_tests and sys.dont_write_bytecode and "PYTHONPYCACHEPREFIX" not in os.environ:
        # each process that a test starts would compile all that it imports
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
        os.environ["PYTHONPYCACHEPREFIX"] = os.path.join(os.environ[shared.FOLDER], "compiled")
    config.addinivalue_line("markers", "own_work: lays and checks what is its own, shares nothing")


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item: pytest.Item) -> None:
    """Jobs share their lays and findings, unless a test asks for work of its own."""
    shared.serve_jobs(item.get_closest_marker("own_work") is None)


def pytest_collection_finish() -> None:
    """What stays until the end is not looked through for garbage again and again.

    The command itself runs with a fifth of the first figure; a run of the tests has more memory.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(1_000_000, 20, 20)


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """``demo_plan``, ``example_plan`` and ``any_plan`` stand for the path of each such plan."""
    paths = {
        "demo_plan": demo_plans(),
        "example_plan": example_plans(),
        "any_plan": [*demo_plans(), *example_plans()],
    }
    for name, found in paths.items():
        if name in metafunc.fixturenames:
            metafunc.parametrize(name, [_param(path) for path in found] or [_absent(name)])


def _param(path: Path) -> object:
    return pytest.param(path, id=path.name.removesuffix(".plan.yaml"))


def _absent(name: str) -> object:
    return pytest.param(None, marks=pytest.mark.skip(reason=f"no plan here for {name}"))
