"""A plan written back as a file, and its digest."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from renderer.plan import PlanError, digest, dump, load, loads, short_code
from tests.plan.gardens import GARDEN, changed


def test_every_plan_there_is_comes_back_the_same(any_plan: Path) -> None:
    plan = load(any_plan)
    again = loads(json.dumps(dump(plan)))
    assert again == plan
    assert digest(again) == digest(plan)


def test_what_does_not_change_the_plan_does_not_change_its_digest() -> None:
    same = [
        GARDEN + "# a remark\n",
        changed(("units: m\n", ""), ("plan: 1", "units: m\nplan: 1")),
        changed(("tail: 0.30", "tail: 30 cm")),
        changed(("[20, 0, bed]", "{side: bed, at: [20.0, 0 ft]}")),
        changed(("  title: Back lawn\n", "  title: Back lawn\n  revision: A\n")),
        changed(("{at: [12, 5], radius: 1.5}", "{radius: 1.5, at: [12, 5]}")),
        json.dumps(dump(loads(GARDEN)), indent=3),
    ]
    assert {digest(loads(text)) for text in same} == {digest(loads(GARDEN))}


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("  corner_radius: 0\n", ""),  # printed as stated, or with the mark of common practice
        ("radius: 1.5", "radius: 1.501"),
        ("title: Back lawn", "title: Back lawn\n  revision: B"),
        ("Back lawn", "Back lawns"),
        ("bed: 0.30", "bed: 0.31"),
        ("[20, 0, bed]", "{at: [20, 0], side: bed, through: [21, 5]}"),
        ("units: m", "units: m\nshown_in: ft"),
        ("[5, 3], [5, 4]", "[5, 4], [5, 3]"),
    ],
)
def test_what_changes_the_plan_changes_its_digest(old: str, new: str) -> None:
    assert digest(loads(changed((old, new)))) != digest(loads(GARDEN))


def test_what_the_machine_file_holds_counts_and_that_it_is_a_file_does_not(tmp_path: Path) -> None:
    inline = GARDEN[GARDEN.index("machine:") : GARDEN.index("lawns:")]
    figures = json.dumps(dump(loads(GARDEN))["machine"])
    (tmp_path / "machine.json").write_text(figures, encoding="utf-8")
    text = changed((inline, "machine: machine.json\n"))
    assert digest(loads(text, folder=tmp_path)) == digest(loads(GARDEN))
    (tmp_path / "machine.json").write_text(figures.replace("400", "401"), encoding="utf-8")
    assert digest(loads(text, folder=tmp_path)) != digest(loads(GARDEN))


def test_a_digest_names_its_method() -> None:
    kind, _, value = digest(loads(GARDEN)).partition(":")
    assert kind == "sha256"
    assert len(value) == 64
    assert int(value, 16)


def test_feet_come_back_exactly() -> None:
    plan = loads(changed(("units: m", "units: ft"), ("tail: 0.30", "tail: 5 13/16 in")))
    held = dump(plan)
    assert (held["units"], held["shown_in"]) == ("m", "ft")
    assert loads(json.dumps(held)) == plan


@settings(max_examples=50, deadline=None)
@given(
    x=st.floats(12, 1000),
    y=st.floats(-4, 4),
    radius=st.floats(0.001, 100),
    title=st.text(st.characters(exclude_categories=["C", "Z"]), max_size=20),
)
def test_any_numbers_and_texts_come_back(x: float, y: float, radius: float, title: str) -> None:
    held = dump(loads(GARDEN))
    held["lawns"][0]["outline"][1] = [x, y, "bed"]
    held["obstacles"][0]["circle"]["radius"] = radius
    held["job"]["title"] = title
    try:
        plan = loads(json.dumps(held))
    except PlanError as error:
        pytest.fail(str(error))
    assert loads(json.dumps(dump(plan))) == plan
    assert plan.lawns[0].outline[1].at == pytest.approx((x, y), abs=1e-9)


@settings(max_examples=50, deadline=None)
@given(st.binary(min_size=32, max_size=32))
def test_a_short_code_is_eight_letters_hard_to_misread(raw: bytes) -> None:
    code = short_code("sha256:" + raw.hex())
    assert len(code) == 8
    assert not set(code) & set("0O1IL2Z5S8BUV")
    assert code == code.upper()


def test_short_codes_differ() -> None:
    codes = {short_code(f"sha256:{'0' * 56}{number:08x}") for number in range(2000)}
    assert len(codes) == 2000
