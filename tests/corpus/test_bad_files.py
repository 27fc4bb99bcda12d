"""Each file with a mistake gets its message: file, line, key and cure, exit 2, nothing written.

``bad.yaml`` holds a demo file's name, the text that is replaced, what stands there instead, and all
lines of the answer. ``python -m tests.corpus.test_bad_files`` writes the answers anew, to be read
one by one before they are kept.
"""

from __future__ import annotations

import contextlib
import io
import os
import re
import shutil
import sys
import tempfile
from collections.abc import Iterator
from itertools import takewhile
from pathlib import Path
from typing import Any

import pytest
import yaml

from renderer.cli import main
from tests.plans import ROOT

CORPUS = Path(__file__).with_name("bad.yaml")
LEAST = 250
PRINT = ("--draft", "-o", "out.pdf")
OWN = "own-"  # a layout of one's own, beside this file


def cases() -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = yaml.safe_load(CORPUS.read_text("utf-8"))
    return found


def command(name: str) -> list[str]:
    """What reads the file: a check, or a print for a day or a layout."""
    if name.startswith(OWN):
        jobs = [] if "survey-form" in name else ["practice-lawn.plan.yaml"]
        return ["print", *jobs, "--layout", f"./{name}", *PRINT]
    if name.endswith(".day.yaml"):
        return ["print", name, *PRINT]
    return ["check", "quarry-lane.plan.yaml" if name == "machine.yaml" else name]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A copy of the demo's files, where the process stands while it reads them."""
    place = tmp_path_factory.mktemp("corpus")
    before = os.getcwd()
    fill(place)
    os.chdir(place)
    yield place
    os.chdir(before)


def fill(place: Path) -> None:
    for path in (ROOT / "demo").glob("*.yaml"):
        shutil.copy(path, place)
    for path in CORPUS.parent.glob(f"{OWN}*.yaml"):
        shutil.copy(path, place)


def answer(case: dict[str, Any], folder: Path) -> tuple[object, list[str]]:
    """Exit code and lines on standard error."""
    path = folder / case["file"]
    text = path.read_text("utf-8")
    assert text.count(case["replace"]) == 1, case
    path.write_text(text.replace(case["replace"], case["with"]), "utf-8")
    told = io.StringIO()
    try:
        with (
            contextlib.redirect_stderr(told),
            contextlib.redirect_stdout(io.TextIOWrapper(io.BytesIO(), "utf-8")),
        ):
            code = main(command(case["file"]))
    finally:
        path.write_text(text, "utf-8")
    return code, told.getvalue().splitlines()


def place_of(case: dict[str, Any]) -> int:
    """The line, counted in the file itself, on which the change begins."""
    name = case["file"]
    path = (CORPUS.parent if name.startswith(OWN) else ROOT / "demo") / name
    before, _, _ = path.read_text("utf-8").partition(case["replace"])
    # the first characters of a replacement may only be there to make its place unique
    pairs = zip(case["replace"], case["with"], strict=False)
    same = [one for one, other in takewhile(lambda pair: pair[0] == pair[1], pairs)]
    return before.count("\n") + same.count("\n") + 1


@pytest.mark.parametrize("case", cases(), ids=lambda case: f"{case['file']}:{case['says'][0][:60]}")
def test_a_bad_file_gets_its_message(case: dict[str, Any], folder: Path) -> None:
    code, lines = answer(case, folder)
    assert lines == [f"pegline: {line}" for line in case["says"]]
    assert code == 2
    assert not (folder / "out.pdf").exists()


def test_there_are_enough_and_each_message_is_fit_to_be_read() -> None:
    found = cases()
    assert len(found) >= LEAST
    assert len({(case["file"], case["replace"], case["with"]) for case in found}) == len(found)
    kinds = {case["file"] for case in found}
    assert {"machine.yaml", "fernhill.day.yaml", "mill-cottage.plan.yaml"} <= kinds
    assert any(kind.startswith(OWN) for kind in kinds)
    for case in found:
        for line in case["says"]:
            assert re.match(r"[\w./-]+(:\d+)?: ", line), line
            assert not re.search(r"Traceback|pydantic|0x|bug in pegline|Error\b", line), line


def test_most_messages_name_the_very_line() -> None:
    """Where a bracket is left open a reader sees it only later; all else is on its own line."""
    wrong = []
    for case in cases():
        stated = re.match(r"[\w./-]+?:(\d+): ", case["says"][0])
        if stated is None or "not valid YAML" in case["says"][0]:
            continue
        if abs(int(stated[1]) - place_of(case)) > 0:
            wrong.append((case["file"], place_of(case), case["says"][0]))
    assert len(wrong) <= len(cases()) // 8, wrong


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as place:
        fill(Path(place))
        os.chdir(place)
        kept = cases()
        for each in kept:
            code, lines = answer(each, Path(place))
            each["says"] = [line.removeprefix("pegline: ") for line in lines]
            if code != 2:
                sys.stderr.write(f"{code}: {each}\n")
        text = yaml.safe_dump(kept, allow_unicode=True, sort_keys=False, width=1000)
        CORPUS.write_text(text, "utf-8")
