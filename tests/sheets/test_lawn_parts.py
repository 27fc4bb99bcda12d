"""A lawn that falls into several parts, as an exercise: each part has one name on all sheets."""

from __future__ import annotations

from functools import lru_cache

from renderer.job import Job
from renderer.language import load_words
from renderer.primitives import Document, Text
from renderer.sheets import load_layout
from renderer.sheets.pages import frame_of, sheet_of
from renderer.sheets.sheet import Sheet
from renderer.sheets.tasks import Task, tasks
from renderer.teaching.anonymous import anonymous_job
from tests.checks.jobs import plan_of
from tests.ground.gardens import figures
from tests.shared import compose, lay_plan

OUTLINE = [  # three grounds in a row, joined by necks that the machine does not pass
    (0, 0), (6, 0), (6, 2.5), (8, 2.5), (8, 0), (18, 0), (18, 2.5), (20, 2.5), (20, 0), (25, 0),
    (25, 6), (20, 6), (20, 3.5), (18, 3.5), (18, 8), (8, 8), (8, 3.5), (6, 3.5), (6, 6), (0, 6),
]  # fmt: skip
NAMES = ("Lawn 1", "Lawn 2", "Lawn 3")  # that of the dock, then the larger


@lru_cache
def row() -> tuple[Sheet, Document, Document]:
    plan = plan_of(
        {
            "plan": 1,
            "job": {"number": "R-3"},
            "machine": figures(corner_radius=0.2),
            "lawns": [{"name": "Long", "outline": [[x, y, "wall"] for x, y in OUTLINE]}],
            "loops": [{"dock": {"at": [13, 0.1]}}],
            "wire": {"conductor_mm2": 0.75},
        }
    )
    job = anonymous_job(Job.known(plan, lay_plan(plan), ()), load_words(), 1)
    frame, lying = frame_of("Letter", draft=False)
    layout, key = load_layout("class-set"), load_layout("class-set-key")
    sheet = sheet_of(job, layout, frame, lying, None, 1)
    return (
        sheet,
        compose([job], layout, paper="Letter"),
        compose([job], key, paper="Letter"),
    )


def asked(start: str) -> list[Task]:
    return [task for task in tasks(row()[0]) if task.text.startswith(start)]


def lines(document: Document) -> list[str]:
    return [i.text for page in document.pages for i in page.items if isinstance(i, Text)]


def test_each_part_has_one_name_and_no_two_have_the_same() -> None:
    (edges,) = asked("How long is the wire along the edge")
    assert sorted(answer.label for answer in edges.answers) == list(NAMES)
    (leads,) = asked("How long is each lead pair")
    assert sorted(answer.label for answer in leads.answers) == list(NAMES[1:])
    told = [step.facts["of"] for step in edges.steps if step.key == "ring.outer"]
    assert sorted(told) == list(NAMES)
    pegs = [task.text for task in asked("Tape to the peg where the pair")]
    assert pegs and all(any(name in text for name in NAMES[1:]) for text in pegs)


def test_the_names_are_those_of_the_plan_of_the_key() -> None:
    roles = {i.role for page in row()[2].pages for i in page.items if isinstance(i, Text)}
    assert {f"label lawn {name}" for name in NAMES} <= roles


def test_what_a_meter_reads_less_without_a_part_is_worked_out_of_that_part() -> None:
    (bypass,) = asked("How much less does it read")
    (step,) = bypass.steps
    assert step.facts["of"] in bypass.text
    assert step.agrees
    assert bypass.answers[0].text == f"{step.result.value:.2f}\u00a0Ω"


def test_the_sheet_says_how_parts_are_counted() -> None:
    told = " ".join(lines(row()[1]))
    assert "Parts of a lawn count" in told and "; Lawn 2 is the second of Lawn." in told
