"""The leaf to lay from leads the work order: one plan, one list of control pegs, one record."""

from __future__ import annotations

import pytest

from renderer.checks.finding import Finding
from renderer.job import Job
from renderer.plan import load
from renderer.primitives import Document, Field, Text
from renderer.sheets import load_layout
from tests.plans import demo_plans
from tests.shared import compose, job_of
from tests.sheets.sample import job, printed, work_order

LAWN = next(path for path in demo_plans() if path.name.startswith("practice"))


def fields(document: Document) -> dict[str, list[int]]:
    """The pages of each field, counted from 1, by the end of its name."""
    found: dict[str, list[int]] = {}
    for number, page in enumerate(document.pages, 1):
        for item in page.items:
            if isinstance(item, Field):
                found.setdefault(item.name.partition(".")[2], []).append(number)
    return found


def words(document: Document, page: int) -> list[str]:
    return [item.text for item in document.pages[page - 1].items if isinstance(item, Text)]


def test_the_first_two_pages_are_the_leaf_and_nothing_of_it_comes_again() -> None:
    document = printed(LAWN, "A4")
    assert "Lay from this leaf" in words(document, 1)
    assert {"Control pegs", "Test record"} <= set(words(document, 2))
    scales = [
        number
        for number in range(1, len(document.pages) + 1)
        if any("This bar is 100 mm" in text for text in words(document, number))
    ]
    assert scales == [1]  # one plan to scale
    found = fields(document)
    for name in ("carry.loop-main", "carry.spool-1", "carry.check.1", "hold.services"):
        assert len(found[name]) == 1 and found[name][0] <= 2
    assert not any(name.startswith(("test.", "check.")) for name in found)


def test_the_plan_of_the_leaf_has_every_peg_where_that_costs_nothing() -> None:
    document = printed(LAWN, "A4")
    marks = {getattr(item, "id", None) for item in document.pages[0].items}

    assert {f"peg-{number}" for number in lawn_pegs()} <= marks


def lawn_pegs() -> list[str]:
    return [peg.id for peg in job_of(load(LAWN)).pegs]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_all_signs_beside_the_drawing_as_built_once(paper: str) -> None:
    found = fields(work_order(paper))
    for name in ("sign.lead", "sign.customer", "sign.date", "sign.people"):
        assert len(found[name]) == 1
    signed = found["sign.lead"][0]
    titles = [mark.title for mark in work_order(paper).pages[signed - 1].marks]
    assert {"As built", "Sign-off"} <= set(titles)


def test_two_rows_for_changes_are_there_in_any_case() -> None:
    """A row has what, where along the wire, both tapes, where it was laid and the file."""
    found = fields(work_order())
    rows = {name.split(".")[1] for name in found if name.endswith(".tie-1")}
    assert len(rows) >= 2
    for row in rows:
        for part in ("what", "at", "tie-1", "tie-2", "laid", "file"):
            assert len(found[f"photo.{row}.{part}"]) == 1


def test_no_level_of_a_finding_reads_as_a_signal_word_on_the_leaf() -> None:
    gap = {"width_m": 0.52, "needed_m": 0.9}
    told = (Finding("gap-too-narrow", "warn", "gap-too-narrow.found", gap),)
    data = job()
    given = Job.known(data.plan, data.lay, told)
    for layout, name in (("crew-work-order", "Finding 1"), ("carry", "Finding")):
        front = words(compose([given], load_layout(layout)), 1)
        assert name in front and "Warning" not in front
