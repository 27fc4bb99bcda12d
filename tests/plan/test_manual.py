"""Where a machine's figures come from: what its manual vouches for is what the file states."""

from __future__ import annotations

import json

import pytest

from renderer.plan import PlanError, dump, loads
from renderer.plan.machine import Machine
from renderer.plan.manual import source, unconfirmed
from tests.plan.gardens import changed, refused

LABEL = "  label: Example machine\n"


def machine(from_manual: str = "", *others: tuple[str, str]) -> Machine:
    said = f"{LABEL}  from_manual: {from_manual}\n" if from_manual else LABEL
    return loads(changed((LABEL, said), *others)).machine


def test_yes_vouches_for_what_is_stated_and_for_nothing_else() -> None:
    given = machine("true")
    assert source(given, "setback.wall") == source(given, "peg_spacing.final") == "manual"
    assert source(given, "corner_radius") == "manual"  # stated, though as its default
    for unstated in ("dock.lead_max", "slope_max_percent.inside", "setback.road", "supply"):
        assert source(given, unstated) == "practice"
    assert unconfirmed(given) == []


@pytest.mark.parametrize("said", ["", "no"])
def test_without_a_yes_what_is_stated_is_only_stated(said: str) -> None:
    given = machine(said)
    assert source(given, "setback.wall") == source(given, "tail") == "stated"
    assert source(given, "dock.lead_max") == "practice"
    assert unconfirmed(given) == [
        "lay_direction", "setback", "corner_radius", "passage_min", "loop_max", "tail",
        "peg_spacing", "peg_sag",
    ]  # fmt: skip


def test_a_list_vouches_for_the_figures_and_groups_that_it_names() -> None:
    given = machine("[setback.wall, peg_spacing, tail]")
    assert source(given, "setback.wall") == source(given, "peg_spacing.first") == "manual"
    assert source(given, "setback.bed") == source(given, "loop_max") == "stated"
    found = unconfirmed(given)
    assert "setback.bed" in found and "setback.wall" not in found and "setback" not in found
    assert not {"tail", "peg_spacing"} & set(found)


@pytest.mark.parametrize(
    ("said", "says"),
    [
        ("[tali]", "did you mean 'tail'?"),
        ("[tail, dock.lead_max]", "the file does not state 'dock.lead_max'; give dock.lead_max"),
        ("[setback.road]", "the file does not state 'setback.road'"),
        ("[label]", "not a valid figure of the machine"),
        ("perhaps", "neither yes nor no"),
    ],
)
def test_what_cannot_be_vouched_for_is_refused_with_file_line_key_and_cure(
    said: str, says: str
) -> None:
    error = refused(changed((LABEL, f"{LABEL}  from_manual: {said}\n")))
    assert error.key.startswith("machine.from_manual") and says in str(error)
    assert error.line and error.cure


def test_what_is_stated_stays_so_through_a_file() -> None:
    given = loads(changed((LABEL, f"{LABEL}  from_manual: [tail, setback]\n")))
    again = loads(json.dumps(dump(given))).machine
    assert again == given.machine
    assert again.model_fields_set == given.machine.model_fields_set


def test_a_figure_left_empty_is_not_stated() -> None:
    given = machine("true", ("  tail: 0.30\n", "  tail:\n"))
    assert source(given, "tail") == "practice"
    with pytest.raises(PlanError, match="does not state 'tail'"):
        machine("[tail]", ("  tail: 0.30\n", "  tail:\n"))
