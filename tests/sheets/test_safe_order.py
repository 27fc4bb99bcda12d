"""The order that keeps people whole: what has to come before what, on the sheets as printed."""

from __future__ import annotations

import json
from functools import lru_cache
from typing import Any

import pytest

from renderer.batch.compose_pack import compose_pack
from renderer.batch.pack import pack_of
from renderer.job import Job
from renderer.language import load_words
from renderer.plan import loads
from renderer.primitives import Text
from renderer.sheets import load_layout
from tests.checks.jobs import JOB, changed, one_lawn
from tests.shared import compose, lay_plan
from tests.sheets.sample import all_text, job, work_order

STEPS = load_words("en")


def flat(text: str) -> str:
    return " ".join(text.replace("\u00a0", " ").split())


@lru_cache
def order_of_the_small_garden() -> str:
    return flat(all_text(work_order()))


def start(key: str) -> int:
    """Where a step begins on the work order, by its words up to the first figure."""
    text = flat(STEPS.table[f"step.{key}.do"].partition("{")[0])[:40]
    whole = order_of_the_small_garden()
    return whole.index(text, whole.index(flat(STEPS("steps.gate"))))


@pytest.mark.parametrize(
    ("first", "then"),
    [
        ("services", "walk"),  # no answer, no start
        ("services", "control"),  # and no peg
        ("household", "loose"),  # nobody trips over wire that lies loose
        ("protection", "charge"),  # tested before anything is plugged in
        ("charge", "start"),  # full by the test lap
        ("protection", "supply"),
        ("protection", "signal"),
        ("dock", "start"),  # a dock that finds no place is known before the wire is laid
        ("dock", "close"),  # and cut
        ("loop-ohms", "terminals"),
        ("signal", "lap"),
        ("clear", "stop"),  # no pegs or offcuts where blades turn
        ("clear", "lap"),
        ("stop", "lap"),
        ("lap", "round-2"),
        ("round-2", "docking"),
    ],
)
def test_one_step_comes_before_another(first: str, then: str) -> None:
    assert start(first) < start(then)


def test_the_gate_stands_before_the_first_step_and_can_be_ticked() -> None:
    gate = order_of_the_small_garden().index(flat(STEPS("steps.gate")))
    assert gate < start("services")
    ticks = [
        item.name
        for page in work_order().pages
        for item in page.items
        if getattr(item, "kind", "") == "tick"
    ]
    (own,) = [name for name in ticks if name.endswith("steps.gate")]
    assert own


def test_local_rules_are_asked_before_the_plan_and_the_load() -> None:
    text = order_of_the_small_garden()
    rules, load = text.index("Ask before work starts"), text.index("Load list")
    assert text.index("On every job") < rules < load < start("services")


def test_a_wrong_direction_has_its_cure_in_the_step_and_the_machine_is_off_at_the_second_pass() -> (
    None
):
    text = order_of_the_small_garden()
    assert "Wrong way: unplug, then swap START and FINISH at the terminals." in text
    assert "Switch the machine off. Drive the second pass" in text
    assert "Blades off where the manual allows. Watch from clear of it" in text


def test_the_stop_of_the_machine_is_in_the_record() -> None:
    text = order_of_the_small_garden()
    record = text[text.index("Wire to earth") :]
    assert "Stop button and lift stop, each tried" in record


def asked(held: dict[str, Any]) -> str:
    plan = loads(json.dumps(held), "job.json")
    data = Job.known(plan, lay_plan(plan), ())
    return flat(all_text(compose([data], load_layout("crew-work-order"))))


def test_questions_are_those_of_the_garden() -> None:
    dry = changed(
        one_lawn(),
        {
            "lawns.0.outline": [
                [0, 0, "flush"],
                [24, 0, "fence"],
                [24, 14, "fence"],
                [0, 14, "wall"],
            ],
            "obstacles": [],
        },
    )
    road, water, trees = (STEPS(f"rules.question.{key}") for key in ("road", "water", "trees"))
    bare, full = asked(dry), asked(JOB)
    for question in (road, water, trees):
        assert flat(question) in full and flat(question) not in bare
    for key in ("dig", "services", "mains", "boundary"):
        assert flat(STEPS(f"rules.question.{key}")) in bare


@pytest.mark.parametrize("layout", ["survey-form", "first-visit", "day-pack"])
def test_local_codes_come_first_on_the_other_sheets_too(layout: str) -> None:
    pages = (
        compose_pack(pack_of([job().plan]), load_layout(layout)).pages[:1]
        if layout == "day-pack"
        else compose([job()], load_layout(layout)).pages
    )
    texts = [item.text for page in pages for item in page.items if isinstance(item, Text)]
    assert flat(STEPS("rules.foot")) in flat(" ".join(texts))


def test_the_first_words_of_keep_clear_say_what_the_map_does_not_show() -> None:
    text = flat(all_text(compose([job()], load_layout("wiring-map"))))
    _, _, care = text.partition("Keep clear and maintain ")
    assert care.startswith("This map shows the boundary wire only. Before digging ask for the")
    assert "private lines are on no public record" in care
    assert "Machine off, supply unplugged before any work on the wire." in care
