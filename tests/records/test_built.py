"""The wire as it was built, rebuilt from coordinates by plain sums and shapely.

Resistance by IEC 60228:2004, table 3: 26.0 ohm/km for 0.75 mm2 of class 5 at 20 degC.
"""

from __future__ import annotations

import json
import math
import pickle
from functools import cache
from typing import Any

import pytest
import shapely

from renderer.compare import compare, together, work
from renderer.ground.lay import Splice
from renderer.job import Job, Jobs, prepare
from renderer.plan import PlanError, dump, loads
from renderer.plan.lengths import UNITS
from renderer.report import lay_json
from tests.plans import moved

SETBACK = 0.3
OHM_PER_M = 0.026
WAYS = {
    "as it is": (0.0, False, (0.0, 0.0), "m"),
    "turned": (math.radians(31.0), False, (0.0, 0.0), "m"),
    "mirrored": (0.0, True, (0.0, 0.0), "m"),
    "in feet": (0.0, False, (0.0, 0.0), "ft"),
    "on a grid": (0.3, False, (649_000.0, 5_412_000.0), "m"),
}
each_way = pytest.mark.parametrize("how", list(WAYS))
BED = {"name": "Bed", "kind": "bed", "circle": {"at": [14, 5], "radius": 1.0}}
NEW = {"name": "New bed", "kind": "bed", "circle": {"at": [10, 5], "radius": 1.0}}


def put(point: tuple[float, float], how: str) -> tuple[float, float]:
    """Where a point of the garden lies on its plan, metres."""
    turn, mirror, shift, _ = WAYS[how]
    x, y = moved([*point], turn, mirror, shift)
    return x, y


def in_unit(value: Any, unit: str) -> Any:
    """Bare numbers of a garden in metres as numbers of the file's unit."""
    if isinstance(value, dict):
        return {key: in_unit(each, unit) for key, each in value.items()}
    if isinstance(value, list):
        return [in_unit(each, unit) for each in value]
    return value / UNITS[unit] if isinstance(value, int | float) else value


def plan_of(
    how: str = "as it is", as_built: Any = None, changes: Any = (), bed: bool = True
) -> dict[str, Any]:
    """A lawn of 20 m by 10 m with a round bed, and what was recorded of it; places in metres."""
    turn, mirror, shift, unit = WAYS[how]
    corners = [[0, 0], [20, 0], [20, 10], [0, 10]]
    ground: dict[str, Any] = {
        "lawns": [{"name": "Rear", "outline": [[*at, "hedge"] for at in corners]}],
        "obstacles": [BED] if bed else [],
        "loops": [{"dock": {"at": [4, 0.3]}}],
        "survey": {"points": [{"name": "A", "at": [0, 0]}, {"name": "B", "at": [20, 0]}]},
    }
    ground |= {"as_built": as_built} if as_built is not None else {}
    ground |= {"changes": list(changes)} if changes else {}
    held = in_unit(moved(ground, turn, mirror, shift), unit)
    return held | {
        "plan": 1,
        "units": unit,
        "job": {"number": "B-1"},
        "machine": {
            "label": "Any",
            "setback": {"hedge": f"{SETBACK} m", "bed": f"{SETBACK} m"},
            "passage_min": "1 m",
            "loop_max": "400 m",
            "corner_radius": 0,
            "tail": "0.3 m",
            "lay_direction": "clockwise" if mirror else "anticlockwise",
        },
        "wire": {"conductor_mm2": 0.75, "spools": ["60 m", "60 m"]},
    }


def job(how: str = "as it is", **records: Any) -> Job:
    return job_of(json.dumps(plan_of(how, **records)))


@cache
def job_of(text: str) -> Job:
    """The job of a plan's text, laid once for all tests here that ask for it."""
    return prepare(loads(text))


def planned_peg(how: str, near: tuple[float, float]) -> tuple[str, list[tuple[float, float]]]:
    """The number of the planned peg nearest to a place, and where it and its neighbours stand."""
    pegs = job(how).pegs
    at = put(near, how)
    index = min(range(len(pegs)), key=lambda k: math.dist((pegs[k].x, pegs[k].y), at))
    return pegs[index].id, [(pegs[k].x, pegs[k].y) for k in (index - 1, index, index + 1)]


def path_of(found: Job) -> shapely.LineString:
    return shapely.LineString(found.lay.loops[0].path)


def sound(found: Job) -> None:
    """What holds of any lay, from its own coordinates alone."""
    (loop,) = found.lay.loops
    values = lay_json(found)["loops"][0]
    path = shapely.LineString(values["path"])
    tail = values["tail_m"]
    assert values["length_m"] == pytest.approx(path.length + 2 * tail, abs=2e-3)
    assert values["resistance_ohm"] == pytest.approx(values["length_m"] * OHM_PER_M, rel=1e-4)
    ends = [leg["to_m"] for leg in values["legs"]]
    assert [leg["from_m"] for leg in values["legs"]] == [0.0, *ends[:-1]]
    assert ends[-1] == values["length_m"]
    for thing in (*values["pegs"], *values["splices"]):
        for at in filter(None, (thing["at_m"], thing.get("also_at_m"))):
            there = path.interpolate(at - tail)
            assert there.distance(shapely.Point(thing["x"], thing["y"])) < 1e-3
    rings = {ring.kind: [] for ring in loop.rings}
    for ring in loop.rings:
        rings[ring.kind].append(shapely.Polygon(ring.points))
    ground = shapely.union_all(rings["outer"]).difference(
        shapely.union_all(rings.get("island", []))
    )
    assert values["working_area_m2"] == pytest.approx(ground.area, abs=1e-3)
    assert found.lay.lawns[0].working.area == pytest.approx(ground.area, abs=1e-3)
    for lead in loop.leads:
        assert lead.length_m == pytest.approx(shapely.LineString(lead.points).length, abs=1e-3)


@each_way
def test_a_record_of_nothing_leaves_the_wire_as_it_was_planned(how: str) -> None:
    built = job(how, as_built={"date": "2026-06-09"})
    there, planned = lay_json(built), lay_json(job(how))
    for values in (there, planned):
        values["plan"].pop("digest")
        values["plan"].pop("state")
        values.pop("spools")
    assert there == planned
    sound(built)


@each_way
def test_a_moved_corner_takes_its_wire_with_it(how: str) -> None:
    name, (before, corner, after) = planned_peg(how, (19.7, 9.7))
    place = put((19.0, 9.2), how)
    built = job(how, as_built={"moved": [{"peg": name, "to": [19.0, 9.2]}]})
    peg = next(each for each in built.pegs if each.id == name)
    assert math.dist((peg.x, peg.y), place) < 1e-3
    gone = math.dist(before, corner) + math.dist(corner, after)
    come = math.dist(before, place) + math.dist(place, after)
    more = built.lay.loops[0].length_m - job(how).lay.loops[0].length_m
    assert more == pytest.approx(come - gone, abs=1e-3)
    sound(built)


@each_way
def test_ties_put_a_peg_where_two_tapes_meet(how: str) -> None:
    """The planned place decides on which side of the line of the fixed points they meet."""
    name, _ = planned_peg(how, (19.7, 6.0))
    place = (19.4, 6.2)
    tapes = {"A": math.dist((0, 0), place), "B": math.dist((20, 0), place)}
    built = job(how, as_built={"moved": [{"peg": name, "ties": tapes}]})
    peg = next(each for each in built.pegs if each.id == name)
    assert math.dist((peg.x, peg.y), put(place, how)) < 1e-3
    sound(built)


@each_way
def test_an_offset_is_square_off_the_wire_to_the_left_of_the_walk(how: str) -> None:
    """The walk has the lawn on its left, or on its right where it goes clockwise."""
    name, (_, peg, _) = planned_peg(how, (19.7, 6.0))
    inward = -0.4 if WAYS[how][1] else 0.4
    built = job(how, as_built={"moved": [{"peg": name, "offset": inward}]})
    there = next((each.x, each.y) for each in built.pegs if each.id == name)
    (planned_x, planned_y), shift = peg, put((0.4, 0.0), how)
    zero = put((0.0, 0.0), how)
    expected = (planned_x - (shift[0] - zero[0]), planned_y - (shift[1] - zero[1]))
    assert math.dist(there, expected) < 1e-3
    sound(built)


def test_a_station_and_an_offset_place_a_peg_along_the_wire() -> None:
    name, (_, peg, _) = planned_peg("as it is", (12.0, 0.3))
    at = next(each.at_m for each in job().pegs if each.id == name)
    built = job(as_built={"moved": [{"peg": name, "at_m": at + 0.2, "offset": 0.1}]})
    there = next((each.x, each.y) for each in built.pegs if each.id == name)
    assert math.dist(there, (peg[0] + 0.2, peg[1] + 0.1)) < 1e-3


@each_way
def test_an_island_added_while_laying(how: str) -> None:
    """Ring and pair by plain figures: 3.4 m from the wire to the ring of a bed in the middle."""
    built, planned = job(how, as_built={"added": [NEW]}), job(how, bed=True)
    ring = math.tau * (1.0 + SETBACK)
    bed_to_bed = 4.0 - 2 * (1.0 + SETBACK)
    lead = min(5.0 - SETBACK - (1.0 + SETBACK), bed_to_bed)
    more = built.lay.loops[0].length_m - planned.lay.loops[0].length_m
    assert more == pytest.approx(ring + 2 * lead, abs=5e-3)
    numbers = {peg.id: (peg.x, peg.y) for peg in planned.pegs}
    for peg in built.pegs:
        if peg.id in numbers:
            assert math.dist((peg.x, peg.y), numbers[peg.id]) < 0.011
    assert set(numbers) <= {peg.id for peg in built.pegs}
    assert all(int(peg.id) > len(numbers) for peg in built.pegs if peg.id not in numbers)
    assert len({peg.id for peg in built.pegs}) == len(built.pegs)
    assert "New bed" in {each.name for each in built.plan.obstacles}
    sound(built)


@each_way
def test_an_island_left_out(how: str) -> None:
    built, planned = job(how, as_built={"left_out": ["Bed"]}), job(how)
    ring, lead = math.tau * (1.0 + SETBACK), 5.0 - SETBACK - (1.0 + SETBACK)
    less = planned.lay.loops[0].length_m - built.lay.loops[0].length_m
    assert less == pytest.approx(ring + 2 * lead, abs=5e-3)
    assert not built.islands and not built.plan.obstacles
    sound(built)


@each_way
def test_splices_as_found_take_the_place_of_the_planned_ones(how: str) -> None:
    built = job(how, as_built={"splices": [{"at_m": "33.3 m"}, {"at_m": "51.2 m", "splice": "S9"}]})
    assert [(each.id, each.at_m) for each in built.splices] == [
        ("S1", pytest.approx(33.3)),
        ("S9", pytest.approx(51.2)),
    ]
    pieces = [(p.spool, p.from_m, p.to_m) for p in built.lay.spools.pieces]
    assert [each[0] for each in pieces] == [1, 2, 3]
    assert [each[2] for each in pieces[:2]] == [pytest.approx(33.3), pytest.approx(51.2)]
    sound(built)


def test_a_bare_at_m_is_metres_and_a_bare_at_is_in_the_unit_of_the_file() -> None:
    plan = plan_of("in feet")
    for key, at in (("at_m", 33.3), ("at", 33.3 / UNITS["ft"])):
        built = prepare(loads(json.dumps(plan | {"as_built": {"splices": [{key: at}]}})))
        assert built.splices[0].at_m == pytest.approx(33.3)


def added_later(how: str, bed: dict[str, Any]) -> tuple[Job, Job, list[Splice]]:
    """The garden as built and with a bed added in a later year, and the splices of that change."""
    first = job(how, as_built={"date": "2026-06-09"})
    changes = [{"date": "2029-04-12", "added": [bed]}]
    later = job(how, as_built={"date": "2026-06-09"}, changes=changes)
    known = {each.id for each in first.splices}
    assert known <= {each.id for each in later.splices}
    return first, later, [each for each in later.splices if each.id not in known]


@each_way
def test_a_bed_added_in_a_later_year_leaves_what_lies(how: str) -> None:
    """The wire there before stays with its pegs and splices; two splices join the new wire in."""
    first, later, new = added_later(how, NEW)
    old = path_of(first)
    assert shapely.LineString(path_of(later)).buffer(2e-3).contains(old)
    names = {peg.id: (peg.x, peg.y) for peg in first.pegs}
    later_pegs = {peg.id: (peg.x, peg.y) for peg in later.pegs}
    assert all(math.dist(later_pegs[name], at) < 0.011 for name, at in names.items())
    assert len(new) == 2
    gap = math.dist((new[0].x, new[0].y), (new[1].x, new[1].y))
    assert gap < 0.3
    assert old.distance(shapely.Point(new[0].x, new[0].y)) < 5e-3
    added = later.lay.loops[0].length_m - first.lay.loops[0].length_m
    assert new[1].at_m - new[0].at_m == pytest.approx(added + gap, abs=0.03)
    sound(later)


@each_way
def test_splices_of_a_change_keep_off_the_pair_and_off_corners(how: str) -> None:
    """A bed 5 m from a straight side: joined in a clearance of 1 m before its pair and after."""
    bed = {"name": "Later bed", "kind": "bed", "circle": {"at": [5, 5], "radius": 1.0}}
    first, later, new = added_later(how, bed)
    foot = next(lead.points[0] for lead in later.lay.loops[0].leads if lead.of == "Later bed")
    assert [math.dist((each.x, each.y), foot) for each in new] == pytest.approx(
        [1.0, 1.0], abs=0.01
    )
    added = later.lay.loops[0].length_m - first.lay.loops[0].length_m
    assert new[1].at_m - new[0].at_m == pytest.approx(added + 2.0, abs=0.01)
    assert not [each for each in later.findings if each.rule.startswith("splice-")]
    task = work(compare(*together(first, later)))
    assert task.laid_m == pytest.approx(added + 2.0, abs=0.01)
    assert task.taken_up_m == pytest.approx(2.0, abs=0.01)
    sound(later)


def test_a_bed_taken_away_leaves_one_splice_where_its_pair_was() -> None:
    later = job(as_built={}, changes=[{"left_out": ["Bed"]}])
    known = {each.id for each in job().splices}
    (joint,) = [each for each in later.splices if each.id not in known]
    assert not later.islands
    assert joint.x == pytest.approx(14.0, abs=0.02)
    assert joint.y in (pytest.approx(0.3), pytest.approx(9.7))
    sound(later)


def test_moved_pegs_stay_moved_when_something_is_changed_later() -> None:
    name, _ = planned_peg("as it is", (19.7, 9.7))
    record = {"moved": [{"peg": name, "to": [19.0, 9.2]}]}
    later = job(as_built=record, changes=[{"added": [NEW]}])
    peg = next(each for each in later.pegs if each.id == name)
    assert (peg.x, peg.y) == pytest.approx((19.0, 9.2))
    sound(later)


def test_spools_that_were_read_make_the_resistance() -> None:
    """1.30 ohm of 50 m at 20 degC is 0.026 ohm a metre; at 45 degC copper reads 9.8 % more."""
    spool = {"what": "spool 1", "ohm": 1.5, "temperature": 20}
    built = job(as_built={"spools": [50, 60], "readings": [spool]})
    (loop,) = built.lay.loops
    assert loop.resistance_ohm == pytest.approx(loop.length_m * 1.5 / 50.0, rel=1e-6)


def test_the_plan_stays_as_it_was_designed_and_is_written_back_whole() -> None:
    record = {"moved": [{"peg": "9", "ties": {"A": 6.9, "B": 14.4}, "side": "left"}], "by": "Van 2"}
    plan = loads(json.dumps(plan_of(as_built=record, changes=[{"added": [NEW]}])))
    assert loads(json.dumps(dump(plan))) == plan
    built = prepare(plan)
    assert built.is_built and built.digest == prepare(plan, as_planned=True).digest
    assert [each.name for each in built.as_planned.plan.obstacles] == ["Bed"]
    bare = job()
    assert built.as_planned.lay.loops[0].length_m == bare.lay.loops[0].length_m


def test_a_kept_and_a_pickled_job_are_as_built_too() -> None:
    plan = loads(json.dumps(plan_of(as_built={"added": [NEW]})))
    kept = Jobs().prepare(plan)
    again = pickle.loads(pickle.dumps(kept))
    assert kept.is_built and again.is_built and again.key == kept.key
    assert again.lay.loops[0].length_m == kept.lay.loops[0].length_m
    assert kept.as_planned.key != kept.key


@pytest.mark.parametrize(
    ("record", "key", "says"),
    [
        ({"moved": [{"peg": "999", "offset": 0.1}]}, "moved[0].peg", "no peg has the number '999'"),
        ({"moved": [{"peg": "9", "ties": {"A": 1, "B": 2}}]}, "moved[0].ties", "do not meet"),
        ({"moved": [{"peg": "9", "ties": {"A": 8, "Q": 9}}]}, "moved[0].ties.Q", "point 'Q'"),
        ({"moved": [{"peg": "9", "at_m": 500}]}, "moved[0].at_m", "not on the wire"),
        ({"moved": [{"peg": "9", "to": [90, 90]}]}, "moved[0]", "from where it was planned"),
        ({"splices": [{"at_m": 500}]}, "splices[0].at_m", "not on the wire"),
        ({"splices": [{"to": [8, 5]}]}, "splices[0].to", "no wire lies there"),
    ],
)
def test_what_cannot_be_is_told_with_its_place(record: Any, key: str, says: str) -> None:
    text = json.dumps(plan_of(as_built=record), indent=1)
    with pytest.raises(PlanError) as raised:
        prepare(loads(text, "garden.json")).lay  # noqa: B018
    assert raised.value.key == f"as_built.{key}"
    assert says in raised.value.problem
    assert raised.value.path == "garden.json"
    line = text.splitlines()[raised.value.line - 1]
    assert f'"{key.split(".")[-1].split("[")[0]}"' in line or "{" in line
