"""The demo's day from inside the package, for whoever has no clone."""

from __future__ import annotations

from pathlib import Path

import pytest

from renderer import load_day
from renderer.cli import main
from tests.plans import ROOT

NAMES = sorted(path.name for path in (ROOT / "demo").glob("*.yaml"))


def files(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_the_day_is_written_as_it_is_and_can_be_used(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["demo"]) == 0
    folder = tmp_path / "pegline-demo"
    assert files(folder) == NAMES
    for name in NAMES:
        assert (folder / name).read_bytes() == (ROOT / "demo" / name).read_bytes()
    told = capsys.readouterr().out
    assert f"{len(NAMES)} files" in told
    day, plans = load_day(folder / "fernhill.day.yaml")
    assert len(plans) == len(day.jobs) == 3
    named = {word for line in told.splitlines()[2:] for word in line.split() if ".yaml" in word}
    assert named <= set(NAMES)


def test_nothing_is_written_over_and_nothing_half(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "machine.yaml").write_text("mine\n")
    assert main(["demo", str(tmp_path)]) == 2
    assert files(tmp_path) == ["machine.yaml"]
    assert (tmp_path / "machine.yaml").read_text() == "mine\n"
    assert "is left as it is; name another folder" in capsys.readouterr().err


def test_a_folder_that_is_there_and_has_other_things_is_fine(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine\n")
    assert main(["demo", str(tmp_path)]) == 0
    assert files(tmp_path) == sorted([*NAMES, "notes.txt"])


@pytest.mark.parametrize("where", ["no/such/folder", "file/inside"])
def test_where_no_folder_can_be_made_it_says_so(
    where: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").write_text("")
    assert main(["demo", str(tmp_path / where)]) == 2
    assert "cannot make the folder" in capsys.readouterr().err
