"""The survey of a plan file: its forms, its points, and what is said of mistakes in it."""

from __future__ import annotations

import json
import math
import pickle
import subprocess
import sys
from pathlib import Path

import pytest

from renderer.plan import PlanError, dump, load, loads
from renderer.plan.model import Plan
from renderer.plan.origin import about_origin, as_measured
from renderer.units import M_PER_FOOT

DEMO = Path(__file__).resolve().parents[2] / "demo"

# true places, to the millimetre; every tape below is computed from them
TRUE = {"p1": (1.0, 2.0), "p2": (1.5, 9.0), "p3": (9.5, 10.0), "p4": (10.0, 3.0), "q": (5.0, 6.0)}
FIXED = {"A": (0.0, 0.0), "B": (8.42, 0.0), "C": (12.0, 5.0)}
REST = """
machine: {label: T, setback: {fence: 0.3, bed: 0.3, wall: 0.3, water: 1.0}, passage_min: 1.0,
          loop_max: 400, tail: 0.3}
lawns: [{name: Rear, outline: [[p1, wall], [p2, fence], {at: p3, side: bed}, [p4, wall]]}]
obstacles: [{name: Pond, kind: water, circle: {at: q, radius: %s}}]
features: [{name: Tap, kind: socket, at: p4}, {name: Pipe, kind: buried pipe, line: [p1, q]}]
loops: [{dock: {at: p1}, supply: {at: A, via: [q, B], lead: 4}}]
wire: {conductor_mm2: 0.75, spools: [100]}
"""


def length(one: str, two: str, unit: float = 1.0) -> float:
    place = TRUE | FIXED
    return round(math.dist(place[one], place[two]) / unit, 3)


def text(
    *,
    unit: float = 1.0,
    moved: tuple[float, float] = (0.0, 0.0),
    turn: float = 0.0,
    mirror: float = 1.0,
    more: str = "",
    rows: dict[str, str] | None = None,
) -> str:
    """A plan whose lawn is taped from three house corners, turned, mirrored or moved."""

    def put(at: tuple[float, float]) -> str:
        x, y = at[0], at[1] * mirror
        x, y = x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn)
        return f"[{(x + moved[0]) / unit!r}, {(y + moved[1]) / unit!r}]"

    points = ", ".join(f"{{name: {name}, at: {put(at)}}}" for name, at in FIXED.items())
    ties = {
        name: ", ".join(f"{house}: {length(house, name, unit)}" for house in FIXED) for name in TRUE
    }
    told = "\n".join(f"    {name}: {{{row}}}" for name, row in (ties | (rows or {})).items())
    side = "left" if mirror > 0 else "right"
    units = "m" if unit == 1.0 else "ft"
    return (
        f"plan: 1\nunits: {units}\njob: {{number: S-1}}\nsurvey:\n  points: [{points}]\n"
        f"  side: {side}\n  ties:\n{told}\n{more}{REST % (1.0 / unit)}"
    )


@pytest.mark.parametrize("unit", [1.0, M_PER_FOOT])
@pytest.mark.parametrize("moved", [(0.0, 0.0), (3_578_000.0, 5_412_000.0)])
@pytest.mark.parametrize(("turn", "mirror"), [(0.0, 1.0), (1.1, 1.0), (-2.5, -1.0)])
def test_named_points_stand_where_they_were_measured(
    unit: float, moved: tuple[float, float], turn: float, mirror: float
) -> None:
    plan = loads(text(unit=unit, moved=moved, turn=turn, mirror=mirror))
    found = {point.name: point.at for point in plan.survey.adjusted}
    for one in TRUE:
        for two in TRUE:
            apart = math.dist(TRUE[one], TRUE[two])
            assert math.dist(found[one], found[two]) == pytest.approx(apart, abs=0.003)
    corners = tuple(vertex.at for vertex in plan.lawns[0].outline)
    assert corners == tuple(found[name] for name in ("p1", "p2", "p3", "p4"))
    circle = plan.obstacles[0].circle
    assert circle is not None and circle.at == found["q"]
    assert plan.features[0].at == found["p4"]
    supply = plan.loops[0].supply
    assert supply is not None and supply.via[0] == found["q"]
    near = about_origin(plan)
    assert near.lawns[0].outline[0].at == near.survey.adjusted[0].at
    assert as_measured(near) == plan


def test_a_survey_comes_back_from_its_dump() -> None:
    plan = load(DEMO / "mill-cottage.plan.yaml")
    again = loads(json.dumps(dump(plan)), folder=DEMO)
    assert again == plan
    assert Plan.model_validate(plan.model_dump()) == plan
    assert pickle.loads(pickle.dumps(plan)) == plan
    assert "adjusted" not in json.dumps(dump(plan))


def test_the_forms_of_offsets_runs_and_angles() -> None:
    more = """  offsets: [{line: [A, B], points: {o: [3.20, 1.15]}, sigma: 2 cm}]
  traverse:
    - {from: A, to: t1, bearing: 0, reads: 5.00}
    - {from: t1, to: t2, angle: 90, reads: 4.00}
    - {from: t2, to: A, angle: 308.66, reads: 6.403}
  angles: [{at: A, from: B, to: t1, reads: 270.0, sigma: 0.5}]
  sides: [[p1, p2, {reads: 7.22, slope: 20}]]
  sigma: {tape: 0.02, bearing: 0.5}
"""
    plan = loads(text(more=more))
    found = {point.name: point.at for point in plan.survey.adjusted}
    assert found["o"] == pytest.approx((3.20, 1.15), abs=1e-3)
    # 90 degrees clockwise from the way back to A, which lies south: west
    assert found["t1"] == pytest.approx((0.0, 5.0), abs=0.02)
    assert found["t2"] == pytest.approx((-4.0, 5.0), abs=0.02)
    assert loads(json.dumps(dump(plan))) == plan


def test_a_circle_through_three_points_of_its_edge() -> None:
    held = text().replace("{at: q, radius: 1.0}", "{through: [p1, [3.0, 2.0], [2.0, 3.0]]}")
    circle = loads(held).obstacles[0].circle
    assert circle is not None
    assert circle.at == pytest.approx((2.0, 2.0), abs=2e-3)
    assert circle.radius == pytest.approx(1.0, abs=2e-3)


def test_what_a_reading_is_taken_as_counts_and_a_reading_left_out_does_not() -> None:
    a, b, c = (length(house, "q") for house in "ABC")
    slip = f"A: {{reads: {a + 1}, taken_as: {a}, because: whole metre}}, B: {b}, C: {c}"
    out = f"A: {{reads: {a + 1}, left_out: yes, because: lost}}, B: {b}, C: {c}"
    sound = loads(text()).survey.adjusted[-1]
    assert loads(text(rows={"q": slip})).survey.adjusted[-1] == sound
    left = loads(text(rows={"q": out})).survey.adjusted[-1]
    assert left.at == pytest.approx(sound.at, abs=0.01) and left.state == "uncontrolled"


def test_a_slip_is_set_aside_and_its_point_is_in_question() -> None:
    """The lawn's sides tell the reading; a tape read one metre long moves no other point."""
    names = ("p1", "p2", "p3", "p4")
    pairs = [*zip(names, (*names[1:], "p1"), strict=True), ("q", "p1"), ("q", "p3")]
    more = f"  sides: [{', '.join(f'[{a}, {b}, {length(a, b)}]' for a, b in pairs)}]\n"
    row = f"A: {length('A', 'q') + 1}, B: {length('B', 'q')}, C: {length('C', 'q')}"
    points = {
        point.name: point for point in loads(text(more=more, rows={"q": row})).survey.adjusted
    }
    assert points["q"].state == "in question"
    assert all(points[name].state == "controlled" for name in names)
    for name in TRUE:
        assert points[name].at == pytest.approx(TRUE[name], abs=0.005)


@pytest.mark.parametrize(
    ("old", "new", "key", "says"),
    [
        ("[p1, wall]", "[p9, wall]", "lawns[0].outline[0][0]", "no point is named"),
        ("at: p1}", "at: nowhere}", "loops[0].dock.at", "name a surveyed point"),
        ("p2: {A:", "p2: {A: x, Z:", "survey.ties.p2.A", "not a length"),
        ("p2: {A:", "p2: {side: up, A:", "survey.ties.p2.side", "not a valid side"),
        ("p2: {A:", "p2: {D: {reads: 3, sigm: 1}, A:", "survey.ties.p2.D.sigm", "'sigma'"),
        ("p2: {A:", "p2: [3, 4]\n    p5: {A:", "survey.ties.p2", "keys are expected here"),
        ("p2: {A:", "p5: {A: 3.0}\n    p2: {A:", "survey.ties.p5.A", "from one more point"),
        ("side: left", "sides: [[p1, p2]]", "survey.sides[0]", "write [p1, p2, 5.12]"),
        ("side: left", "sides: [[p1, p1, 3]]", "survey.sides[0]", "to itself"),
        ("side: left", "traverse: [{from: A, to: t, reads: 3}]", "survey.traverse[0]", "bearing"),
        ("side: left", "traverse: [{from: A, too: t, bearing: 3, reads: 3}]",
         "survey.traverse[0].too", "did you mean 'to'?"),
        ("side: left", "traverse: [{from: A, to: t, angle: 3, reads: 3}]",
         "survey.traverse[0]", "back"),
        ("side: left", "offsets: [{line: [A, B], points: {o: 3}}]",
         "survey.offsets[0].points.o", "along and a length off"),
        ("side: left", "adjusted: []", "survey.adjusted", "not known"),
        ("side: left", "sigma: {tape: 0}", "survey.sigma.tape", "too small"),
        ("radius: 1.0", "radius: 1.0, through: [p1, p2]", "obstacles[0].circle.through", "three"),
    ],
)  # fmt: skip
def test_mistakes_are_told_with_their_place(old: str, new: str, key: str, says: str) -> None:
    held = text()
    assert old in held
    with pytest.raises(PlanError) as caught:
        loads(held.replace(old, new, 1))
    told = {error.key: error for error in caught.value.all}
    assert key in told, str(caught.value)
    assert says in str(told[key]) and told[key].line > 0


def test_two_tapes_without_a_side_name_the_row() -> None:
    rows = {name: f"A: {length('A', name)}, B: {length('B', name)}" for name in TRUE}
    with pytest.raises(PlanError) as caught:
        loads(text(rows=rows).replace("side: left", ""))
    assert [error.key for error in caught.value.all] == [f"survey.ties.{name}.A" for name in TRUE]
    # the point cannot be told from its mirror image: [C, A, left] is stated in the row
    side = {name: f"{row}, side: [A, B, left]" for name, row in rows.items()}
    found = loads(text(rows=side).replace("side: left", "", 1)).survey.adjusted
    assert found[0].at == pytest.approx(TRUE["p1"], abs=0.003)


def test_a_plan_without_readings_brings_in_no_numpy() -> None:
    script = (
        "import sys; from renderer.plan import load;"
        f"load({str(DEMO / 'practice-lawn.plan.yaml')!r}); print('numpy' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "False"
