"""A plan from standard input, and a print to standard output, as other programs hand them on."""

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


@pytest.mark.parametrize(
    ("command", "ending"), [("draw", "svg"), ("print", "pdf"), ("fault", "pdf")]
)
def test_standard_output_gets_the_bytes_of_the_file_and_nothing_else(
    command: str, ending: str, tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    more = ["--reads", "open"] if command == "fault" else []
    file = tmp_path / f"a.{ending}"
    plan = "practice-lawn.plan.yaml"
    assert main([command, plan, *more, "-o", str(file)]) == 0
    capfdbinary.readouterr()
    assert main([command, plan, *more, "-o", "-"]) == 0
    out, err = capfdbinary.readouterr()
    assert out == file.read_bytes() and err == b""
    assert not (ROOT / "demo" / "-").exists()


def test_a_mistake_leaves_standard_output_empty(
    tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    wrong = tmp_path / "wrong.plan.yaml"
    wrong.write_bytes(SMALL.replace(b"kind: bed", b"kind: bde"))
    assert main(["print", str(wrong), "-o", "-"]) == 2
    out, err = capfdbinary.readouterr()
    assert out == b"" and b"obstacles[0].kind" in err


def test_a_terminal_is_not_sent_the_bytes_of_a_pdf(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("renderer.commands.common.is_shown", lambda: True)
    assert main(["print", "practice-lawn.plan.yaml", "-o", "-"]) == 2
    assert "standard output is a terminal" in capsys.readouterr().err
