"""Reading plan files: both syntaxes, their lines, and everything a file can be instead."""

from __future__ import annotations

import json
import os
import re
from datetime import date
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from renderer.plan import PlanError, dump, load, loads
from renderer.plan import files as plan_files
from tests.plan.gardens import GARDEN, changed, refused
from tests.plans import demo_plans


def test_reads_every_plan_there_is(any_plan: Path) -> None:
    plan = load(any_plan)
    assert plan.lawns
    assert all(kind in plan.machine.setback for lawn in plan.lawns for kind in _sides(lawn))


def _sides(lawn: object) -> set[str]:
    return {vertex.side for vertex in lawn.outline}  # type: ignore[attr-defined]


def test_scalars_are_what_is_written_and_not_what_yaml_guesses() -> None:
    plan = loads(changed(("FH-0007", "012"), ("Back lawn", "yes"), ("[1 Example Row", "[1:30")))
    assert plan.job.number == "012"
    assert plan.job.title == "yes"
    assert plan.job.site[0] == "1:30"
    assert plan.job.planned_for == date(2026, 5, 4)


def test_values_are_plain_types() -> None:
    plan = loads(GARDEN)
    assert type(plan.job.number) is str
    assert type(plan.lawns[0].outline[0].side) is str
    assert type(plan.lawns[0].outline[0].at[0]) is float
    assert {type(kind) for kind in plan.machine.setback} == {str}


def test_feet_are_metres_inside_and_a_unit_overrules() -> None:
    plan = loads(changed(("units: m", "units: ft"), ("tail: 0.30", "tail: 12 in")))
    assert plan.units == "ft"
    assert plan.machine.tail == 0.3048
    assert plan.machine.passage_min == 0.3048
    assert plan.lawns[0].outline[1].at == pytest.approx((6.096, 0.0))
    assert plan.obstacles[0].circle is not None
    assert plan.obstacles[0].circle.radius == pytest.approx(0.4572)
    assert plan.wire.spools == pytest.approx((30.48, 30.48))
    assert plan.wire.conductor_mm2 == 0.75


def test_north_is_known_only_where_the_plan_says_so() -> None:
    assert loads(GARDEN).north is None
    assert loads(GARDEN + "north: -12.5\n").north == -12.5
    error = str(refused(GARDEN + "north: up\n"))
    assert f"{GARDEN.count(chr(10)) + 1}" in error and "north" in error
    assert "degrees" in str(refused(GARDEN + "north: 400\n"))


def test_defaults_are_metres_in_a_file_in_feet() -> None:
    plan = loads(changed(("units: m", "units: ft"), ("  tail: 0.30\n", "")))
    assert plan.machine.tail == 0.3


def test_feet_and_inches_in_a_flow_list() -> None:
    plan = loads(changed(("[20, 0, bed]", "[20 ft, 2' 6\", bed]")))
    assert plan.lawns[0].outline[1].at == pytest.approx((6.096, 0.762))


def test_a_side_in_its_long_form_may_be_an_arc() -> None:
    arc = "{at: [20, 0], side: bed, through: [21, 5]}"
    plan = loads(changed(("[20, 0, bed]", arc)))
    assert plan.lawns[0].outline[1].through == (21.0, 5.0)
    assert plan.lawns[0].outline[1].side == "bed"


def test_a_key_with_nothing_behind_it_counts_as_left_out() -> None:
    plan = loads(changed(("title: Back lawn", "title:"), ("tail: 0.30", "tail: ~")))
    assert plan.job.title == ""
    assert plan.machine.tail == 0.3


def test_shown_in_changes_what_is_printed_and_no_length() -> None:
    plan = loads(changed(("units: m", "units: m\nshown_in: ft")))
    assert plan.units == "ft"
    assert plan.lawns == loads(GARDEN).lawns


def test_json_is_read_alike() -> None:
    plan = loads(GARDEN)
    held = yaml.load(GARDEN, yaml.BaseLoader)
    text = json.dumps(_numbers(held), indent="\t")
    assert loads(text, "g.json") == plan
    assert loads(text, "no ending") == plan
    assert loads(text.replace("\n", "\r\n")) == plan


def _numbers(value: object) -> object:
    if isinstance(value, dict):
        return {key: _numbers(held) for key, held in value.items()}
    if isinstance(value, list):
        return [_numbers(held) for held in value]
    try:
        return float(str(value)) if "." in str(value) else int(str(value))
    except ValueError:
        return value


def test_json_texts_keep_their_escapes() -> None:
    held = dump(loads(GARDEN)) | {"job": {"number": "N/1", "title": "Wiese Süd \U0001f33f"}}
    plain = json.dumps(held, ensure_ascii=True).replace("/", "\\/")
    assert "\\ud83c" in plain
    assert loads(plain, "g.json").job.title == "Wiese Süd \U0001f33f"


def test_json_errors_have_lines() -> None:
    held = dump(loads(GARDEN))
    held["machine"]["peg_sag"] = "much"
    text = json.dumps(held, indent=1)
    line = next(n for n, row in enumerate(text.split("\n"), 1) if "much" in row)
    error = refused(text, "g.json")
    assert (error.line, error.key) == (line, "machine.peg_sag")


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ('{"plan": 1,\n "plan": 1}', 2, "'plan' appears twice, first on line 1"),
        ('{"plan": 1,\n}', 2, "key in double quotes"),
        ('{"plan": 1\n "job": 2}', 2, "comma"),
        ('{"plan" 1}', 1, "colon"),
        ('{"plan": 01}', 1, "comma"),
        ('{"plan": NaN}', 1, "not JSON"),
        ('{"plan": tru}', 1, "not JSON"),
        ('{"plan": 1} 2', 1, "after the end"),
        ('{"plan": "a\tb"}', 1, "control character"),
        ('{\n"a": "\\q"}', 2, "escape"),
        ('{"a": "b', 1, "no closing quotes"),
        ('{"a": [1, 2', 1, "comma"),
        ("", 1, "not JSON"),
        ("[1, 2]", 1, "no keys with values"),
        ('{"a":' * 3000, 1, "deep"),
        ("[" * 3000, 1, "deep"),
        ('{"plan": 1, "job": {"number": "\\ud800"}}', 1, ""),
    ],
)
def test_json_that_is_none(text: str, line: int, says: str) -> None:
    error = refused(text, "g.json")
    assert error.line == line
    assert says in error.problem


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("", 1, "the file is empty"),
        ("\n# only a remark\n", 1, "the file is empty"),
        ("- a\n- b", 1, "no keys with values"),
        ("plan", 1, "no keys with values"),
        ("plan: 1\nunits: m\nplan: 1", 3, "appears twice, first on line 1"),
        ("plan: 1\njob:\n\tnumber: 3", 3, "tab"),
        ("plan: 1\njob: a: b", 2, "mapping values"),
        ("plan: 1\nlawns:\n  -name: A\n    outline: []", 3, "there is no space after the dash"),
        ("plan: 1\njob: [1, 2\n\n\n", 2, "flow sequence"),
        ("plan: 1\njob: [1,\n 2}\n", 3, "begun on line 2"),
        ("plan: 1\njob: &here {number: 1}", 2, "anchor or alias 'here'"),
        ("plan: *one", 1, "alias 'one'"),
        ("plan: !!python/name:os.system 1", 1, "tag"),
        ("plan: !mine 1", 1, "tag"),
        ("job: !!map {}", 1, "tag"),
        ("? [a]\n: 1", 1, "a key is a list"),
        ("{a: 1}: 2", 1, "a key is a list"),
        ("---\nplan: 1\n---\nplan: 1", 3, "second document"),
        ("[" * 3000, 1, ""),
        ("{a: " * 3000, 1, ""),
        ("- " * 3000, 1, ""),
        ("plan: \x07", 1, "U+0007"),
        ("plan: 1\n\x00", 2, "U+0000"),
        ("plan: a\u2028b", 1, "U+2028"),
        ("plan: \ud800", 1, "U+D800"),
        ('plan: "never closed', 1, "end of stream"),
        ("%YAML 9.9\n---\nplan: 1", 1, "YAML"),
    ],
)
def test_yaml_that_is_none(text: str, line: int, says: str) -> None:
    error = refused(text)
    assert error.line == line
    assert says in error.problem
    assert "\n" not in str(error)


def test_aliases_cannot_grow() -> None:
    bomb = "a: &a [x, x]\n" + "".join(
        f"{chr(98 + n)}: &{chr(98 + n)} [*{chr(97 + n)}, *{chr(97 + n)}]\n" for n in range(20)
    )
    assert refused(bomb).line == 1


def test_a_byte_order_mark_and_other_line_ends_are_read(tmp_path: Path) -> None:
    path = tmp_path / "plan.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + GARDEN.replace("\n", "\r\n").encode())
    assert load(path) == loads(GARDEN)
    path.write_bytes(GARDEN.replace("tail", "tial").replace("\n", "\r").encode())
    with pytest.raises(PlanError) as caught:
        load(path)
    assert caught.value.line == GARDEN[: GARDEN.index("tail")].count("\n") + 1


def test_text_that_is_not_utf_8_names_its_line(tmp_path: Path) -> None:
    path = tmp_path / "plan.yaml"
    path.write_bytes(b"plan: 1\ntitle: W\xfchre\n")
    with pytest.raises(PlanError, match=r"plan\.yaml:2: the file is not UTF-8"):
        load(path)


def test_no_file_a_folder_and_a_path_that_is_none(tmp_path: Path) -> None:
    with pytest.raises(PlanError, match="file not found"):
        load(tmp_path / "plan.yaml")
    with pytest.raises(PlanError, match="this is a folder"):
        load(tmp_path)
    with pytest.raises(PlanError, match="cannot be read"):
        load("a\0b")


def test_a_file_too_large_is_not_read_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(plan_files, "BYTES_MAX", 1_000_000)
    path = tmp_path / "plan.yaml"
    path.write_bytes(b"plan: 1\n" + b"#" * 1_000_000)
    with pytest.raises(PlanError, match="larger than 1 MB"):
        load(path)


MACHINE = """\
units: ft
label: Shared machine
setback: {flush: 4 in, wall: 1, fence: 1, bed: 1, water: 3, tree: 1}
passage_min: 4
loop_max: 1300
"""
INLINE = GARDEN[GARDEN.index("machine:") : GARDEN.index("lawns:")]


def _with_machine(folder: Path, machine: str, *changes: tuple[str, str]) -> Path:
    (folder / "machines").mkdir()
    (folder / "machines" / "shared.yaml").write_text(machine, encoding="utf-8")
    path = folder / "plan.yaml"
    path.write_text(
        changed((INLINE, "machine: machines/shared.yaml\n"), *changes), encoding="utf-8"
    )
    return path


def test_a_machine_file_has_its_own_unit(tmp_path: Path) -> None:
    plan = load(_with_machine(tmp_path, MACHINE))
    assert plan.units == "m"
    assert plan.machine.setback["wall"] == 0.3048
    assert plan.machine.loop_max == pytest.approx(396.24)
    assert plan.machine.tail == 0.3
    assert plan.lawns == loads(GARDEN).lawns


def test_a_machine_file_without_a_unit_is_in_metres(tmp_path: Path) -> None:
    machine = MACHINE.replace("units: ft\n", "").replace("1300", "300")
    plan = load(_with_machine(tmp_path, machine, ("units: m", "units: ft")))
    assert plan.machine.setback["wall"] == 1.0
    assert plan.lawns[0].outline[1].at[0] == pytest.approx(6.096)


def test_a_machine_file_may_be_json(tmp_path: Path) -> None:
    held = dump(loads(GARDEN))["machine"]
    path = _with_machine(tmp_path, json.dumps(held, indent=2))
    assert load(path) == loads(GARDEN)


@pytest.mark.parametrize(
    ("old", "new", "line", "key"),
    [
        ("loop_max: 1300", "loop_max: 1300\ntial: 1", 6, "tial"),
        ("wall: 1", "wall: -1", 3, "setback.wall"),
        ("wall: 1, ", "", 3, "setback.wall"),
        ("units: ft", "units: yd", 1, "units"),
        ("passage_min: 4\n", "", 1, "passage_min"),
        ("passage_min: 4", "passage_min: [", 4, ""),
    ],
)
def test_errors_of_a_machine_file_name_that_file(
    tmp_path: Path, old: str, new: str, line: int, key: str
) -> None:
    assert old in MACHINE
    with pytest.raises(PlanError) as caught:
        load(_with_machine(tmp_path, MACHINE.replace(old, new, 1)))
    error = caught.value
    assert error.path.endswith(os.path.join("machines", "shared.yaml"))
    assert (error.line, error.key) == (line, key)


def test_all_errors_of_both_files_are_told(tmp_path: Path) -> None:
    bad = MACHINE.replace("wall: 1", "wall: x").replace("passage_min: 4", "passage_min: y")
    path = _with_machine(
        tmp_path, bad, ("FH-0007", "[]"), ("kind: water", "kind: lava"), ("mm2: 0.75", "mm2: 7")
    )
    with pytest.raises(PlanError) as caught:
        load(path)
    keys = [error.key for error in caught.value.all]
    assert keys == [
        "job.number",
        "setback.wall",
        "passage_min",
        "obstacles[0].kind",
        "wire.conductor_mm2",
    ]


def test_a_machine_file_that_is_not_there(tmp_path: Path) -> None:
    path = tmp_path / "plan.yaml"
    path.write_text(changed((INLINE, "machine: away.yaml\n")), encoding="utf-8")
    with pytest.raises(PlanError) as caught:
        load(path)
    assert caught.value.path == str(path)
    assert caught.value.key == "machine"
    assert "away.yaml" in caught.value.problem
    assert len(caught.value.all) == 1


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=60))
def test_any_text_gives_a_plan_or_one_line(text: str) -> None:
    _plan_or_line(text, "g.yaml")
    _plan_or_line(text, "g.json")


@settings(max_examples=60, deadline=None)
@given(raw=st.binary(max_size=60))
def test_any_file_gives_a_plan_or_one_line(
    raw: bytes, tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = tmp_path_factory.getbasetemp() / "any.yaml"
    path.write_bytes(raw)
    with pytest.raises(PlanError) as caught:
        load(path)
    assert str(caught.value).startswith(str(path))
    assert str(caught.value).isprintable()


_leaves = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=5), st.just("wall")
)
_trees = st.recursive(
    _leaves,
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=6,
)
_paths = st.sampled_from(
    [
        ("plan",), ("units",), ("job",), ("job", "site"), ("machine",), ("machine", "setback"),
        ("machine", "setback", "wall"), ("machine", "peg_spacing"), ("survey",), ("lawns",),
        ("lawns", 0), ("lawns", 0, "outline"), ("lawns", 0, "outline", 1),
        ("lawns", 0, "outline", 1, 2), ("obstacles", 0, "circle"), ("obstacles", 0, "circle", "at"),
        ("obstacles", 1, "polygon"), ("features",), ("features", 0), ("loops", 0, "dock"),
        ("loops", 0, "crossings"), ("wire",), ("wire", "spools"), ("acknowledged",), ("extra",),
    ]
)  # fmt: skip


@settings(max_examples=200, deadline=None)
@given(_paths, _trees)
def test_any_value_anywhere_gives_a_plan_or_one_line(
    path: tuple[str | int, ...], value: object
) -> None:
    held = dump(loads(GARDEN))
    node = held
    for step in path[:-1]:
        node = node[step]
    node[path[-1]] = value
    _plan_or_line(json.dumps(held), "g.json")


def _plan_or_line(text: str, name: str) -> None:
    try:
        loads(text, name)
    except PlanError as error:
        for one in error.all:
            line = str(one)
            assert line.startswith(name)
            assert line.isprintable()
            assert one.problem


@pytest.mark.parametrize("begins", [b"%PDF-1.7\n\xff", b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff\xe0"])
def test_a_print_given_for_a_plan_is_told_apart(tmp_path: Path, begins: bytes) -> None:
    path = tmp_path / "order.pdf"
    path.write_bytes(begins)
    with pytest.raises(PlanError, match=f"PDF or a picture; 'pegline extract {path} -o plan.yaml'"):
        load(path)


def test_another_programs_file_is_sent_to_the_importer() -> None:
    error = refused('<?xml version="1.0"?>\n<kml></kml>', "g.kml")
    assert error.problem == "the file has no keys with values"
    assert "pegline new --from" in error.cure


@pytest.mark.parametrize("unit", ["cm", "inches", "M", "7"])
@pytest.mark.parametrize("path", demo_plans(), ids=lambda path: path.name.split(".")[0])
def test_an_unknown_unit_brings_no_mistake_that_is_none(path: Path, unit: str) -> None:
    text = re.sub(r"^units:.*\n", "", path.read_text("utf-8"), flags=re.M)
    text = text.replace("plan: 1\n", f"plan: 1\nunits: {unit}\n", 1)
    with pytest.raises(PlanError) as told:
        loads(text, path.name, path.parent)
    assert [error.key for error in told.value.all] == ["units"]
    slip = text.replace("\nlawns:", "\nlawnz:", 1)
    with pytest.raises(PlanError) as told:
        loads(slip, path.name, path.parent)
    assert {"units", "lawnz"} <= {error.key for error in told.value.all}
