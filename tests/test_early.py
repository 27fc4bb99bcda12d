"""An interrupt ends the command with one line from its first statement on, and only the command."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.plans import ROOT

LINE = "pegline: stopped by SIGINT; no file is left half written\n"
INTERRUPT = "import os, signal\nos.kill(os.getpid(), signal.SIGINT)\n"
OURS = "import sys\nfrom renderer.cli import command\ncommand()\n"


@pytest.fixture
def interrupted_by(tmp_path: Path) -> Path:
    """A folder whose ``argparse``, which the command imports early on, is an interrupt."""
    (tmp_path / "argparse.py").write_text(INTERRUPT)
    (tmp_path / "bin").mkdir()
    return tmp_path


def run(folder: Path, *call: str) -> subprocess.CompletedProcess[str]:
    own = {"PYTHONPATH": os.pathsep.join((str(folder), str(ROOT)))}
    done = [sys.executable, *call, "--version"]
    return subprocess.run(done, env=os.environ | own, capture_output=True, text=True, check=False)


@pytest.mark.parametrize("kind", ["module", "script"])
def test_an_interrupt_while_the_command_is_imported_is_one_line(
    kind: str, interrupted_by: Path
) -> None:
    script = interrupted_by / "bin" / "pegline"
    script.write_text(OURS)
    ended = run(interrupted_by, *(("-m", "renderer") if kind == "module" else (str(script),)))
    assert (ended.returncode, ended.stderr) == (130, LINE)


def test_a_program_that_imports_the_library_is_interrupted_in_its_own_way(
    interrupted_by: Path,
) -> None:
    script = interrupted_by / "bin" / "garden_planner.py"
    script.write_text(OURS)
    ended = run(interrupted_by, str(script))
    assert ended.returncode != 130
    assert ended.stderr.endswith("KeyboardInterrupt\n")
    assert LINE not in ended.stderr
