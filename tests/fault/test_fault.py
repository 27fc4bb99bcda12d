"""What a reading means: readings worked out by hand, and breaks put where the test wants them."""

from __future__ import annotations

import json
import random
from dataclasses import replace
from functools import cache

import pytest

from renderer.cli import main
from renderer.fault import causes, search
from renderer.fault.search import Contradiction
from renderer.fault_report import places_named
from renderer.ground.lay import LoopLay
from renderer.job import Job
from renderer.plan import load
from tests.pdf_pages import read_pages
from tests.plans import ROOT
from tests.shared import job_of, print_sheets

OHM_PER_M = 0.0245
ALPHA = 0.00393  # of copper at 20 degC, IEC 60028
GARDEN = str(ROOT / "demo/old-smithy.plan.yaml")


@cache
def job(name: str = "old-smithy") -> Job:
    """A demo garden whose wire is known by its label."""
    plan = load(ROOT / f"demo/{name}.plan.yaml")
    wire = plan.wire.model_copy(update={"ohm_per_100m": 100 * OHM_PER_M})
    return job_of(plan.model_copy(update={"wire": wire}))


def loop_of(of: Job) -> LoopLay:
    return of.lay.loops[0]


def reads(length_m: float, celsius: float) -> float:
    return length_m * OHM_PER_M * (1.0 + ALPHA * (celsius - 20.0))


@pytest.mark.parametrize("celsius", [0.0, 14.0, 30.0])
def test_sound_wire_is_sound_at_any_temperature(celsius: float) -> None:
    of = job()
    found = causes(of.readings, loop_of(of), reads(loop_of(of).length_m, celsius), celsius)
    assert found[0].kind == "sound"
    assert found[0].apart < 0.2


@pytest.mark.parametrize("celsius", [0.0, 20.0])
def test_an_island_left_out_is_named_first(celsius: float) -> None:
    """The pond has the longest ring and pair: its legs are missing from the reading."""
    of = job()
    loop = loop_of(of)
    gone = sum(leg.length_m for leg in loop.legs if leg.of == "Pond")
    found = causes(of.readings, loop, reads(loop.length_m - gone, celsius), celsius)
    out = [each for each in found if each.kind == "left-out"]
    assert out[0].of == ("Pond",)
    assert out[0].wire_m == pytest.approx(gone, abs=1e-3)
    assert found[0].kind in ("left-out", "sound")


def test_more_than_sound_is_a_joint_and_less_a_bridge() -> None:
    of = job()
    loop = loop_of(of)
    whole = reads(loop.length_m, 20.0)
    (joint,) = causes(of.readings, loop, whole + 1.5, 20.0)
    assert joint.kind == "joint" and joint.more_ohm == pytest.approx(1.5, abs=0.05)
    assert joint.of == tuple(splice.id for splice in loop.splices)
    found = causes(of.readings, loop, whole - reads(80.0, 20.0), 20.0)
    assert found[-1].kind == "bridged" and found[-1].wire_m == pytest.approx(80.0, abs=2.0)
    assert causes(of.readings, loop, None, 20.0)[0].kind == "open"
    assert causes(of.readings, loop, 400.0, 20.0)[0].kind == "open"


@pytest.mark.parametrize("name", ["old-smithy", "quarry-lane", "hollin-park"])
def test_a_break_anywhere_is_found_in_as_many_tests_as_were_foretold(name: str) -> None:
    of = job(name)
    dice = random.Random(name)
    for loop in of.lay.loops:
        places = places_named(of, loop)
        for _ in range(40):
            break_m = dice.uniform(0.0, loop.length_m)
            answers: dict[str, str] = {}
            found = search(loop, places, answers)
            foretold, made = found.tests, 0
            while found.next is not None:
                place, probe = found.next
                answers[place] = "whole" if probe.at_m < break_m else "open"
                found = search(loop, places, answers)
                made += 1
            assert made <= foretold
            assert found.from_m <= break_m <= found.to_m
            ends = [0.0, *(probe.at_m for _, probe in places), loop.length_m]
            assert ends.index(found.to_m) == ends.index(found.from_m) + 1
            assert any(leg.from_m <= break_m <= leg.to_m for leg in found.legs)


def test_answers_that_no_single_break_explains_are_refused() -> None:
    of = job()
    places = places_named(of, loop_of(of))
    first, last = places[0][0], places[-1][0]
    with pytest.raises(Contradiction, match="there may be two breaks"):
        search(loop_of(of), places, {first: "open", last: "whole"})


def test_a_loop_without_places_is_one_stretch() -> None:
    loop = replace(loop_of(job()), splices=())
    found = search(loop, (), {})
    assert found.next is None and found.tests == 0
    assert (found.from_m, found.to_m) == (0.0, loop.length_m)


def test_places_have_the_names_and_distances_of_the_printed_map() -> None:
    of = job()
    pages = read_pages(print_sheets([of], layout="wiring-map"))
    lines = "\n".join(page.text for page in pages).splitlines()
    for name, probe in places_named(of, loop_of(of)):
        assert any(
            line.startswith(f"{name} ") and f" {probe.at_m:.2f} " in line for line in lines
        ), name


def test_the_command_in_words_and_as_json(capsys) -> None:
    assert main(["fault", GARDEN, "--reads", "4.50", "--temperature", "14"]) == 0
    assert "1. The wire reads as sound wire does" in capsys.readouterr().out
    assert main(["fault", GARDEN, "--reads", "open"]) == 0
    text = capsys.readouterr().out
    assert "the break is between START and FINISH" in text and "measure next at S1" in text
    assert main(["fault", GARDEN, "--reads", "open", "--at", "S1=whole", "--json"]) == 0
    held = json.loads(capsys.readouterr().out)
    assert held["causes"][0]["cause"] == "open" and held["reads_ohm"] is None
    assert held["search"]["between"][0] == "S1"
    following = held["search"]["next"]
    low, high = following["whole_reads_ohm"]
    assert low < high
    assert main(["fault", str(ROOT / "demo/quarry-lane.plan.yaml"), "--reads", "open"]) == 0
    assert " ft along the wire" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--reads", "x"], "write ohms, such as 4.17, or open"),
        (["--reads", "-1"], "write ohms, such as 4.17, or open"),
        (["--reads", "4", "--temperature", "99"], "write degrees Celsius"),
        (["--reads", "4", "--loop", "far"], "no such loop; use one of main"),
        (["--reads", "4.5", "--at", "S1=whole"], "only a break is found by halves"),
        (["--reads", "open", "--at", "S1"], "write PLACE=whole or PLACE=open"),
        (["--reads", "open", "--at", "T99=open"], "no such place; they are"),
        (["--reads", "open", "--at", "S1=open", "--at", "T4=whole"], "there may be two breaks"),
    ],
)
def test_a_mistake_is_one_line(arguments: list[str], said: str, capsys) -> None:
    try:
        code = main(["fault", GARDEN, *arguments])
    except SystemExit as left:  # where the arguments themselves are refused
        code = int(left.code or 0)
    assert code == 2
    error = capsys.readouterr().err
    assert said in error and error.count("\n") == 1


def test_several_loops_have_to_be_told_apart(capsys) -> None:
    assert main(["fault", str(ROOT / "demo/hollin-park.plan.yaml"), "--reads", "4"]) == 2
    assert "there are several loops; add --loop" in capsys.readouterr().err
