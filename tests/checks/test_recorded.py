"""Records held against the design they were made on, and against what sound wire reads.

Resistance by IEC 60228:2004, table 3: at most 26.0 ohm/km for 0.75 mm2 of class 5 at 20 degC;
copper reads 0.393 % less for each degree below.
"""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest

from renderer.checks import recorded
from renderer.job import Job, prepare
from renderer.plan import PlanError, for_owner, load, loads
from tests.checks.jobs import changed
from tests.checks.jobs import plan_of as plan_of_job
from tests.checks.mistakes import RECORDED
from tests.plans import ROOT
from tests.records.test_built import WAYS, plan_of

each_way = pytest.mark.parametrize("how", list(WAYS))
OHM_PER_M, PER_DEGREE = 0.026, 0.00393
DAY = "2026-06-09"
BED = {"name": "New bed", "kind": "bed", "circle": {"at": [6, 5], "radius": 1.0}}


def built(how: str = "as it is", changes: Any = (), readings: Any = (), **record: Any) -> Job:
    plan = plan_of(how, {"date": DAY, **record}, changes)
    plan["as_built"]["readings"] = list(readings)  # which no unit of length changes
    return job_of(plan)


def job_of(plan: dict[str, Any]) -> Job:
    return prepare(loads(json.dumps(plan)))


def of_rule(job: Job, rule: str) -> list[str]:
    return [each.message for each in job.findings_in("en") if each.rule == rule]


def read(ohm: float, temperature: float = 20.0) -> list[dict[str, Any]]:
    return [{"what": "main", "ohm": round(ohm, 3), "temperature": temperature}]


@pytest.mark.parametrize("mistake", RECORDED.values(), ids=RECORDED.keys())
def test_each_record_trips_its_rule_and_the_garden_as_planned_none(mistake: Any) -> None:
    job, changes, rules = mistake
    found = prepare(plan_of_job(changed(job, changes)))
    known = {rule.id for rule in recorded.RULES}
    assert {each.rule for each in found.findings} & known == rules
    assert not {each.rule for each in found.as_planned.findings} & known


@each_way
@pytest.mark.parametrize("celsius", [-5.0, 31.0])
def test_a_loop_that_reads_as_its_wire_does_is_sound_and_one_far_off_is_not(
    how: str, celsius: float
) -> None:
    """What tells is the wire as it lay, at the temperature of the day."""
    length = built(how).lay.loops[0].length_m
    sound = length * OHM_PER_M * (1.0 + PER_DEGREE * (celsius - 20.0))
    for share, found in ((1.0, 0), (0.75, 1), (1.25, 1)):
        job = built(how, readings=read(sound * share, celsius))
        assert len(of_rule(job, "reading-off")) == found, share
        assert not [each for each in job.as_planned.findings if each.rule == "reading-off"]


def test_a_reading_is_held_against_the_wire_of_its_own_day_and_the_last_one_counts() -> None:
    """What is sound before a bed is added is too little after it, and the other way round."""
    change: dict[str, Any] = {"date": "2029-04-12", "added": [BED]}
    first = built().lay.loops[0].length_m * OHM_PER_M
    second = built(changes=[change]).lay.loops[0].length_m * OHM_PER_M
    assert second > 1.2 * first
    assert not of_rule(built(changes=[change], readings=read(first)), "reading-off")
    (told,) = of_rule(built(changes=[change], readings=read(second)), "reading-off")
    assert DAY in told
    sound, low = ([change | {"readings": read(ohm)}] for ohm in (second, 0.75 * second))
    assert not of_rule(built(changes=sound, readings=read(9.9)), "reading-off")
    (told,) = of_rule(built(changes=low, readings=read(first)), "reading-off")
    assert "2029-04-12" in told


def test_a_measured_spool_says_what_sound_wire_reads() -> None:
    """0.65 ohm of a spool of 50 m, read at 20 degC, is that of thicker wire than stated."""
    spool = {"what": "spool 1", "ohm": 0.65, "temperature": 20}
    length = built().lay.loops[0].length_m
    by_spool, by_standard = length * 0.65 / 50, length * OHM_PER_M
    for ohm, found in ((by_spool, 0), (by_standard, 1)):
        job = built(spools=[50, 60], readings=[spool, *read(ohm)])
        assert len(of_rule(job, "reading-off")) == found


def test_poor_insulation_is_told_and_needs_no_other_reading() -> None:
    for megohm, found in ((0.2, 1), (0.5, 0), (200, 0)):
        job = built(readings=[{"what": "main", "insulation_megohm": megohm}])
        assert len(of_rule(job, "insulation-poor")) == found
        assert not of_rule(job, "reading-off")
    with pytest.raises(PlanError) as raised:
        built(readings=[{"what": "main"}])
    assert raised.value.key == "as_built.readings[0]" and "insulation_megohm" in raised.value.cure


@pytest.mark.parametrize(
    ("spools", "rule"),
    [([], "spools-not-stated"), ([1.02], "stock-without-reserve")],
)
def test_wire_that_lies_is_not_asked_for_stock(spools: list[float], rule: str) -> None:
    """Nor for its reserve, where one spool is a little longer than the wire."""
    plan = plan_of(as_built={"date": DAY})
    laid = built().lay.loops[0].length_m
    plan["wire"]["spools"] = [share * laid for share in spools]
    job = job_of(plan)
    assert rule in {each.rule for each in job.as_planned.findings}
    assert rule not in {each.rule for each in job.findings}


def put(plan: dict[str, Any], path: tuple[Any, ...], value: Any) -> dict[str, Any]:
    """A plan with one value replaced."""
    other = copy.deepcopy(plan)
    held: Any = other
    for key in path[:-1]:
        held = held[key]
    held[path[-1]] = value
    return other


@pytest.mark.parametrize("how", ["as it is", "in feet", "on a grid"])
def test_a_design_that_is_edited_after_it_was_laid_from_is_told(how: str) -> None:
    """Whatever moves wire, pegs or splices."""
    code = built(how).design_code
    noted = {"date": DAY, "design": code.lower(), "moved": [{"peg": "9", "offset": 0.05}]}
    plan = plan_of(how, noted)
    assert not of_rule(job_of(plan), "design-edited")
    for path, value in (
        (("machine", "setback", "bed"), "31 cm"),
        (("obstacles", 0, "circle", "radius"), "0.9 m"),
        (("wire", "spools"), ["50 m", "60 m"]),
    ):
        job = job_of(put(plan, path, value))
        (told,) = of_rule(job, "design-edited")
        assert code in told and job.design_code in told and job.design_code != code, path
        assert next(each.level for each in job.findings if each.rule == "design-edited") == "stop"
        assert not of_rule(job.as_planned, "design-edited")


def test_the_code_goes_by_what_moves_wire_and_by_nothing_else() -> None:
    plan = plan_of(as_built={"date": DAY})
    code = job_of(plan).design_code
    for path, value in (
        (("job", "title"), "Another title"),
        (("job", "planned_for"), "2026-06-10"),
        (("machine", "label"), "Another label"),
        (("machine", "loop_max"), "300 m"),
        (("machine", "splice_clear"), "1 m"),  # as it is where nothing is said
        (("lawns", 0, "name"), "Back lawn"),
        (("as_built", "by"), "Van 3"),
        (("as_built", "added"), [BED]),
        (("wire", "slack_percent"), 10),
    ):
        assert job_of(put(plan, path, value)).design_code == code, path
    others = [
        job_of(put(plan, path, value)).design_code
        for path, value in (
            (("machine", "peg_spacing"), {"first": "3 m", "final": "0.7 m"}),
            (("machine", "splice_clear"), "1.2 m"),
            (("machine", "lay_direction"), "clockwise"),
            (("lawns", 0, "outline", 2, 1), 10.01),
            (("lawns", 0, "outline", 2, 2), "bed"),
            (("loops", 0, "dock", "at", 0), 4.01),
        )
    ]
    assert len({code, *others}) == 7


def test_a_peg_that_is_no_longer_there_names_the_design_as_the_cause() -> None:
    plan = plan_of(as_built={"design": "K4RW7QMX", "moved": [{"peg": "999", "offset": 0.1}]})
    with pytest.raises(PlanError) as raised:
        job_of(plan).lay  # noqa: B018
    assert "was K4RW7QMX" in raised.value.cure


def test_records_without_the_code_are_valid_and_get_a_note() -> None:
    (told,) = of_rule(built(splices=[{"at_m": 30}]), "design-not-noted")
    assert built().design_code in told
    assert not of_rule(built(readings=read(2.0)), "design-not-noted")


@pytest.mark.parametrize("text", ["MW3XYKM", "MW3XYKM0", "the first one"])
def test_what_cannot_be_a_design_code_is_refused(text: str) -> None:
    with pytest.raises(PlanError) as raised:
        built(design=text)
    assert raised.value.key == "as_built.design"


def test_a_later_change_has_no_design_of_its_own() -> None:
    with pytest.raises(PlanError) as raised:
        built(changes=[{"design": "K4RW7QMX", "added": [BED]}])
    assert raised.value.key == "changes[0].design"


def test_the_code_stays_in_a_copy_for_the_owner() -> None:
    for name in ("practice-lawn", "life/sorrel-bank"):
        job = prepare(load(ROOT / f"demo/{name}.plan.yaml"))
        assert prepare(for_owner(job.written)).design_code == job.design_code
        assert job.as_planned.design_code == job.near.design_code == job.design_code


def test_of_a_splice_that_lies_nobody_is_told_to_cut_a_spool() -> None:
    job = built(splices=[{"at_m": 16.0}])
    cures = {each.cure for each in job.findings_in("en") if each.rule == "splice-near-corner"}
    assert len(cures) == 1 and not any("spool" in cure for cure in cures)
    planned = plan_of()
    planned["wire"]["spools"] = ["16 m", "60 m"]
    job = job_of(planned | {"machine": planned["machine"] | {"splice_clear": "9 m"}})
    cures = {each.cure for each in job.findings_in("en") if each.rule == "splice-near-corner"}
    assert len(cures) == 1 and all("spool" in cure for cure in cures)
