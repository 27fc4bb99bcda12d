"""What docs/ shows is what happens: each file can be read, each command prints what is told."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from docs.press.shown import (
    DOCS,
    FILES,
    WAYS,
    Command,
    File,
    Session,
    answered_otherwise,
    matches,
    stale,
    steps,
    walked,
)
from renderer.cli import _parser

if TYPE_CHECKING:
    from pathlib import Path

PAGES = sorted(DOCS.rglob("*.md"))
MEND = "python -m docs.press.shown writes the pages anew"


@pytest.mark.parametrize("way", WAYS)
def test_a_way_can_be_walked_as_it_is_told(way: str, tmp_path: Path) -> None:
    wrong = [each for each in walked(way, tmp_path) if not each.by_pages_alone]
    assert not wrong, "\n".join([*map(str, wrong), MEND])
    assert stale(tmp_path) == [], MEND


def test_each_page_with_a_command_or_a_file_is_walked() -> None:
    walk = {page for way in WAYS.values() for page in way.pages}
    shows = {str(page.relative_to(DOCS)) for page in PAGES if list(steps(page.read_text("utf-8")))}
    assert shows == walk


def test_a_command_in_a_sentence_is_understood() -> None:
    for page in PAGES:
        for line in re.findall(r"`pegline ([^`\n]+)`", page.read_text("utf-8")):
            words = line.split()
            if words == ["--version"]:
                continue
            assert _parser().parse_args(words).run == words[0], f"{page.name}: {line}"


def test_no_code_block_is_passed_over() -> None:
    """Each is a command or a session that runs, a file, or what installs pegline itself."""
    for page in PAGES:
        text = page.read_text("utf-8")
        told = re.findall(r"^`{3,}([^`\n]+)$", text, re.MULTILINE)
        code = [each for each in told if not each.startswith("{")]
        captions = text.count("\n:caption: ") - text.count("```{toctree}\n:caption")
        held = [each for each in told if each.startswith(("{code-block}", "{literalinclude}"))]
        assert set(code) <= {"console", "pycon", "sh"}, page.name
        assert captions == len(held), page.name
        for block in re.findall(r"^```sh\n(.*?)^```", text, re.DOTALL | re.MULTILINE):
            assert re.fullmatch(r"python3 -m (pip install|sphinx) .*\n", block), page.name


def test_the_garden_as_built_is_the_garden_with_a_record() -> None:
    planned, built = (
        (FILES / f"{name}.plan.yaml").read_text("utf-8") for name in ("garden", "garden-built")
    )
    assert built.startswith(planned) and built.removeprefix(planned).startswith("as_built:")


def test_a_page_that_tells_something_else_is_found_out(tmp_path: Path) -> None:
    page = "```console\n$ pegline --version\npegline of old\n```\n"
    (command,) = steps(page)
    assert isinstance(command, Command) and command.says == "pegline of old\n"
    assert not matches(command.says, "pegline 1.0\n")
    assert matches("a\n...\nd\n", "a\nb\nc\nd\n") and not matches("a\n...\nd\n", "a\nb\n")
    captioned = "```{code-block} yaml\n:caption: a.yaml\n\nplan: 1\n```\n"
    assert list(steps(captioned)) == [File("a.yaml", "plan: 1\n")]


def test_a_session_that_answers_something_else_is_found_out(tmp_path: Path) -> None:
    (session,) = steps(
        "```pycon\n>>> import pegline\n>>> len(pegline.__version__) > 1\nFalse\n```\n"
    )
    assert isinstance(session, Session)
    assert "Got:\n    True" in answered_otherwise(session, tmp_path)
