"""``pegline new`` as it is run: what it writes, what it never overwrites, how it exits."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from contextlib import chdir, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path

import pytest

from renderer.cli import main
from renderer.plan import schema
from tests.formats.test_questions import ANSWERS
from tests.formats.test_table import POINTS
from tests.formats.test_ties import KINDS, fixed, ties

ROOT = Path(__file__).resolve().parents[2]
SCHEMA = "pegline-plan.schema.json"


@dataclass(frozen=True)
class Done:
    """What a command left behind."""

    returncode: int
    stdout: str
    stderr: str


def run(folder: Path, *arguments: str) -> Done:
    """The command in a folder, in this process."""
    out, told = io.TextIOWrapper(io.BytesIO(), "utf-8"), io.StringIO()
    with chdir(folder), redirect_stdout(out), redirect_stderr(told):
        try:
            code = main(list(arguments))
        except SystemExit as left:
            code = int(left.code or 0)
        out.flush()
    return Done(code, out.buffer.getvalue().decode(), told.getvalue())  # type: ignore[attr-defined]


def piped(folder: Path, *arguments: str, text: str = "") -> subprocess.CompletedProcess[str]:
    """The command as a process of its own, with a text to read."""
    return subprocess.run(
        [sys.executable, "-m", "renderer", *arguments],
        cwd=folder,
        input=text,
        capture_output=True,
        text=True,
        env={"PYTHONPATH": str(ROOT), "PATH": ""},
        check=False,
    )


def test_answers_from_a_pipe_become_a_plan_that_checks(tmp_path: Path) -> None:
    done = piped(tmp_path, "new", "-o", "g.plan.yaml", text="\n".join(ANSWERS) + "\n")
    assert (done.returncode, done.stdout) == (0, "")
    first, second, *_ = (tmp_path / "g.plan.yaml").read_text().splitlines()
    assert first == f"# yaml-language-server: $schema={SCHEMA}"
    assert second.startswith("# Started by pegline new.")
    assert json.loads((tmp_path / SCHEMA).read_text("utf-8")) == schema()
    assert run(tmp_path, "check", "g.plan.yaml").returncode == 0


def test_a_table_becomes_a_plan_and_is_not_replaced(tmp_path: Path) -> None:
    (tmp_path / "g.csv").write_text(POINTS)
    new = ("new", "--from", "g.csv", "-o", "g.plan.yaml")
    assert run(tmp_path, *new).returncode == 0
    first = (tmp_path / "g.plan.yaml").read_text()
    again = run(tmp_path, *new, "--units", "ft")
    assert again.returncode == 2 and "is left as it is" in again.stderr
    assert (tmp_path / "g.plan.yaml").read_text() == first
    assert run(tmp_path, "check", "g.plan.yaml").returncode == 0


def test_a_notebook_of_ties_becomes_a_plan_that_checks(tmp_path: Path) -> None:
    (tmp_path / "ties.csv").write_text(ties("AB", kind=[*KINDS]))
    new = ("new", "--from", "ties.csv", "-o", "g.plan.yaml")
    new += tuple(word for each in fixed() for word in ("--fixed", each))
    refused = run(tmp_path, *new)
    assert refused.returncode == 2 and "Traceback" not in refused.stderr
    assert "ties.csv:2: p1: " in refused.stderr and "add --side left" in refused.stderr
    assert run(tmp_path, *new, "--side", "left").returncode == 0
    assert run(tmp_path, "check", "g.plan.yaml").returncode == 0
    assert run(tmp_path, "survey", "g.plan.yaml").returncode == 0


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("new", "-o", "g.plan.yaml"), "no answer to question 1 of 10"),
        (("new", "-o", "g.txt"), "use .yaml"),
        (("new", "-o", "g.yaml", "--units", "m"), "go with --from FILE"),
        (("new", "-o", "g.yaml", "--side", "left"), "go with --from FILE"),
        (("new", "-o", "g.yaml", "--from", "g.csv", "--fixed", "A=0,0"), "with a table of ties"),
        (("new", "-o", "g.yaml", "--from", "none.csv"), "none.csv: No such file"),
        (("new", "-o", "g.yaml", "--from", "g.csv", "--kinds", "hedge"), "write NAME=KIND"),
    ],
)
def test_a_mistake_is_one_line_and_writes_nothing(tmp_path: Path, arguments, said) -> None:
    (tmp_path / "g.csv").write_text(POINTS)
    done = piped(tmp_path, *arguments) if "question 1" in said else run(tmp_path, *arguments)
    assert done.returncode == 2 and said in done.stderr and "Traceback" not in done.stderr
    assert [each.name for each in tmp_path.iterdir()] == ["g.csv"]


@pytest.mark.parametrize(
    ("there", "stays"),
    [
        ('{"title": "Plan of a boundary wire", "old": 1}', False),
        ('{"title": "x"}', True),
        ("x", True),
    ],
)
def test_only_a_schema_of_ours_is_replaced(tmp_path: Path, there: str, stays: bool) -> None:
    (tmp_path / "g.csv").write_text(POINTS)
    (tmp_path / SCHEMA).write_text(there)
    assert run(tmp_path, "new", "--from", "g.csv", "-o", "g.plan.yaml").returncode == 0
    assert ((tmp_path / SCHEMA).read_text("utf-8") == there) == stays
