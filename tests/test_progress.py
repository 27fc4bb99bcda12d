"""What a command that takes long tells of its work: after a while, on a terminal, cleared again."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from renderer import terminal
from renderer.progress import Work, doing, followed
from renderer.terminal import CLEAR, Line
from tests.plans import ROOT

PRACTICE = str(ROOT / "demo" / "practice-lawn.plan.yaml")
pytestmark = pytest.mark.own_work


class Clock:
    """A clock that stands still unless it is told how late it is."""

    now = 100.0

    def __call__(self) -> float:
        return self.now


def line_after(
    seconds: float, *stages: str, plain: bool = False
) -> tuple[Line, Callable[[float], str]]:
    """A line whose work is at some stages, and its look that many seconds after its beginning."""
    clock, work = Clock(), Work()
    line = Line(work, "check", plain, clock)
    work.stages = stages

    def look(later: float) -> str:
        clock.now = 100.0 + later
        return line.look()

    assert look(seconds) is not None
    return line, look


def test_stages_stand_in_each_other_and_count_their_steps() -> None:
    with followed() as work:
        with doing("job") as job:
            job(2, 9)
            with doing("laying FH-100"):
                assert work.stages == ("job 2 of 9", "laying FH-100")
            with doing("slip") as slip:
                slip(3, 0)
                assert work.stages == ("job 2 of 9", "slip 3")
            job(3, 9)
            assert work.stages == ("job 3 of 9",)
        assert work.stages == ()


def test_an_error_ends_its_stage() -> None:
    with followed() as work:
        with pytest.raises(ValueError, match="odd"), doing("laying FH-100"):
            raise ValueError("odd")
        assert work.stages == ()


def test_where_nobody_follows_a_stage_costs_nothing_and_tells_nothing() -> None:
    with doing("job") as job:
        job(1, 2)


def test_a_quick_command_shows_nothing_and_has_nothing_to_clear() -> None:
    line, look = line_after(0.0, "laying FH-100")
    assert look(2.9) == ""
    assert line.cleared() == ""


def test_on_a_terminal_one_line_is_written_over_and_cleared() -> None:
    line, look = line_after(0.0, "job 2 of 9", "laying FH-100")
    assert look(3.2) == "\rpegline: check: job 2 of 9, laying FH-100, 3 s\033[K"
    assert look(3.7) == "\rpegline: check: job 2 of 9, laying FH-100, 4 s\033[K"
    assert line.cleared() == CLEAR


def test_between_two_stages_nothing_is_told() -> None:
    _, look = line_after(0.0)
    assert look(30.0) == ""


def test_a_line_is_no_longer_than_the_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(terminal, "_columns", lambda: 24)
    _, look = line_after(0.0, "laying a garden with a long name")
    assert look(5.0) == "\rpegline: check: laying \033[K"


def test_asked_for_in_a_pipe_there_is_a_line_every_ten_seconds() -> None:
    line, look = line_after(0.0, "laying FH-100", plain=True)
    told = [look(second) for second in range(1, 35)]
    assert [each for each in told if each] == [
        f"pegline: check: laying FH-100, {second} s\n" for second in (3, 13, 23, 33)
    ]
    assert line.cleared() == ""


def test_a_pipe_gets_nothing_unasked(tmp_path: Path) -> None:
    assert print_slowly(tmp_path, subprocess.PIPE) == ""


def test_a_print_in_a_pipe_tells_of_its_work_where_asked(tmp_path: Path) -> None:
    told = print_slowly(tmp_path, subprocess.PIPE, PEGLINE_PROGRESS="1")
    assert re.match(r"pegline: print: laying FH-100, \d+ s\n", told)


@pytest.mark.skipif(not hasattr(os, "openpty"), reason="needs a terminal of its own")
def test_a_print_on_a_terminal_clears_its_line_before_its_last_words(tmp_path: Path) -> None:
    ours, theirs = os.openpty()
    print_slowly(tmp_path, theirs)
    os.set_blocking(ours, False)
    told = os.read(ours, 100_000).decode()
    assert re.match(r"\rpegline: print: laying FH-100, \d+ s\033\[K", told)
    assert told.removesuffix(CLEAR).rpartition(CLEAR)[2].startswith("pegline: wrote ")


@pytest.mark.skipif(not hasattr(os, "openpty"), reason="needs a terminal of its own")
def test_a_signal_clears_the_line_before_its_own(tmp_path: Path) -> None:
    ours, theirs = os.openpty()
    with pytest.raises(subprocess.CalledProcessError) as ended:
        print_slowly(tmp_path, theirs, PEGLINE_TEST_END="1")
    assert ended.value.returncode == 128 + signal.SIGTERM
    told = os.read(ours, 100_000).decode()
    assert "laying FH-100" in told
    assert told.rpartition(CLEAR)[2].startswith("pegline: stopped by SIGTERM;")


SLOW = """
import os, signal, sys, time
from renderer import cli, terminal
from renderer.ground import engine
import renderer.ground
terminal.PATIENCE_S = terminal.EVERY_S = 0.05
lay = renderer.ground.lay_plan
def slow(plan):
    time.sleep(0.3)
    if os.environ.get("PEGLINE_TEST_END"):
        os.kill(os.getpid(), signal.SIGTERM)
    return lay(plan)
renderer.ground.lay_plan = slow
cli.command()
"""


def print_slowly(folder: Path, told: int, **more: str) -> str:
    """What a print whose lay takes its time tells in a pipe; by a process of its own."""
    arguments = ["print", PRACTICE, "--layout", "wiring-map", "-o", str(folder / "out.pdf")]
    surroundings = {key: each for key, each in os.environ.items() if key != "PEGLINE_PROGRESS"}
    done = subprocess.run(
        [sys.executable, "-c", SLOW, *arguments],
        stderr=told,
        stdout=subprocess.PIPE,
        env=surroundings | more,
        cwd=ROOT,
        text=True,
        timeout=120,
        check=True,
    )
    assert done.stdout == ""
    return done.stderr or ""
