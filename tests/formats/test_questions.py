"""Ten questions, answered well, badly and not to the end."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from renderer.formats.questions import COUNT, NoAnswer, asked
from renderer.formats.written import written
from renderer.plan import loads
from tests.shared import check_plan, lay_plan

ANSWERS = [
    *("Rear", "R-1", "m", "12", "8", "flush, fence, hedge, wall"),
    *("bed, 8, 4, 1; firm, 3, 5, 15 cm", "", "60, 40", "utility asked, nothing there"),
]


def told(answers: list[str]) -> tuple[str, list[str], list[str]]:
    """The plan's text, the questions put and the complaints made."""
    left: Iterator[str] = iter(answers)
    questions: list[str] = []
    complaints: list[str] = []

    def ask(question: str) -> str | None:
        questions.append(question)
        return next(left, None)

    return written(asked(ask, complaints.append)), questions, complaints


def test_ten_answers_make_a_plan_that_nothing_stops() -> None:
    text, questions, complaints = told(ANSWERS)
    plan = loads(text)
    assert len(questions) == COUNT == 10 and not complaints
    assert plan.lawns[0].outline[2].at == (12.0, 8.0) and plan.lawns[0].outline[2].side == "hedge"
    assert [each.kind for each in plan.obstacles] == ["bed", "firm"]
    assert plan.obstacles[1].circle is not None and plan.obstacles[1].circle.radius == 0.15
    assert plan.wire.spools == (60.0, 40.0) and plan.loops[0].dock.at == (6.0, 0.0)
    found = check_plan(plan, lay_plan(plan))
    assert "stop" not in {each.level for each in found}
    assert "services-not-asked" not in {each.rule for each in found}


def test_in_feet_lengths_are_kept_as_they_were_taped() -> None:
    answers = [*ANSWERS]
    answers[2:5], answers[6], answers[8] = ["ft", "40 ft 6 in", "26"], "", ""
    plan = loads(told(answers)[0])
    assert plan.units == "ft"
    assert plan.lawns[0].outline[1].at[0] == pytest.approx(40.5 * 0.3048)
    assert plan.wire.spools[0] == pytest.approx(300 * 0.3048)


def test_a_wrong_answer_is_said_and_asked_for_again() -> None:
    answers = [*ANSWERS]
    answers[5:6] = ["hege", "flush, fence", "hedge"]
    answers[3:4] = ["wide", "-3", "12"]
    text, questions, complaints = told(answers)
    assert loads(text).lawns[0].outline[1].side == "hedge"
    assert len(questions) == 14 and len(complaints) == 4
    assert "did you mean 'hedge'" in complaints[2] and "four kinds" in complaints[3]


@pytest.mark.parametrize("count", range(COUNT))
def test_answers_that_end_say_at_which_question(count: int) -> None:
    with pytest.raises(NoAnswer, match=f"question {count + 1} of 10.*nothing was written"):
        told(ANSWERS[:count])


def test_kinds_may_be_parted_by_spaces_and_the_examples_given_are_answers() -> None:
    answers = [*ANSWERS]
    answers[5] = "flush  fence hedge,wall"
    text, questions, complaints = told(answers)
    assert [side.side for side in loads(text).lawns[0].outline] == [
        "flush",
        "fence",
        "hedge",
        "wall",
    ]
    for index in (5, 6):
        answers[index] = questions[index].split("for example: ")[1].removesuffix(": ")
    text, _, complaints = told(answers)
    assert not complaints and [each.kind for each in loads(text).obstacles] == ["tree", "bed"]
