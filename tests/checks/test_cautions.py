"""Cautions: each fact of a plan calls for its own, and each has its text in the catalogue."""

from __future__ import annotations

from string import Formatter
from typing import TYPE_CHECKING, Any

import pytest

from renderer.checks import cautions
from renderer.checks.caution import SIGNALS
from renderer.checks.dangers import ALWAYS
from renderer.language import load_words
from tests.checks.jobs import JOB, Job, changed, one_lawn, plan_of
from tests.shared import lay_plan

if TYPE_CHECKING:
    from renderer.checks import Caution

ALWAYS_SAID = {key for key, _ in ALWAYS}
QUIET = changed(
    one_lawn(),
    {
        "lawns.0.outline": [[0, 0, "flush"], [24, 0, "fence"], [24, 14, "fence"], [0, 14, "wall"]],
        "obstacles": [],
        "features": JOB["features"][:1],
    },
)
HEDGE = [[0, 0, "flush"], [24, 0, "fence"], [24, 14, "hedge"], [0, 14, "wall"]]
CABLE = {"name": "Lamp cable", "kind": "buried cable", "line": [[30, 7], [22, 7]]}
BESIDE = {"name": "Pipe", "kind": "buried pipe", "line": [[24.2, 1], [24.2, 9]]}


def said(job: Job) -> tuple[Caution, ...]:
    plan = plan_of(job)
    return cautions(plan, lay_plan(plan))


def side(kind: str) -> dict[str, Any]:
    return {"lawns.0.outline.2": [24, 14, kind]}


FACTS: dict[str, tuple[dict[str, Any], str, str]] = {
    "a cable across": ({"features.+": CABLE}, "service-not-located-crossed", "DANGER"),
    "a pipe beside": ({"features.+": BESIDE}, "service-not-located", "DANGER"),
    "a gas pipe beside": (
        {"features.+": BESIDE | {"carries": "gas"}},
        "service-not-located",
        "DANGER",
    ),
    "a drip pipe beside": (
        {"features.+": BESIDE | {"carries": "irrigation"}},
        "service-not-located",
        "WARNING",
    ),
    "a cable across, located": (
        {"features.+": CABLE | {"located": "2026-05-01"}},
        "service-crossed",
        "WARNING",
    ),
    "a pipe beside, located": (
        {"features.+": BESIDE | {"located": "2026-05-01"}},
        "service-near",
        "WARNING",
    ),
    "a pond": (
        {"obstacles.+": {"name": "Pond", "kind": "water", "circle": {"at": [9, 7], "radius": 1}}},
        "water",
        "WARNING",
    ),
    "a pond beyond the fence": (
        {"obstacles.+": {"name": "Pond", "kind": "water", "circle": {"at": [28, 7], "radius": 1}}},
        "water",
        "WARNING",
    ),
    "a bird bath": (
        {"obstacles.+": {"name": "Bath", "kind": "water", "circle": {"at": [9, 7], "radius": 0.3}}},
        "water-shallow",
        "CAUTION",
    ),
    "a rill": (
        {
            "obstacles.+": {
                "name": "Rill",
                "kind": "water",
                "depth": 0.15,
                "circle": {"at": [9, 7], "radius": 1},
            }
        },
        "water-shallow",
        "CAUTION",
    ),
    "a deep basin": (
        {
            "obstacles.+": {
                "name": "Butt",
                "kind": "water",
                "depth": 0.9,
                "circle": {"at": [9, 7], "radius": 0.3},
            }
        },
        "water",
        "WARNING",
    ),
    "a bank of a river": (side("water"), "water", "WARNING"),
    "a road": (side("road"), "road", "WARNING"),
    "a drop": (side("drop"), "drop", "WARNING"),
    "a hedge": (side("hedge"), "hedge", "CAUTION"),
    "a neighbour": (side("neighbour"), "neighbour", "NOTICE"),
    "a slope": (
        {
            "features.+": {
                "name": "Bank",
                "kind": "slope",
                "percent": 20,
                "circle": {"at": [9, 7], "radius": 1},
            }
        },
        "slope",
        "CAUTION",
    ),
    "a slope over the limit": (
        {
            "features.+": {
                "name": "Bank",
                "kind": "slope",
                "percent": 40,
                "circle": {"at": [9, 7], "radius": 1},
            }
        },
        "slope-too-steep",
        "WARNING",
    ),
    "a socket of which nothing is known": ({"features.0.outdoor": None}, "socket", "WARNING"),
    "a socket that is unfit": ({"features.0.outdoor": False}, "socket-unfit", "WARNING"),
    "no socket": ({"features": []}, "socket-missing", "WARNING"),
    "a swing": (
        {"features.+": {"name": "Swing", "kind": "play", "at": [5, 5]}},
        "play",
        "WARNING",
    ),
    "a sprinkler": (
        {"features.+": {"name": "Head", "kind": "sprinkler", "at": [5, 5], "radius": 2}},
        "irrigation",
        "NOTICE",
    ),
    "a tree": (
        {"obstacles.+": {"name": "Plum", "kind": "tree", "circle": {"at": [9, 7], "radius": 0.1}}},
        "roots",
        "NOTICE",
    ),
}


def test_a_quiet_garden_has_only_what_is_always_said() -> None:
    assert {each.id for each in said(QUIET)} == ALWAYS_SAID


@pytest.mark.parametrize("fact", FACTS.values(), ids=FACTS.keys())
def test_a_fact_calls_for_its_caution_alone(fact: tuple[dict[str, Any], str, str]) -> None:
    changes, key, signal = fact
    by_fact = [each for each in said(changed(QUIET, changes)) if each.id not in ALWAYS_SAID]
    assert [(each.text_key, each.signal) for each in by_fact] == [(key, signal)]


@pytest.mark.parametrize(
    ("under", "key"),
    [("paving", "crossing-sawn"), ("bark mulch", "crossing"), ("", "crossing-open")],
)
def test_a_crossing_calls_for_its_caution(under: str, key: str) -> None:
    job = changed(JOB, {"loops.0.crossings.0.under": under})
    assert [each.text_key for each in said(job) if each.id == "crossing"] == [key]


def test_only_what_is_said_on_every_job_is_an_everyday_caution() -> None:
    told = said(changed(QUIET, {"features.+": CABLE} | side("road")))
    assert {each.id for each in told if each.everyday} == ALWAYS_SAID
    assert {each.id for each in told if not each.everyday} == {"service-not-located", "road"}


def test_what_is_far_away_is_not_told() -> None:
    far = {"name": "Pond", "kind": "water", "circle": {"at": [40, 7], "radius": 1}}
    pipe = {"name": "Pipe", "kind": "buried pipe", "line": [[26, 1], [26, 9]]}
    job = changed(QUIET, {"obstacles.+": far, "features.+": pipe})
    assert {each.id for each in said(job)} == ALWAYS_SAID


def test_the_most_severe_comes_first() -> None:
    job = changed(QUIET, {"features.+": CABLE} | side("road"))
    signals = [SIGNALS.index(each.signal) for each in said(job)]
    assert signals == sorted(signals) and signals[0] == 0


def every_caution() -> list[Caution]:
    told = [each for changes, _, _ in FACTS.values() for each in said(changed(QUIET, changes))]
    told += said(JOB)
    told += said(changed(JOB, {"loops.0.crossings.0.under": "bark mulch"}))
    return told + list(said(changed(JOB, {"loops.0.crossings.0.under": ""})))


def asked_for(text: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(text) if name}


def test_texts_and_facts_agree_and_none_is_left_over() -> None:
    texts = {
        key.removeprefix("caution."): text
        for key, text in load_words("en").table.items()
        if key.startswith("caution.")
    }
    used = set()
    for each in every_caution():
        given = {name.removesuffix("_m").removesuffix("_percent") for name in each.facts}
        assert asked_for(texts[each.text_key]) == given, each.text_key
        used.add(each.text_key)
    assert used == set(texts)


def test_the_cautions_of_located_services_name_the_strip_that_pegs_keep_out_of() -> None:
    for job in (CABLE, BESIDE):
        plan = plan_of(changed(one_lawn(), {"features.+": job | {"located": "2026-05-01"}}))
        told = [each for each in cautions(plan, lay_plan(plan)) if each.id == "service-near"]
        assert [each.facts["strip_m"] for each in told] == [0.3]
