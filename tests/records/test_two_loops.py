"""Records of a plan with two loops: each keeps to the loop that it is of, by plain geometry."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest
import shapely

from renderer.compare import compare, together, work
from renderer.job import Job, prepare
from renderer.plan import PlanError, loads
from tests.plans import moved
from tests.records.test_built import SETBACK, WAYS, in_unit, plan_of

each_way = pytest.mark.parametrize("how", list(WAYS))
DAY = "2026-06-09"
COURT = {
    "name": "Court",
    "loop": "court",
    "outline": [[30, 0, "hedge"], [42, 0, "hedge"], [42, 8, "hedge"], [30, 8, "hedge"]],
}
LOOP = {"name": "court", "generator": {"at": [36, -0.5]}}
BED = {"name": "Court bed", "kind": "bed", "circle": {"at": [36, 5], "radius": 0.8}}
TAIL = 0.3


def garden(how: str = "as it is", as_built: Any = None, changes: Any = ()) -> Job:
    """The lawn of the other tests, and a court of 12 m by 8 m with a loop of its own."""
    plan = plan_of(how, as_built, changes)
    turn, mirror, shift, unit = WAYS[how]
    more = in_unit(moved({"lawns": [COURT], "loops": [LOOP]}, turn, mirror, shift), unit)
    plan["lawns"] += more["lawns"]
    plan["loops"] += more["loops"]
    return prepare(loads(json.dumps(plan)))


def lengths(job: Job) -> dict[str, float]:
    return {loop.name: loop.length_m for loop in job.lay.loops}


def test_the_court_alone_is_its_rectangle() -> None:
    sides = 2 * (12.0 - 2 * SETBACK) + 2 * (8.0 - 2 * SETBACK)
    assert lengths(garden())["court"] == pytest.approx(sides + 2 * TAIL, abs=1e-3)


@each_way
def test_a_peg_moved_in_one_loop_leaves_the_other_as_it_was(how: str) -> None:
    planned = garden(how)
    corner = max(planned.lay.loops[1].pegs, key=lambda peg: peg.reason == "corner")
    built = garden(how, {"date": DAY, "moved": [{"peg": corner.id, "offset": 0.4}]})
    before, after = lengths(planned), lengths(built)
    assert after["main"] == before["main"] and after["court"] != before["court"]
    there = next(peg for peg in built.pegs if peg.id == corner.id)
    assert math.dist((there.x, there.y), (corner.x, corner.y)) == pytest.approx(0.4, abs=1e-3)
    path = shapely.LineString(built.lay.loops[1].path)
    assert path.length + 2 * TAIL == pytest.approx(after["court"], abs=2e-3)


@each_way
def test_splices_are_found_by_the_name_of_the_loop_or_by_the_place(how: str) -> None:
    record = {
        "date": DAY,
        "splices": [{"loop": "court", "at_m": "12.5 m"}, {"loop": "main", "at_m": "40 m"}],
    }
    main, court = garden(how, record).lay.loops
    assert [s.at_m for s in main.splices] == [pytest.approx(40.0)]
    assert [s.at_m for s in court.splices] == [pytest.approx(12.5)]
    assert main.splices[0].id != court.splices[0].id
    by_place = garden(how, {"date": DAY, "splices": [{"to": [42 - SETBACK, 4.0]}]})
    assert [len(loop.splices) for loop in by_place.lay.loops] == [0, 1]


def test_a_running_distance_without_its_loop_is_refused() -> None:
    with pytest.raises(PlanError) as raised:
        garden(as_built={"splices": [{"at_m": 12.5}]})
    assert raised.value.key == "as_built.splices[0]" and "main" in raised.value.cure


def test_a_reading_is_that_of_its_own_loop() -> None:
    sound = {name: round(m * 0.026, 2) for name, m in lengths(garden(as_built={})).items()}
    assert sound["main"] > 1.5 * sound["court"]
    for main, court, odd in (
        (sound["main"], sound["court"], set()),
        (sound["court"], sound["court"], {"main"}),
        (sound["main"], sound["main"], {"court"}),
    ):
        readings = [{"what": "main", "ohm": main}, {"what": "court", "ohm": court}]
        found = garden(as_built={"date": DAY, "readings": readings}).findings
        assert {each.about for each in found if each.rule == "reading-off"} == odd


@each_way
def test_a_change_in_one_loop_leaves_wire_splices_and_spools_of_the_other(how: str) -> None:
    built = {"date": DAY, "splices": [{"loop": "main", "at_m": "40 m"}]}
    first = garden(how, built)
    later = garden(how, built, [{"date": "2029-04-12", "added": [BED], "spools": [25]}])
    assert lengths(later)["main"] == pytest.approx(lengths(first)["main"], abs=1e-4)
    task = work(compare(*together(first, later)))
    assert {loop for loop, _ in task.joints} == {"court"} == {piece.loop for piece in task.laid}
    ring = math.tau * (0.8 + SETBACK)
    lead = 8.0 - 5.0 - SETBACK - (0.8 + SETBACK)
    more = lengths(later)["court"] - lengths(first)["court"]
    assert more == pytest.approx(ring + 2 * lead, abs=5e-3)
    known = [(p.spool, p.loop) for p in first.lay.spools.pieces]
    pieces = [(p.spool, p.loop) for p in later.lay.spools.pieces]
    new = max(number for number, _ in known) + 1
    court = next(number for number, loop in known if loop == "court")
    assert [p for p in pieces if p[1] == "main"] == [p for p in known if p[1] == "main"]
    assert [n for n, loop in pieces if loop == "court"] == [court, new, court]
    ends = [(p.from_m, p.to_m) for p in later.lay.spools.pieces if p.loop == "court"]
    assert ends[-1][1] == pytest.approx(lengths(later)["court"])
