"""What must hold in a plan: each mistake gives its line, its key and its cure."""

from __future__ import annotations

import math
import pickle

import pytest

from renderer.plan import Plan, PlanError, dump, loads
from tests.plan.gardens import GARDEN, changed, refused

OUTLINE = "[[0, 0, wall], [20, 0, bed], [20, 10, flush], [0, 10, wall]]"
ROUND = "[{at: [0, 0], side: wall, through: [5, -5]}, {at: [10, 0], side: bed, through: [5, 5]}]"

MISTAKES = [
    # old, new, key, part of the line
    ("obstacles:", "obstacels:", "obstacels", "did you mean 'obstacles'?"),
    ("passage_min", "pasage_min", "machine.pasage_min", "did you mean 'passage_min'?"),
    ("machine:", "machin:", "machin", "did you mean 'machine'?"),
    ("tail: 0.30", "zzz: 1", "machine.zzz", "known keys here: label"),
    ("water: 1.0", "watre: 1.0", "machine.setback.watre", "did you mean 'water'?"),
    ("water: 1.0", "firm: 1.0", "machine.setback.firm", "leave this setback out"),
    ("water: 1.0, ", "", "machine.setback.water", "add 'water' from the maker's manual"),
    ("tree: 0.30}", "tree: -0.30}", "machine.setback.tree", "-0.3 m is negative"),
    ("plan: 1", "plan: 2", "plan", "version 1, not '2'"),
    ("plan: 1", "planned: 1", "planned", "did you mean 'plan'?"),
    ("units: m", "units: yd", "units", "write one of: m, ft"),
    ("units: m", "units: m\nshown_in: inch", "shown_in", "write one of: m, ft"),
    ("  number: FH-0007\n", "", "job.number", "add 'number'"),
    ("FH-0007", '""', "job.number", "it is empty"),
    ("FH-0007", '"FH\\n7"', "job.number", "U+000A"),
    ("FH-0007", '"FH\\u202e7"', "job.number", "U+202E"),
    ("Back lawn", '"Back \\a lawn"', "job.title", "U+0007"),
    ("Back lawn", "x" * 2001, "job.title", "2001 characters"),
    ("2026-05-04", "2026-02-30", "job.planned_for", "'2026-02-30' is not a calendar date"),
    ("2026-05-04", "4 May", "job.planned_for", "year-month-day"),
    ("[1 Example Row, Nowhere]", "1 Example Row", "job.site", "not a list"),
    ("anticlockwise", "anti-clockwise", "machine.lay_direction", "did you mean 'anticlockwise'?"),
    ("corner_radius: 0", "corner_radius: 0.6", "machine.corner_radius", "at most 0.5 m"),
    ("kind: bed, polygon", "kind: bed, depth: 1, polygon", "obstacles[1].depth", "only water"),
    ("percent: 25", "percent: 25, carries: gas", "features[0].carries", "buried cable or pipe"),
    ("percent: 25", "percent: 25, carries: petrol", "features[0].carries", "not a valid service"),
    ("passage_min: 1.0", "passage_min: 0", "machine.passage_min", "0 m is too small"),
    ("loop_max: 400", "loop_max: -4", "machine.loop_max", "negative"),
    ("loop_max: 400", "loop_max: lots", "machine.loop_max", "'lots' is not a length"),
    ("first: 3.0, ", "first: 0.5, ", "machine.peg_spacing.final", "wider than the first"),
    ("peg_sag: 0.02", "peg_sag: 0", "machine.peg_sag", "0 m is too small"),
    (OUTLINE, "[[0, 0, wall], [20, 0, bed]]", "lawns[0].outline", "2 corners"),
    (OUTLINE, "5", "lawns[0].outline", "not a list of sides"),
    ("[20, 0, bed]", "[20, 0]", "lawns[0].outline[1]", "the kind of the side is missing"),
    ("[20, 0, bed]", "[20, 0, 0, bed]", "lawns[0].outline[1]", "not a side"),
    ("[20, 0, bed]", "[20, 0, bad]", "lawns[0].outline[1][2]", "did you mean 'bed'?"),
    ("[20, 0, bed]", "[20, 0, tree]", "lawns[0].outline[1][2]", "not a valid kind of side"),
    ("[20, 0, bed]", "[20, 0 yd, bed]", "lawns[0].outline[1][1]", "'0 yd' is not a length"),
    ("[20, 0, bed]", "[1e9, 0, bed]", "lawns[0].outline[1][0]", "beyond"),
    ("[20, 0, bed]", "[20000, 0, bed]", "lawns[0].outline", "20 km across"),
    ("[20, 0, bed]", "{at: [20, 0]}", "lawns[0].outline[1]", "'side' is missing"),
    ("[20, 0, bed]", "{at: 20, side: bed}", "lawns[0].outline[1].at", "not a point"),
    ("[20, 0, bed]", "{at: [20, 0], sied: bed, side: bed}", "lawns[0].outline[1].sied", "'side'?"),
    (
        "[20, 0, bed]",
        "{at: [20, 0], side: bed, through: [20, 5]}",
        "lawns[0].outline[1].through",
        "straight line",
    ),
    (
        "[20, 0, bed]",
        "{at: [20, 0], side: bed, through: [1, 5]}",
        "lawns[0].outline[0]",
        "crosses the side that starts at outline[",
    ),
    (
        "[20, 0, bed], [20, 10, flush]",
        "[20, 10, flush], [20, 0, bed]",
        "lawns[0].outline[0]",
        "crosses the side that starts at outline[2]",
    ),
    ("[0, 10, wall]]", "[0, 10, wall], [0, 0, wall]]", "lawns[0].outline[4]", "closes itself"),
    ("[20, 10, flush]", "[20, 0, flush]", "lawns[0].outline[2]", "same place as outline[1]"),
    ("[20, 10, flush]", "[20, 0.00005, flush]", "lawns[0].outline[2]", "as outline[1]"),
    ("[20, 10, flush]", "[12, 0, flush]", "lawns[0].outline[0]", "runs back along"),
    ("lawns:\n", "lawns: []\nold:\n", "lawns", "the list is empty"),
    ("kind: water", "kind: waters", "obstacles[0].kind", "did you mean 'water'?"),
    ("radius: 1.5", "radius: -1.5", "obstacles[0].circle.radius", "-1.5 m is negative"),
    ("radius: 1.5", "radius: 0", "obstacles[0].circle.radius", "0 m is too small"),
    ("radius: 1.5", "radius: .nan", "obstacles[0].circle.radius", "not a length"),
    ("radius: 1.5", "radius: 1e300", "obstacles[0].circle.radius", "beyond 100,000 m"),
    (", circle: {at: [12, 5], radius: 1.5}", "", "obstacles[0]", "none of circle or polygon"),
    (
        "circle: {at: [12, 5], radius: 1.5}",
        "circle: {at: [12, 5], radius: 1.5}, polygon: [[1, 1], [2, 1], [2, 2]]",
        "obstacles[0]",
        "both circle and polygon",
    ),
    ("[5, 3], [5, 4]]", "[5, 3]]", "obstacles[1].polygon", "at least 3 corners"),
    ("[5, 3], [5, 4]]", "[5, 4], [5, 3], [3, 4]]", "obstacles[1].polygon[0]", "polygon[2]"),
    (
        "[5, 3], [5, 4]]",
        "[5, 3], [5]]",
        "obstacles[1].polygon[2]",
        "a point has two numbers, not 1",
    ),
    ("name: Herbs", "name: ' POND'", "obstacles[1].name", "already used by obstacles[0]"),
    (", percent: 25", "", "features[0].percent", "steepness of the slope is missing"),
    (
        "kind: slope, polygon: [[0, 8], [6, 8], [6, 10], [0, 10]]",
        "kind: gate",
        "features[0]",
        "none",
    ),
    ("polygon: [[0, 8], [6, 8], [6, 10], [0, 10]]", "at: [0, 8]", "features[0]", "needs an area"),
    (
        "polygon: [[0, 8], [6, 8], [6, 10], [0, 10]]",
        "line: [[0, 8]]",
        "features[0].line",
        "2 points",
    ),
    ("name: main", "name: mian", "lawns[0].loop", "no loop is named 'main'"),
    ("outline: ", "loop: mian\n    outline: ", "lawns[0].loop", "did you mean 'main'?"),
    ("    dock: {at: [6, 0.3]}\n", "", "loops[0]", "none of dock or generator"),
    ("dock: ", "generator: {at: [1, 1]}\n    dock: ", "loops[0]", "both dock and generator"),
    ("loops:\n", "loops:\n  - {name: spare, dock: {at: [1, 1]}}\n", "loops[0]", "no lawn is on"),
    ("[6, 0.3]", "[99999, 0.3]", "loops[0].dock.at", "more than 10 km from the first lawn"),
    ("lead: 4.0", "lead: -4", "loops[0].supply.lead", "negative"),
    ("conductor_mm2: 0.75", "conductor_mm2: 0.8", "wire.conductor_mm2", "0.5, 0.75, 1, 1.5"),
    ("conductor_mm2: 0.75", 'conductor_mm2: "0.75"', "wire.conductor_mm2", "without quotes"),
    ("conductor_mm2: 0.75", "conductor_mm2: 1:30", "wire.conductor_mm2", "not a number"),
    ("conductor_mm2: 0.75", "conductor_awg: 9", "wire.conductor_awg", "from 10 to 24"),
    ("conductor_mm2: 0.75", "conductor_awg: 18.5", "wire.conductor_awg", "not a whole number"),
    ("conductor_mm2: 0.75, ", "", "wire", "none of conductor_mm2, conductor_awg or ohm_per_100m"),
    ("mm2: 0.75,", "mm2: 0.75, conductor_awg: 18,", "wire", "both conductor_mm2 and conductor_awg"),
    ("conductor: copper", "conductor: steel", "wire.conductor", "give ohm_per_100m"),
    (
        "slack_percent: 5",
        "measured: [{length: 100, ohm: 0, temperature: 14}]",
        "wire.measured[0].ohm",
        "0 ohm",
    ),
    (
        "slack_percent: 5",
        "measured: [{length: 100, ohm: 2.4}]",
        "wire.measured[0].temperature",
        "add 'temperature'",
    ),
    (
        "slack_percent: 5",
        "measured: [{length: 100, ohms: 2.4, temperature: 14}]",
        "wire.measured[0].ohms",
        "did you mean 'ohm'?",
    ),
    ("slack_percent: 5", "slack_percent: -5", "wire.slack_percent", "-5 % is negative"),
    ("slack_percent: 5", "slack_percent: 5 %", "wire.slack_percent", "not a number"),
    ("slack_percent: 5", "conductor_class: 3", "wire.conductor_class", "write 1, 2 or 5"),
    ("slack_percent: 5", "packs: {pegs: 0}", "wire.packs.pegs", "0 is too small"),
    ("spools: [100, 100]", "spools: [100, -1]", "wire.spools[1]", "negative"),
    ("features:", "survey: {pionts: []}\nfeatures:", "survey.pionts", "did you mean 'points'?"),
]


@pytest.mark.parametrize(("old", "new", "key", "says"), MISTAKES)
def test_a_mistake_is_told_in_one_line(old: str, new: str, key: str, says: str) -> None:
    text = changed((old, new))
    error = refused(text)
    assert error.key == key
    assert says in str(error)
    assert str(error).startswith(f"g.yaml:{error.line}: {key}: {error.problem}; {error.cure}")
    assert str(error).isprintable()
    assert 1 <= error.line <= text.count("\n")
    written = text.split("\n")[error.line - 1]
    last = key.split(".")[-1].split("[")[0]
    assert last in written or "missing" in error.problem or "[" in key


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (OUTLINE, ROUND),
        (OUTLINE, "[[0, 10, wall], [20, 10, flush], [20, 0, bed], [0, 0, wall]]"),
        ("conductor_mm2: 0.75", "conductor_awg: 18"),
        ("conductor_mm2: 0.75, conductor: copper", "ohm_per_100m: 2.9, conductor: plated steel"),
        ("corner_radius: 0", "corner_radius: 0.5"),
        ("first: 3.0, final: 0.75", "first: 0.75, final: 0.75"),
        ("tree: 0.30", "tree: 0"),
        ("kind: water", "kind: firm"),
        ("dock: {at: [6, 0.3]}", "generator: {at: [6, -0.1], mounted: wall}"),
        ("name: Bank", "name: Pond"),
    ],
)
def test_what_is_right_is_read(old: str, new: str) -> None:
    assert isinstance(loads(changed((old, new))), Plan)


FRONT = (
    "obstacles:",
    "  - name: Front\n    outline: [[0, -30, wall], [9, -30, bed], [9, -20, wall]]\nobstacles:",
)


def _crossing(between: str) -> tuple[str, str]:
    return ("wire:", f"    crossings: [{{between: {between}, via: [[-1, 2], [-1, -3]]}}]\nwire:")


def test_a_crossing_joins_lawns_of_its_loop() -> None:
    plan = loads(changed(FRONT, _crossing("[Back, Front]")))
    assert plan.loops[0].crossings[0].between == ("Back", "Front")
    assert loads(changed(_crossing("[Back, Back]"))).loops[0].crossings


@pytest.mark.parametrize(
    ("between", "key", "says"),
    [
        ("[Back, Frnt]", "between[1]", "did you mean 'Front'?"),
        ("[Back]", "between", "not a pair"),
        ("Back", "between", "not a pair"),
    ],
)
def test_a_crossing_to_nowhere(between: str, key: str, says: str) -> None:
    error = refused(changed(FRONT, _crossing(between)))
    assert error.key == f"loops[0].crossings[0].{key}"
    assert says in str(error)


def test_a_crossing_to_a_lawn_of_another_loop() -> None:
    other = ("wire:", "  - {name: front, dock: {at: [1, -30]}}\nwire:")
    front = (FRONT[0], FRONT[1].replace("    outline", "    loop: front\n    outline"))
    error = refused(changed(front, _crossing("[Back, Front]"), other))
    assert "is on the loop 'front'" in error.problem


def test_all_mistakes_are_listed_in_the_order_of_the_lines() -> None:
    error = refused(
        changed(("mm2: 0.75", "mm2: 7"), ("tail:", "tial:"), ("[20, 0, bed]", "[20, 0, bad]"))
    )
    assert [one.key for one in error.all] == [
        "machine.tial",
        "lawns[0].outline[1][2]",
        "wire.conductor_mm2",
    ]
    assert [one.line for one in error.all] == sorted(one.line for one in error.all)


def test_all_bad_sides_of_one_outline_are_listed() -> None:
    error = refused(changed((OUTLINE, "[[0, 0, wal], [x, 0, bed], [20, 10, flush], [0]]")))
    assert [one.key for one in error.all] == [
        "lawns[0].outline[0][2]",
        "lawns[0].outline[1][0]",
        "lawns[0].outline[3]",
    ]


def test_limits_are_told_in_the_files_unit() -> None:
    error = refused(changed(("units: m", "units: ft"), ("radius: 1.5", "radius: -1.5")))
    assert "-1.5 ft is negative" in error.problem


def test_no_feet_are_lost_in_an_error_of_size() -> None:
    error = refused(changed(("units: m", "units: ft"), ("peg_sag: 0.02", "peg_sag: 20")))
    assert "20 ft is too large; it must be at most 3.28 ft" in str(error)


def test_text_folds_and_is_composed() -> None:
    text = changed(("title: Back lawn", "title: |\n    Back\n    lawn cafe\u0301\n"))
    assert loads(text).job.title == "Back lawn caf\u00e9"


def test_an_error_survives_pickling() -> None:
    error = refused(changed(("tail:", "tial:"), ("mm2: 0.75", "mm2: 7")))
    again = pickle.loads(pickle.dumps(error))
    assert isinstance(again, PlanError)
    assert [str(one) for one in again.all] == [str(one) for one in error.all]


def test_a_plan_is_frozen_and_survives_pickling() -> None:
    plan = loads(GARDEN)
    with pytest.raises(ValueError, match="frozen"):
        plan.machine.tail = 1.0  # type: ignore[misc]
    assert pickle.loads(pickle.dumps(plan)) == plan


def test_python_values_are_metres_whatever_the_unit() -> None:
    plan = loads(changed(("units: m", "units: ft")))
    assert Plan.model_validate(plan.model_dump()) == plan


def _round_lawn(sides: int) -> str:
    rows = "".join(
        f"      - [{50 * math.cos(math.tau * k / sides):.5f}, "
        f"{50 * math.sin(math.tau * k / sides):.5f}, wall]\n"
        for k in range(sides)
    )
    return changed((f"    outline: {OUTLINE}\n", "    outline:\n" + rows))


def test_a_lawn_of_many_sides_is_read_and_its_last_mistake_found() -> None:
    text = _round_lawn(20_000)
    plan = loads(text)
    assert len(plan.lawns[0].outline) == 20_000
    error = refused(text.replace("wall]\nobstacles", "wal]\nobstacles"))
    assert error.key == "lawns[0].outline[19999][2]"
    assert text.split("\n")[error.line].startswith("obstacles")
    assert dump(plan)["lawns"][0]["outline"][0] == [50.0, 0.0, "wall"]
