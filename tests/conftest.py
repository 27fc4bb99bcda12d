"""Fixtures that run a test once for each plan there is."""

from __future__ import annotations

import os
import shutil
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


def pytest_configure(config: pytest.Config) -> None:
    """A folder for what the processes of this run share; the first of them makes it."""
    if shared.FOLDER not in os.environ:
        folder = tempfile.mkdtemp(prefix="pegline-tests-")
        os.environ[shared.FOLDER] = folder
        config.add_cleanup(lambda: shutil.rmtree(folder, ignore_errors=True))
        config.add_cleanup(lambda: os.environ.pop(shared.FOLDER, None))


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
