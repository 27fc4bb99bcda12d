"""Tables of ties: a garden whose corners are known, taped by plain geometry, comes back.

The readings are distances between places that the test states, so what the import has to give is
known without it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import pytest

from renderer.formats import Options, import_plan
from renderer.plan import PlanError, loads
from renderer.plan.lengths import UNITS
from renderer.plan.model import Plan

XY = tuple[float, float]

# an invented garden, metres; the fixed points are corners of its house and its shed
FIXED = {"A": (0.0, 0.0), "B": (8.42, 0.0), "C": (12.6, 3.9)}
CORNERS = {
    "p1": (-3.0, 1.5), "p2": (11.0, 1.2), "p3": (14.2, 7.7), "p4": (9.1, 12.4), "p5": (-2.2, 10.3),
}  # fmt: skip
KINDS = ("flush", "fence", "hedge", "bed", "wall")


def ties(names: str = "ABC", unit: float = 1.0, **more: list[str]) -> str:
    """The table of the garden, taped from some fixed points, read to a millimetre."""
    rows = [",".join(("point", *names, *more))]
    for index, (name, at) in enumerate(CORNERS.items()):
        tapes = [f"{math.dist(at, FIXED[each]) / unit:.3f}" for each in names]
        rows.append(",".join((name, *tapes, *(cells[index] for cells in more.values()))))
    return "\n".join(rows) + "\n"


def fixed(places: Mapping[str, XY] = FIXED) -> tuple[str, ...]:
    return tuple(f"{name}={x:.4f},{y:.4f}" for name, (x, y) in places.items())


def text_of(tmp_path, text: str, **options: object) -> str:
    path = tmp_path / "ties.csv"
    path.write_text(text, "utf-8")
    return import_plan(str(path), Options(**({"fixed": fixed()} | options)))


def made(tmp_path, text: str, **options: object) -> Plan:
    return loads(text_of(tmp_path, text, **options))


def wrong(tmp_path, text: str, **options: object) -> str:
    with pytest.raises(PlanError) as caught:
        text_of(tmp_path, text, **options)
    return str(caught.value).replace(str(tmp_path), "")


def outline(plan: Plan) -> list[XY]:
    return [
        (each.at[0] + plan.origin[0], each.at[1] + plan.origin[1]) for each in plan.lawns[0].outline
    ]


def apart(found: list[XY], true: list[XY]) -> float:
    assert len(found) == len(true)
    return max(math.dist(one, two) for one, two in zip(found, true, strict=True))


def test_ties_become_a_survey_and_an_outline_of_its_points(tmp_path) -> None:
    text = text_of(tmp_path, ties(kind=[*KINDS]))
    plan = loads(text)
    assert apart(outline(plan), list(CORNERS.values())) < 0.002
    assert [each.side for each in plan.lawns[0].outline] == list(KINDS)
    assert [row.point for row in plan.survey.ties] == list(CORNERS)
    assert [name for name, _ in plan.survey.ties[0].tapes] == ["A", "B", "C"]
    assert "      - [p1, flush]\n" in text and "    - {name: B, at: [8.42, 0]}\n" in text


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("zero", [(0.0, 0.0), (500_000.0, 5_412_000.0)])
@pytest.mark.parametrize("degrees", [0.0, 37.0, 205.0])
@pytest.mark.parametrize("names", ["AB", "ABC"])
def test_a_turned_or_mirrored_garden_has_the_same_ties(
    tmp_path, names: str, degrees: float, zero: XY, mirrored: bool
) -> None:
    turn = math.radians(degrees)

    def moved(at: XY) -> XY:
        x, y = (-at[0] if mirrored else at[0]), at[1]
        return (
            zero[0] + x * math.cos(turn) - y * math.sin(turn),
            zero[1] + x * math.sin(turn) + y * math.cos(turn),
        )

    places = fixed({name: moved(at) for name, at in FIXED.items() if name in names})
    side = None if names == "ABC" else "right" if mirrored else "left"
    plan = made(tmp_path, ties(names, kind=[*KINDS]), fixed=places, side=side)
    assert apart(outline(plan), [moved(at) for at in CORNERS.values()]) < 0.004


def test_feet_stay_feet_and_inches_are_read(tmp_path) -> None:
    foot = UNITS["ft"]
    places = fixed({name: (x / foot, y / foot) for name, (x, y) in FIXED.items()})
    text = ties(unit=foot, kind=[*KINDS])
    plan = made(tmp_path, text, fixed=places, units="ft")
    assert plan.units == "ft" and apart(outline(plan), list(CORNERS.values())) < 0.002

    def inches(length: float) -> str:
        feet, rest = divmod(round(length / foot * 24), 24)
        return f"{feet}' {rest // 2}{' 1/2' if rest % 2 else ''}\""

    rows = [
        ";".join((name, *(inches(math.dist(at, each)) for each in FIXED.values())))
        for name, at in CORNERS.items()
    ]
    head = "point;A;B;C\n"
    plan = made(tmp_path, head + "\n".join(rows), fixed=places, units="ft", kinds={"*": "hedge"})
    assert apart(outline(plan), list(CORNERS.values())) < 0.02


def test_decimal_commas_are_read(tmp_path) -> None:
    text = ties(kind=[*KINDS])
    places = tuple(each.replace(",", ";").replace(".", ",") for each in fixed())
    german = text.replace(",", ";").replace(".", ",")
    assert places[1] == "B=8,4200;0,0000"
    assert outline(made(tmp_path, german, fixed=places)) == outline(made(tmp_path, text))


def test_readings_keep_their_digits(tmp_path) -> None:
    text = ties(kind=[*KINDS]).replace("3.354", "3.350")
    assert "    p1: {A: 3.350, B: " in text_of(tmp_path, text)


def test_a_side_may_stand_in_its_row(tmp_path) -> None:
    text = ties("AB", kind=[*KINDS], side=["left", "left", "left", "left", ""])
    assert (
        "ties.csv:6: p5: the readings of p5 fit on either side of the line from A to B; add "
        in (wrong(tmp_path, text))
    )
    plan = made(tmp_path, text.replace("wall,", "wall,LEFT"))
    assert apart(outline(plan), list(CORNERS.values())) < 0.004
    text = text.replace("wall,", "wall,left")
    assert outline(made(tmp_path, text, side="right")) == outline(plan)


def test_a_house_corner_may_be_a_corner_of_the_lawn(tmp_path) -> None:
    text = ties(kind=[*KINDS]).replace("p2,", "A,,,,wall\np2,")
    assert outline(made(tmp_path, text))[1] == (0, 0)


def test_tapes_to_the_next_corner_are_sides(tmp_path) -> None:
    at = list(CORNERS.values())
    onward = [f"{math.dist(at[i], at[(i + 1) % 5]):.3f}" for i in range(5)]
    plan = made(tmp_path, ties("AB", kind=[*KINDS], next=onward), side="left")
    assert [each.of for each in plan.survey.sides][-2:] == [("p4", "p5"), ("p5", "p1")]
    assert {each.state for each in plan.survey.adjusted} == {"controlled"}


def test_the_dock_and_islands_are_named_by_their_points(tmp_path) -> None:
    def row(name: str, at: XY, rest: str) -> str:
        return (
            f"{name},{','.join(f'{math.dist(at, each):.3f}' for each in FIXED.values())},{rest}\n"
        )

    more = row("d 1", (4.0, 1.4), "dock,,") + row("Apple", (5.0, 6.0), "tree,,0.4")
    more += row("b1", (1, 5), "bed,Herbs,") + row("b2", (3, 5), "bed,Herbs,")
    more += row("b3", (3, 7), "bed,Herbs,")
    text = ties(kind=[*KINDS], island=[""] * 5, radius=[""] * 5) + more
    written = text_of(tmp_path, text)
    assert "circle: {at: Apple, radius: 0.4}" in written and "polygon: [b1, b2, b3]" in written
    plan = loads(written)
    assert math.dist(plan.loops[0].dock.at, (4.0, 1.4)) < 0.004
    assert sorted((each.name, each.kind) for each in plan.obstacles) == [
        ("Apple", "tree"),
        ("Herbs", "bed"),
    ]


def test_what_no_reading_checks_is_told(tmp_path) -> None:
    text = text_of(tmp_path, ties("AB", kind=[*KINDS]), side="left")
    assert "# Nothing checks p1, p2, p3, p4, p5: take one more tape to each." in text
    slipped = ties(kind=[*KINDS]).replace("\np3,", "\np3,1")  # ten metres too much on tape A
    assert "# Readings do not agree at p3." in text_of(tmp_path, slipped)


def test_names_of_any_kind_come_back_as_they_were(tmp_path) -> None:
    text = ties(kind=[*KINDS]).replace("p1", "1").replace("p2", "yes").replace("p3", "a: {b} #")
    assert [row.point for row in made(tmp_path, text).survey.ties][:3] == ["1", "yes", "a: {b} #"]


def test_accents_are_the_same_however_they_are_typed(tmp_path) -> None:
    text = ties(kind=[*KINDS]).replace("p1", "he\u0301tre").replace(",A,", ",e\u0301,")
    places = tuple(each.replace("A", "\u00e9") for each in fixed())
    plan = made(tmp_path, text, fixed=places)
    assert plan.survey.ties[0].point == "h\u00e9tre" and plan.survey.points[0].name == "\u00e9"


def test_kinds_are_stated_and_a_stated_kind_stays(tmp_path) -> None:
    assert "add --kinds 'Lawn=hedge'" in wrong(tmp_path, ties())
    some = ["water", "", "", "", ""]
    assert "some of its sides" in wrong(tmp_path, ties(kind=some))
    plan = made(tmp_path, ties(kind=some), kinds={"*": "fence"})
    assert [each.side for each in plan.lawns[0].outline] == ["water", *["fence"] * 4]


def test_columns_may_be_named_by_the_command(tmp_path) -> None:
    rows = ties(kind=[*KINDS]).split("\n", 1)[1]
    assert "the first row holds numbers" in wrong(tmp_path, rows)
    plan = made(tmp_path, rows, order=("point", "A", "B", "C", "kind"))
    assert apart(outline(plan), list(CORNERS.values())) < 0.002


def test_a_check_distance_has_to_agree(tmp_path) -> None:
    true = math.dist(CORNERS["p1"], CORNERS["p3"])
    made(tmp_path, ties(kind=[*KINDS]), checks=(f"p1,p3,{true:.2f}",))
    told = wrong(tmp_path, ties(kind=[*KINDS]), checks=(f"p1,p3,{true + 1:.2f}",))
    assert "does not agree" in told


@pytest.mark.parametrize(
    ("text", "options", "said"),
    [
        ("point,A,B\np1,5,6\n", {"fixed": ()}, ": --fixed: ties need at least two fixed points"),
        ("point,A,B\np1,5,6\n", {"fixed": ("A=0,0",)}, "such as --fixed B=8.42,0"),
        ("point,A,B\np1,5,6\n", {"fixed": ("A=0", "B=8,0")}, "--fixed A=0: is not NAME=X,Y"),
        ("point,A,B\np1,5,6\n", {"fixed": ("A=0,0", "A=8,0")}, "A is given twice"),
        ("point,A,B\np1,5,6\n", {"fixed": ("A=0,zero", "B=8,0")}, "'zero' is not a length"),
        ("point,A,B,D\np1,5,6,7\n", {}, ":1: there is no point 'D' to tape from; add --fixed D=X"),
        ("point,A,B,sied\np1,5,6,left\n", {}, "--fixed sied=X,Y; or did you mean 'side'?"),
        (f"point,A,B,{'x' * 999}\np1,5,6,7\n", {}, "add --fixed xxxxx"),
        ("A,B,C\n5,6,7\n", {}, ":1: there is no column point"),
        ("point,A,B,B\np1,5,6,6\n", {}, ":1: column 'B' appears twice"),
        ("point,A,B\np1,5,six\n", {}, ":2: B: 'six' is not a length"),
        ("point,A,B\np1,5,-6\n", {}, ":2: B: '-6' is not a tape reading"),
        ("point,A,B\np1,5,4,6,3\n", {}, "separate the columns by semicolons"),
        ("point,A,B\np1,,\n", {}, ":2: p1: the row has no tape"),
        ("point,A,B\n,5,6\n", {}, ":2: point: the row has no name"),
        ("point,A,B\np1,5,6\nP1,5,7\n", {}, ":3: point: 'P1' is already the point of line 2"),
        ("point,A,B,side\np1,5,6,hedge\n", {}, ":2: side: 'hedge' is not a side of a line"),
        ("point,A,B,kind\np1,5,6,reference\n", {}, ":2: kind: a fixed point is not tied in"),
        ("point,A,B,kind,next\nd,5,6,dock,2\n", {}, ":2: next: no corner comes next"),
        ("point,A,B\np1,5,\n", {}, ":2: p1: p1 cannot be placed: one reading"),
        ("point,A,B\np1,5,6\n", {"units": "cm"}, "--units: a table must be in m or ft"),
        ("point,A,B\np1,5,6\n", {"side": "left"}, "it contains no lawn"),
        ("name,x,y,kind\n1,0,0,bed\n2,9,0,bed\n3,9,9,bed\n", {}, "--fixed: goes with a table of"),
    ],
)  # fmt: skip
def test_a_mistake_is_named_with_its_cure(tmp_path, text: str, options, said: str) -> None:
    told = wrong(tmp_path, text, **options)
    assert said in told and told.startswith("/ties.csv") and "; " in told, told
    assert len(told) < 400
