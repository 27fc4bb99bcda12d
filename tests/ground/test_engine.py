"""Random gardens keep every rule of the wire; and the rules are seen to tell when one is broken."""

from __future__ import annotations

import json
import math
import os
import subprocess
import sys
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import given

from renderer.ground import lay_plan
from renderer.job import Job
from renderer.plan import load, loads
from renderer.report import lay_json
from tests.ground import wire_rules
from tests.ground.gardens import (
    as_text,
    box,
    figures,
    gardens,
    laid,
    lay_of,
    over_gardens,
    plan_of,
    ring_of,
    round_bed,
    some_gardens,
    turned_round,
)
from tests.plans import ROOT

if TYPE_CHECKING:
    from pathlib import Path

    from renderer.ground.lay import Lay
    from renderer.plan import Plan

TURNS_DEG = (0, 90, 180, 33.7, 211)
SHIFTS_M = ((400, -250), (0, 0))


def every_other() -> tuple[str, ...]:
    """Half of the gardens, laid already for other tests."""
    return some_gardens()[::2]


@over_gardens
@given(gardens())
def test_gardens_keep_every_rule(text: str) -> None:
    assert wire_rules.violations(*laid(text)) == []


@pytest.mark.parametrize("rule", wire_rules.RULES)
def test_gardens_keep_the_rule(rule: str) -> None:
    wrong = {text: wire_rules.RULES[rule](*laid(text)) for text in some_gardens()}
    assert [(text, found) for text, found in wrong.items() if found] == []


def test_plans_of_real_look_keep_every_rule(any_plan: Path) -> None:
    plan = load(any_plan)
    assert wire_rules.violations(plan, lay_plan(plan)) == []


def written(plan: Plan, lay: Lay) -> str:
    return json.dumps(lay_json(Job.known(plan, lay, (), "")), sort_keys=True)


@pytest.mark.own_work
def test_the_same_plan_gives_the_same_bytes() -> None:
    for text in every_other():
        plan, lay = laid(text)
        assert written(plan, lay_plan(loads(text, "g.json"))) == written(plan, lay), text


def test_another_process_gives_the_same_bytes(tmp_path: Path) -> None:
    """Python scatters its hashes anew in each process; nothing may hang on their order."""
    things = [round_bed(4 + 2.9 * (k % 6), 3 + 3.7 * (k // 6), 0.7, f"Bed {k}") for k in range(18)]
    text = as_text(
        figures(),
        [{"name": "Lawn", "outline": ring_of(box(22, 15))}],
        things,
        [{"dock": {"at": [11, 0]}}],
    )
    path = tmp_path / "garden.json"
    path.write_text(text)
    code = (
        "import sys, json; from renderer.plan import load; from renderer.ground import lay_plan;"
        "from renderer.job import Job; from renderer.report import lay_json;"
        "plan = load(sys.argv[1]); job = Job.known(plan, lay_plan(plan), (), '');"
        "print(json.dumps(lay_json(job), sort_keys=True))"
    )
    out = [
        subprocess.run(
            [sys.executable, "-c", code, str(path)],
            env=os.environ | {"PYTHONHASHSEED": seed},
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=True,
        ).stdout.strip()
        for seed in ("1", "2")
    ]
    assert out[0] == out[1] == written(*laid(text))


def test_nothing_to_mow_is_no_error() -> None:
    """A lawn of 6 x 4 with setbacks of 1 m leaves 8 m2, less than 4 x 1.5 squared."""
    plan, lay = lay_of(box(6, 4), machine=figures(back=1.0, passage_min=1.5))
    assert lay.loops == ()
    assert {cut.kind for cut in lay.cuts} == {"left_out"}
    assert wire_rules.violations(plan, lay) == []


@pytest.mark.parametrize("low", [0.0003, -0.0003, -0.0009])
def test_an_arc_that_grazes_another_side(low: float) -> None:
    """An outline is refused, or laid; an arc within a millimetre of a side is either."""
    grazing = {"at": [10, 5], "side": "wall", "through": [4.9 if low > 0 else 5, low]}
    outline = [[0, 0, "wall"], [10, 0, "wall"], grazing, [0, 5, "wall"]]
    lawn = {"name": "Lawn", "outline": outline}
    plan = plan_of(as_text(figures(), [lawn], [], [{"dock": {"at": [0, 0]}}]))
    assert plan is None or lay_plan(plan) is not None


def reversed_outlines(text: str) -> str:
    data = json.loads(text)
    for lawn in data["lawns"]:
        lawn["outline"] = turned_round(lawn["outline"])
    return json.dumps(data)


def moved(text: str, turn_deg: float, by: tuple[float, float]) -> str:
    """The same garden elsewhere and turned."""
    c, s = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))

    def put(value: Any, key: str = "") -> Any:
        if key in ("at", "through"):
            x, y = value
            return [by[0] + c * x - s * y, by[1] + s * x + c * y]
        if key in ("polygon", "via"):
            return [put(point, "at") for point in value]
        if isinstance(value, dict):
            return {k: put(v, k) for k, v in value.items()}
        return [put(v) for v in value] if isinstance(value, list) else value

    return json.dumps(put(json.loads(text)))


@pytest.mark.parametrize("share", [0, 1])
def test_the_way_round_that_an_outline_was_measured_changes_nothing(share: int) -> None:
    for text in every_other()[share::2]:
        _, one = laid(text)
        _, two = laid(reversed_outlines(text))
        assert len(one.loops) == len(two.loops), text
        for a, b in zip(one.loops, two.loops, strict=True):
            # every vertex is rounded to 0.1 mm: short wires with many bends differ by a millimetre
            assert b.length_m == pytest.approx(a.length_m, rel=2e-4, abs=1e-3), text
            assert b.working_area_m2 == pytest.approx(a.working_area_m2, abs=2e-3), text
            assert [(leg.kind, leg.of) for leg in a.legs] == [(leg.kind, leg.of) for leg in b.legs]
            # where a dock's straight wire meets a cut or a bend, its start moves with their 0.1 mm
            assert np.abs(a.path[0] - b.path[0]).max() < 3e-3, text


@pytest.mark.parametrize("turn", TURNS_DEG)
def test_moving_and_turning_a_garden_changes_no_length(turn: float) -> None:
    """To 3 mm where nothing was cut and every pair is straight.

    Where a neck or a sharp corner is cut, the flattened arcs lie a little differently and the cut's
    ends with them, by centimetres along the wire; a pair's way round something likewise.
    """
    for index, text in enumerate(every_other()[TURNS_DEG.index(turn) :: len(TURNS_DEG)]):
        by = SHIFTS_M[index % 2 if turn else 0]
        other = moved(text, turn, by)
        assert plan_of(other) is not None, text
        same_lengths(laid(text), laid(other))


def same_lengths(here: tuple[Plan, Lay], there: tuple[Plan, Lay]) -> None:
    (plan, one), (_, two) = here, there
    plain = plan.machine.corner_angle_min is None and {cut.kind for cut in one.cuts} <= {"overlap"}
    plain = plain and all(len(lead.points) == 2 for loop in one.loops for lead in loop.leads)
    slack = 3e-3 if plain else 0.15
    assert len(one.loops) == len(two.loops)
    for a, b in zip(one.loops, two.loops, strict=True):
        assert b.length_m == pytest.approx(a.length_m, abs=slack)
        assert b.working_area_m2 == pytest.approx(a.working_area_m2, abs=2 * slack)
        assert len(b.rings) == len(a.rings)
