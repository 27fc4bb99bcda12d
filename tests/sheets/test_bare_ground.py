"""Every layout prints a plan with setbacks of nothing, and a draft of one without any ground."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import pytest

import renderer
from renderer.plan.kinds import SETBACK_KINDS
from renderer.sheets import load_layout
from renderer.sheets.errors import SheetError
from tests.checks.jobs import JOB, changed, one_lawn, plan_of, two_loops
from tests.plans import ROOT
from tests.shared import compose, job_of, lay_plan
from tests.sheets.sample import all_text

if TYPE_CHECKING:
    from renderer.plan import Plan

OF_READINGS = "survey-report"
LAYOUTS = sorted({path.stem for path in (ROOT / "layouts").glob("*.yaml")} - {OF_READINGS})
ASK_FOR_LENGTHS = {"exercise", "exercise-key", "class-set", "class-set-key"}
ASK_FOR_LENGTHS |= {"fault-plates", "fault-plates-key"}


def no_setbacks() -> Plan:
    """The job with each setback 0, which the reader takes."""
    return plan_of(changed(JOB, {"machine.setback": dict.fromkeys(SETBACK_KINDS, 0)}))


def covered(job: dict[str, Any], lawn: int) -> Plan:
    """A job with one lawn that lies wholly under a bed."""
    corners = [side[:2] if isinstance(side, list) else side["at"] for side in outline(job, lawn)]
    (left, low), (right, high) = (
        [pick(corner[axis] for corner in corners) for axis in (0, 1)] for pick in (min, max)
    )
    ring = [[left, low], [right, low], [right, high], [left, high]]
    ring = [[x + dx, y + dy] for (x, y), (dx, dy) in zip(ring, CORNERS_OUT, strict=True)]
    bed = {"name": "All of it", "kind": "bed", "polygon": ring}
    return plan_of(changed(job, {"obstacles.+": bed}))


CORNERS_OUT = ((-1, -1), (1, -1), (1, 1), (-1, 1))


def outline(job: dict[str, Any], lawn: int) -> list[Any]:
    sides: list[Any] = job["lawns"][lawn]["outline"]
    return sides


@pytest.mark.parametrize("layout", LAYOUTS)
def test_setbacks_of_nothing_print(layout: str) -> None:
    assert renderer.print_sheets([job_of(no_setbacks())], layout=layout, draft=True)


@pytest.mark.parametrize("layout", LAYOUTS)
def test_a_draft_prints_where_one_loop_has_no_ground(layout: str) -> None:
    plan = covered(two_loops(), 1)
    assert [loop.name for loop in lay_plan(plan).loops] == ["main"]
    assert renderer.print_sheets([job_of(plan)], layout=layout, draft=True)


@pytest.mark.parametrize("layout", LAYOUTS)
def test_a_draft_without_any_wire_prints_or_is_refused_in_words(layout: str) -> None:
    plan = covered(one_lawn(), 0)
    assert lay_plan(plan).loops == ()
    if layout in ASK_FOR_LENGTHS:
        with pytest.raises(SheetError, match="no wire can be laid"):
            renderer.print_sheets([job_of(plan)], layout=layout, draft=True)
    else:
        assert renderer.print_sheets([job_of(plan)], layout=layout, draft=True)


def test_a_survey_report_without_readings_is_refused_in_words() -> None:
    with pytest.raises(SheetError, match="holds no readings; add ties"):
        renderer.print_sheets([job_of(no_setbacks())], layout=OF_READINGS, draft=True)


def test_a_pack_without_jobs_is_refused_in_words() -> None:
    with pytest.raises(SheetError, match="name a plan file"):
        renderer.print_sheets([], layout="day-pack")


def test_an_order_without_gauges_asks_for_none() -> None:
    """Control pegs are set out all the same."""
    shown = all_text(compose([job_of(no_setbacks())], load_layout("crew-work-order"), draft=True))
    shown = " ".join(shown.split())
    assert re.search(r"control pegs of .{0,20} by their list\.", shown)
    for wrong in (
        "with the gauge",
        "Saw for the gauge boards",
        "Two tapes, gauge",
        "Cut the gauge",
    ):
        assert wrong not in shown
