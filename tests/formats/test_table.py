"""Tables of points: columns as they are named, no order guessed, errors at their line."""

from __future__ import annotations

import pytest

from renderer.formats import Options, import_plan
from renderer.plan import PlanError, loads
from renderer.plan.model import Plan

POINTS = """name,x,y,kind,lawn,island,radius
A,-1,0,reference,,,
B,13,0,reference,,,
1,0,0,flush,Rear,,
2,12,0,fence,Rear,,
3,12,8,hedge,Rear,,
4,0,8,wall,Rear,,
b1,3,3,bed,,Bed,
b2,5,3,bed,,Bed,
b3,5,5,bed,,Bed,
Apple,9,5,tree,,,0.4
Dock,5,0.1,dock,,,
"""


def made(tmp_path, text: str | bytes, **options: object) -> Plan:
    path = tmp_path / "garden.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return loads(import_plan(str(path), Options(**options)))


def wrong(tmp_path, text: str | bytes, **options: object) -> str:
    with pytest.raises(PlanError) as caught:
        made(tmp_path, text, **options)
    return str(caught.value).replace(str(tmp_path), "")


def corners(plan: Plan) -> list[tuple[float, float, str]]:
    return [(*each.at, each.side) for each in plan.lawns[0].outline]


def test_rows_become_lawns_islands_fixed_points_and_the_dock(tmp_path) -> None:
    plan = made(tmp_path, POINTS)
    assert corners(plan) == [(0, 0, "flush"), (12, 0, "fence"), (12, 8, "hedge"), (0, 8, "wall")]
    assert [(each.name, each.kind) for each in plan.obstacles] == [
        ("Apple", "tree"),
        ("Bed", "bed"),
    ]
    assert [each.name for each in plan.survey.points] == ["A", "B"]
    assert plan.loops[0].dock.at == (5, 0.1) and plan.lawns[0].name == "Rear"


def test_northing_first_with_decimal_comma_is_read_as_it_is_named(tmp_path) -> None:
    text = "Point;North;East;Side\np1;5412000,25;500000,5;hedge\np2;5412000,25;500012,5;hedge\n"
    plan = made(tmp_path, text + "p3;5412008,25;500012,5;hedge\n")
    held = [
        at + zero for x, y, _ in corners(plan) for at, zero in zip((x, y), plan.origin, strict=True)
    ]
    assert held == pytest.approx(
        [500000.5, 5412000.25, 500012.5, 5412000.25, 500012.5, 5412008.25], abs=1e-6
    )


def test_the_order_is_never_guessed(tmp_path) -> None:
    rows = "p1,0,0,hedge\np2,0,9,hedge\np3,7,9,hedge\n"
    assert "--order name,y,x,kind" in wrong(tmp_path, rows)
    plan = made(tmp_path, rows, order=("name", "y", "x", "kind"))
    assert corners(plan)[1][:2] == (9, 0)
    plan = made(tmp_path, rows, order=("name", "x", "y", "kind"))
    assert corners(plan)[1][:2] == (0, 9)


def test_feet_stay_feet(tmp_path) -> None:
    plan = made(tmp_path, "name,x,y,kind\n1,0,0,bed\n2,40,0,bed\n3,40,30,bed\n", units="ft")
    assert plan.units == "ft" and corners(plan)[1][0] == pytest.approx(40 * 0.3048)


def test_kinds_may_be_stated_for_a_table_without_them(tmp_path) -> None:
    rows = "name,x,y\n1,0,0\n2,12,0\n3,12,9\n"
    assert "--kinds 'Lawn=hedge'" in wrong(tmp_path, rows)
    assert corners(made(tmp_path, rows, kinds={"*": "fence"}))[0][2] == "fence"


def test_a_kind_that_a_row_states_stays_beside_the_stated_ones(tmp_path) -> None:
    rows = "name,x,y,kind\n1,0,0,water\n2,12,0,\n3,12,9,\n"
    assert "nothing says what is along some of its sides" in wrong(tmp_path, rows)
    kinds = [side for _, _, side in corners(made(tmp_path, rows, kinds={"*": "fence"}))]
    assert kinds == ["water", "fence", "fence"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("name,x,why\n1,0,0\n", ":1: 'why' is not a column"),
        ("name,x,kind\n1,0,bed\n", "there is no column y"),
        ("name,x,y,kind\n1,0,0,bed\n2,a,0,bed\n", ":3: x: 'a' is not a length"),
        ("name,x,y,kind\n1,0,0,bed\n2,1,5,0,5,bed\n", "separate the columns by semicolons"),
        ("name,x,y,kind\n1,0,0,bed\n2,9,0,hege\n3,9,9,bed\n",
         ":3: Lawn: 'hege' is not a known kind; did you mean 'hedge'"),
        ("name,x,y,kind\n1,0,0,bed\n", "it contains no lawn"),
        ("name,x,y,kind\n1,0,0,tree\n2,9,0,tree\n3,9,9,tree\n", "tree is not a kind of side"),
        ("name,x,y,kind,radius\n1,0,0,tree,-1\n", "':2: radius'" [1:-1]),
        ("name,x,y,kind\n1,0,0,bed\n2,9,9,bed\n3,9,0,bed\n4,0,9,bed\n", "cross"),
        (b"name,x,y\n\xff\xfe,1,2\n", "is not UTF-8 text"),
        ("name,x,y\n" + "p,1,2\n" * 5001, "more than 5,000 points"),
        (b"name,x,y\n" + b" " * 5_000_001, "more than 5 MB"),
    ],
)  # fmt: skip
def test_a_mistake_is_named_with_its_cure(tmp_path, text: str | bytes, said: str) -> None:
    told = wrong(tmp_path, text)
    assert said in told and told.startswith("/garden.csv"), told


def test_a_check_distance_has_to_agree(tmp_path) -> None:
    made(tmp_path, POINTS, checks=("1,3,14.42",))
    assert "14.42 m in the file does not agree" in wrong(tmp_path, POINTS, checks=("1,3,15.2",))
    assert "there is no point '9'" in wrong(tmp_path, POINTS, checks=("1,9,15.2",))
    assert "write two points" in wrong(tmp_path, POINTS, checks=("1,3",))


def test_names_of_any_kind_come_back_as_they_were(tmp_path) -> None:
    rows = 'name,x,y,kind,lawn\n1,0,0,bed,"yes: [#, ""x""]"\n2,9,0,bed,"yes: [#, ""x""]"\n'
    plan = made(tmp_path, rows + '3,9,9,bed,"yes: [#, ""x""]"\n')
    assert plan.lawns[0].name == 'yes: [#, "x"]'
