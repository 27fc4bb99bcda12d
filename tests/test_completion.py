"""What a shell offers after ``pegline``: asked of bash itself, with the script that we write."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from renderer.cli import main

pytest.importorskip("shtab")
ASK = """
source ./script
COMP_WORDS=({words}) COMP_CWORD={last} COMP_LINE="{words}" COMP_POINT={length}
{function}
printf '%s\\n' "${{COMPREPLY[@]}}"
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Plans, and the script as the command writes it."""
    folder = tmp_path_factory.mktemp("shell")
    (folder / "garden.plan.yaml").touch()
    done = subprocess.run(
        [sys.executable, "-m", "renderer", "completion", "bash"],
        cwd=Path(__file__).parents[1],
        capture_output=True,
        text=True,
        check=True,
    )
    (folder / "script").write_text(done.stdout)
    return folder


@pytest.mark.skipif(shutil.which("bash") is None, reason="no bash on this machine")
@pytest.mark.parametrize(
    ("words", "offered"),
    [
        ("pegline pre", {"preview"}),
        ("pegline check --for", {"--format"}),
        ("pegline check --format s", {"sarif"}),
        ("pegline print gar", {"garden.plan.yaml"}),
        ("pegline preview gar", {"garden.plan.yaml"}),
        ("pegline completion z", {"zsh"}),
    ],
)
def test_bash_completes(folder: Path, words: str, offered: set[str]) -> None:
    script = (folder / "script").read_text()
    function = script[script.rindex("complete ") :].split(" -F ")[1].split()[0]
    last, length = len(words.split()) - 1, len(words)
    ask = ASK.format(words=words, last=last, length=length, function=function)
    done = subprocess.run(
        ["bash", "--norc", "-c", ask], cwd=folder, capture_output=True, text=True, check=False
    )
    assert set(done.stdout.split()) == offered, done.stderr


def test_zsh_gets_the_same_commands(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["completion", "zsh"]) == 0
    script = capsys.readouterr().out
    assert script.startswith("#compdef pegline") and "preview:" in script and "_files" in script


def test_another_shell_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["completion", "fish"])
    assert "'bash', 'zsh'" in capsys.readouterr().err


def test_without_the_library_it_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(sys.modules, "shtab", None)
    assert main(["completion", "bash"]) == 2
    assert "pip install 'pegline[completion]'" in capsys.readouterr().err
