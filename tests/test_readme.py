"""What README.md shows and promises holds: its plan, its calls, its commands, its exit codes."""

from __future__ import annotations

import dataclasses
import re
import shutil
import socket
import sys
from typing import TYPE_CHECKING

import pydantic
import pytest

import renderer
from renderer import terminal
from renderer.cli import _parser, main
from renderer.language import load_words
from renderer.plan.kinds import SIDE_KINDS
from renderer.sheets import layouts
from tests.plans import ROOT, demo_plans

if TYPE_CHECKING:
    from pathlib import Path

PAGE = (ROOT / "README.md").read_text("utf-8")


def shown(language: str) -> str:
    """The one piece of code of a language."""
    (code,) = re.findall(rf"```{language}\n(.*?)```", PAGE, re.DOTALL)
    return str(code)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder to work in that has the demo, as a checkout has."""
    shutil.copytree(ROOT / "demo", tmp_path / "demo")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_the_plan_that_is_shown_can_be_laid(tmp_path: Path) -> None:
    shutil.copy(ROOT / "demo/machine.yaml", tmp_path)
    path = tmp_path / "shown.plan.yaml"
    path.write_text(shown("yaml"), "utf-8")
    plan = renderer.load(path)
    assert (len(plan.lawns), len(plan.obstacles)) == (1, 2)
    assert [hit for hit in renderer.check(plan) if hit.level == "stop"] == []


def test_every_kind_of_side_is_named() -> None:
    (told,) = re.findall(r"The sides are (.*?); each", PAGE, re.DOTALL)
    assert re.findall(r"`(\w+)`", told) == list(SIDE_KINDS)


def test_the_calls_from_python_run(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(ROOT / "renderer/alias")  # where an install finds the name
    monkeypatch.setattr(sys, "meta_path", list(sys.meta_path))
    exec(shown("python"), {})
    for name in [name for name in sys.modules if name.split(".")[0] == "pegline"]:
        monkeypatch.delitem(sys.modules, name)
    assert (folder / "work-order.pdf").read_bytes().startswith(b"%PDF-")


def test_plan_and_lay_are_frozen() -> None:
    plan = renderer.load(demo_plans()[0])
    with pytest.raises(pydantic.ValidationError, match="frozen"):
        plan.lawns[0].name = "Other"
    lay = renderer.lay(plan)
    with pytest.raises(dataclasses.FrozenInstanceError):
        lay.loops = ()  # type: ignore[misc]
    with pytest.raises(ValueError, match="read-only"):
        lay.loops[0].path[0] = 0.0


# all that say more than the name of a command
COMMANDS = sorted({each for each in re.findall(r"`pegline (\w[^`\n]*)`", PAGE) if each != "print"})


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_that_is_written_out_is_understood(command: str) -> None:
    words = [word.removesuffix("...") for word in command.split()]
    assert _parser().parse_args(words).run == words[0]


def test_every_option_that_is_named_is_there(capsys: pytest.CaptureFixture[str]) -> None:
    helps = ""
    for command in ("print", "check", "lay", "draw", "new", "fault", "compare"):
        with pytest.raises(SystemExit):
            main([command, "--help"])
        helps += capsys.readouterr().out
    start, end = PAGE.index("## Commands"), PAGE.index("## From Python")
    named = set(re.findall(r"`(--[a-z]+)", PAGE[start:end]))
    assert len(named) > 6
    assert [option for option in sorted(named) if option not in helps] == []


def test_layouts_and_languages_that_are_named_are_there() -> None:
    known = {name for name, _ in layouts()}
    assert set(re.findall(r"--layout ([a-z-]+)", PAGE)) <= known
    assert "first-visit" in known
    named = {"de", *re.findall(r"\(`([a-z]{2})`\)", PAGE)}
    assert named == {"de", "es", "fr"} and "all three as drafts" in PAGE
    assert all(load_words(code).is_draft for code in named)


def test_exit_codes_are_those_of_the_command() -> None:
    told = [int(code) for code in re.findall(r"^\| (\d) \|", PAGE, re.MULTILINE)]
    assert told == [terminal.EXIT_FINE, terminal.EXIT_STOPPED, terminal.EXIT_INVALID]


def test_there_are_four_gardens() -> None:
    assert "five gardens" in PAGE and len(demo_plans()) == 5


def test_a_class_has_its_key_in_a_file_of_its_own(folder: Path) -> None:
    job = "demo/practice-lawn.plan.yaml"
    assert main(["print", job, "--class", "2", "--seed", "7", "-o", "class.pdf"]) == 0
    made = {path.name for path in folder.iterdir()} - {"demo"}
    assert made == {"class.pdf", "class-key.pdf"}


def test_no_network_is_needed(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: object, **__: object) -> None:
        raise AssertionError("a connection was asked for")

    for name in ("socket", "create_connection", "getaddrinfo"):
        monkeypatch.setattr(socket, name, refused)
    assert main(["print", "demo/practice-lawn.plan.yaml", "-o", "a.pdf"]) == 0
    assert main(["draw", "demo/practice-lawn.plan.yaml", "-o", "a.png"]) == 0


MAINS_WORK = r"(?i)\b(live (wire|conductor)|neutral|circuit breaker|consumer unit|junction box)\b"


@pytest.mark.parametrize("part", ["", "findings"])
def test_nothing_tells_how_to_do_mains_wiring(part: str) -> None:
    """What is said of mains names the electrician, never a conductor or how it is connected."""
    words = load_words("en", part)
    assert any("electrician" in text for text in words.values())
    assert [text for text in words.values() if re.search(MAINS_WORK, text)] == []
