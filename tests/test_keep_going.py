"""A pack with bad jobs among sound ones: they are named, and nothing sound is lost."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pypdf
import pytest

from renderer.cli import main
from tests.plans import ROOT

DEMO = ROOT / "demo"
DAY = "day: 1\ndate: 2026-06-09\njobs:\n"
STOCK = "stock:\n  spools: [100, 100]\n"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Plans: two sound ones, two with a mistake, and one whose wire is too long for its source."""
    text = (DEMO / "practice-lawn.plan.yaml").read_text("utf-8")
    machine = (DEMO / "machine.yaml").read_text("utf-8")
    (tmp_path / "machine.yaml").write_text(machine, "utf-8")
    (tmp_path / "weak.yaml").write_text(machine.replace("loop_max: 600", "loop_max: 20"), "utf-8")
    for name, old, new in (
        ("one", "FH-100", "K-1"),
        ("two", "FH-100", "K-2"),
        ("kind", "kind: bed", "kind: bad"),
        ("key", "number: FH-100", "numbre: FH-100"),
        ("stop", "FH-100", "K-5"),
    ):
        assert old in text
        plan = text.replace(old, new)
        if name == "stop":
            plan = plan.replace("machine.yaml", "weak.yaml")
        (tmp_path / f"{name}.plan.yaml").write_text(plan, "utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def printed(folder: Path) -> set[str]:
    """The job numbers in the pack's text."""
    text = "".join(page.extract_text() for page in pypdf.PdfReader(folder / "pack.pdf").pages)
    return {number for number in ("K-1", "K-2", "K-5") if number in text}


def run(*jobs: str) -> int:
    return main(["print", *jobs, "--keep-going", "-o", "pack.pdf"])


def test_sound_jobs_are_printed_and_bad_ones_named_first_and_last(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code = run(
        "kind.plan.yaml", "one.plan.yaml", "key.plan.yaml", "two.plan.yaml", "stop.plan.yaml"
    )
    first, second, third, *rest, last = capsys.readouterr().err.splitlines()
    assert code == 1
    assert first.startswith("pegline: kind.plan.yaml:") and "did you mean 'bed'" in first
    assert second.startswith("pegline: key.plan.yaml:") and "did you mean 'number'" in second
    assert third.startswith("pegline: K-5: ") and all(
        line.startswith("pegline: K-5") for line in rest
    )
    assert last == "pegline: not in pack.pdf: kind.plan.yaml, key.plan.yaml, K-5"
    assert printed(folder) == {"K-1", "K-2"}


def test_a_day_goes_on_without_its_bad_jobs(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    jobs = ("one", "gone", "kind", "two", "stop")
    rows = "".join(f"  - {{plan: {name}.plan.yaml, drive: 10}}\n" for name in jobs)
    (folder / "round.day.yaml").write_text(DAY + rows + STOCK, "utf-8")
    assert main(["print", "round.day.yaml", "-o", "pack.pdf"]) == 2
    capsys.readouterr()
    assert not (folder / "pack.pdf").exists()
    assert run("round.day.yaml") == 1
    lines = capsys.readouterr().err.splitlines()
    assert lines[0].startswith("pegline: round.day.yaml:5: jobs[1].plan: the plan 'gone.plan.yaml'")
    assert lines[1].startswith("pegline: kind.plan.yaml:")
    assert lines[-1] == "pegline: not in pack.pdf: gone.plan.yaml, kind.plan.yaml, K-5"
    assert printed(folder) == {"K-1", "K-2"}


def test_a_job_that_cannot_be_drawn_is_left_out_too(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Texts that no face has letters for stand in a plan that is sound otherwise."""
    for name, old, new in (("one", "K-1", "K-6"), ("two", "K-2", "K-7")):
        text = (folder / f"{name}.plan.yaml").read_text("utf-8")
        text = text.replace(f"number: {old}", f"number: {new}").replace("crew: ", "crew: 日")
        (folder / f"odd-{name}.plan.yaml").write_text(text, "utf-8")
    jobs = ("odd-one", "one", "stop", "odd-two")
    assert run(*(f"{name}.plan.yaml" for name in jobs)) == 1
    told = capsys.readouterr().err.splitlines()
    assert sum(line.startswith("pegline: K-6: ") and "日" in line for line in told) == 1
    assert sum(line.startswith("pegline: K-7: ") and "日" in line for line in told) == 1
    assert told[-1] == "pegline: not in pack.pdf: K-5, K-6, K-7"
    assert printed(folder) == {"K-1"}
    os.remove("pack.pdf")
    assert run("odd-one.plan.yaml", "odd-two.plan.yaml") == 2
    assert not (folder / "pack.pdf").exists()


def test_where_no_job_is_sound_nothing_is_printed(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("kind.plan.yaml", "key.plan.yaml") == 2
    assert len(capsys.readouterr().err.splitlines()) == 2
    assert run("stop.plan.yaml") == 1
    assert "--draft" in capsys.readouterr().err.splitlines()[-1]
    assert not (folder / "pack.pdf").exists()


def test_where_all_are_sound_it_changes_nothing(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("one.plan.yaml", "two.plan.yaml") == 0
    with_it = (folder / "pack.pdf").read_bytes()
    os.remove(folder / "pack.pdf")
    assert main(["print", "one.plan.yaml", "two.plan.yaml", "-o", "pack.pdf"]) == 0
    assert (folder / "pack.pdf").read_bytes() == with_it
    assert capsys.readouterr().err == ""


def test_one_plan_twice_is_still_refused(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shutil.copy("one.plan.yaml", "again.plan.yaml")
    assert run("one.plan.yaml", "again.plan.yaml") == 2
    assert "also has the job number 'K-1'" in capsys.readouterr().err
