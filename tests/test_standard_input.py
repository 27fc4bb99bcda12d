"""A plan from standard input, as an editor or another program hands it on."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest

from renderer.cli import main
from tests.plans import ROOT

SMALL = (ROOT / "demo" / "practice-lawn.plan.yaml").read_bytes()


@pytest.fixture(autouse=True)
def in_the_demo(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT / "demo")  # where the machine's file is looked for


def given(monkeypatch: pytest.MonkeyPatch, data: bytes) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data)))


def told(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    main([*arguments])
    return capsys.readouterr().out


def test_it_is_checked_and_laid_as_the_file_is(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    name = "practice-lawn.plan.yaml"
    for arguments in (("check",), ("check", "--format", "sarif"), ("lay",)):
        given(monkeypatch, SMALL)
        mine = told(capsys, *arguments, "-")
        named = mine.replace("-: FH-100", f"{name}: FH-100").replace(
            '"uri": "-"', f'"uri": "{name}"'
        )
        assert named == told(capsys, *arguments, name)
    drawn = [tmp_path / "a.svg", tmp_path / "b.svg"]
    given(monkeypatch, SMALL)
    assert main(["draw", "-", "-o", str(drawn[0])]) == 0
    assert main(["draw", name, "-o", str(drawn[1])]) == 0
    assert drawn[0].read_bytes() == drawn[1].read_bytes()


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (SMALL.replace(b"kind: bed", b"kind: bde"), "-:24: obstacles[0].kind: "),
        (b"", "-:1: the file is empty"),
        (b"job: \xff\n", "-:1: the file is not UTF-8 text"),
        (b"#" * 4_000_001, "-: the file is larger than 4 MB"),
    ],
    ids=["word", "empty", "bytes", "large"],
)
def test_a_mistake_in_it_has_its_line(
    data: bytes, says: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    given(monkeypatch, data)
    assert main(["check", "-"]) == 2
    assert says in capsys.readouterr().err
