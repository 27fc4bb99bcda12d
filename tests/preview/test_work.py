"""What one process says of a plan file: findings first, sheets last, an error with its line."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import renderer
from renderer.options import PrintOptions
from renderer.preview.message import (
    Answer,
    Broken,
    Composed,
    Drawn,
    Message,
    Order,
    Question,
    Read,
    Told,
)
from renderer.preview.work import _Worker
from tests.plans import ROOT

if TYPE_CHECKING:
    from collections.abc import Callable

NAME = "practice-lawn.plan.yaml"
Said = list[Message]


@pytest.fixture
def file(tmp_path: Path) -> Path:
    for name in (NAME, "machine.yaml"):
        shutil.copy(ROOT / "demo" / name, tmp_path)
    return tmp_path / NAME


def said_of(path: Path, **options: str) -> tuple[_Worker, Said]:
    said: Said = []
    worker = _Worker(said.append, renderer.compose_sheets)
    worker.take(Order(7, str(path), PrintOptions(**options), "en"))  # type: ignore[arg-type]
    return worker, said


def test_findings_come_first_and_the_print_is_that_of_the_command(file: Path) -> None:
    worker, said = said_of(file, layout="drawing")
    assert [type(each) for each in said] == [Read, Told, Drawn, Read, Composed]
    assert all(each.number == 7 for each in said)
    told, composed = said[1], said[-1]
    assert isinstance(told, Told) and isinstance(composed, Composed)
    assert [each["rule"] for each in told.findings] == [
        each.rule for each in renderer.check(renderer.load(file))
    ]
    assert (told.job["number"], composed.pages, composed.is_draft) == ("FH-100", 1, False)
    last = said[3]
    assert isinstance(last, Read)
    assert {Path(each).name for each in last.files} >= {NAME, "machine.yaml", "drawing.yaml"}
    worker.take(Question(1, 0))
    answer = said[-1]
    assert isinstance(answer, Answer)
    assert answer.data == renderer.print_sheets([renderer.load(file)], layout="drawing")
    worker.take(Question(2, 1))
    page = said[-1]
    assert isinstance(page, Answer) and b"<svg" in page.data and b'id="peg-1"' in page.data


@pytest.mark.parametrize(
    ("change", "line_has", "problem"),
    [
        (lambda text: text.replace("obstacles:", "obstacels:"), "obstacels", "not known"),
        (lambda text: text.replace("[12, 8, hedge]", "[12, 8, hege]"), "hege", "hege"),
        (lambda text: text + "\tx", "\tx", "tab"),
    ],
    ids=["key", "word", "tab"],
)
def test_a_mistake_is_named_with_its_line_and_what_was_missing_is_watched(
    file: Path, change: Callable[[str], str], line_has: str, problem: str
) -> None:
    text = change(file.read_text("utf-8"))
    file.write_text(text, "utf-8")
    _, said = said_of(file)
    broken = said[-1]
    assert isinstance(broken, Broken) and broken.after is None
    mistake = broken.mistakes[0]
    assert mistake["own"] and mistake["file"] == NAME and problem in mistake["problem"]
    assert line_has in text.splitlines()[mistake["line"] - 1]
    read = said[-2]
    assert isinstance(read, Read) and str(file.parent) in read.more


def test_a_missing_machine_file_is_a_mistake_of_the_plan(file: Path) -> None:
    (file.parent / "machine.yaml").unlink()
    _, said = said_of(file)
    broken = said[-1]
    assert isinstance(broken, Broken)
    assert "machine.yaml" in broken.mistakes[0]["problem"] and broken.mistakes[0]["line"]


def test_a_layout_that_cannot_be_used_leaves_findings_and_garden(file: Path) -> None:
    own = file.parent / "own.yaml"
    own.write_text("layout: 1\ndocument: Mine\nblocks: [nothing-such]\n", "utf-8")
    _, said = said_of(file, layout=str(own))
    broken = said[-1]
    assert isinstance(broken, Broken) and broken.after == "drawn"
    assert broken.mistakes[0]["file"] == "own.yaml" and not broken.mistakes[0]["own"]
    assert any(isinstance(each, Drawn) for each in said)


def test_a_job_that_is_stopped_is_shown_as_a_draft(file: Path) -> None:
    text = file.read_text("utf-8").replace("spools: [100]", "spools: [10]")
    file.write_text(text, "utf-8")
    _, said = said_of(file, layout="drawing")
    told, composed = said[1], said[-1]
    assert isinstance(told, Told) and isinstance(composed, Composed)
    assert "stop" in {each["level"] for each in told.findings}
    assert composed.is_draft


def test_before_there_are_sheets_a_question_has_an_answer_too() -> None:
    said: Said = []
    _Worker(said.append, renderer.compose_sheets).take(Question(3, 1))
    assert said == [Answer(3, b"", "there are no sheets yet")]
