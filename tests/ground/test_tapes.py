"""No tape of any plan runs through a building, wall, hedge or pond, or is longer than can be held.

The crossing of two segments is worked out here from the signs of four triangles, on the points of
the plan as they stand there.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import renderer
from renderer.ground.hops import Base, hopped
from renderer.ground.tapes import (
    Along,
    Found,
    OnWire,
    Tapes,
    found_by_pegs,
    marks_of,
    measured_on,
    tapes_of,
)
from renderer.ground.ties import Tie, meet
from renderer.plan import loads
from renderer.plan.model import Plan
from renderer.trade import HOP_ERROR_M
from tests.checks.jobs import MACHINE
from tests.ground.barred import crosses, faces
from tests.plans import moved
from tests.shared import lay_plan

Point = tuple[float, float]
STRIP_HOUSE = {  # two lawns and a house between them, as a front and a rear garden have it
    "plan": 1,
    "job": {"number": "T-9"},
    "machine": MACHINE,
    "survey": {
        "points": [
            {"name": "A", "at": [8, 8.5], "what": "house"},
            {"name": "B", "at": [20, 8.5], "what": "house"},
            {"name": "C", "at": [14, 0], "what": "front door"},
        ]
    },
    "lawns": [
        {
            "name": "Rear",
            "outline": [[0, 9, "wall"], [26, 9, "fence"], [26, 24, "hedge"], [0, 24, "wall"]],
        },
        {
            "name": "Front",
            "outline": [[2, -9, "road"], [26, -9, "fence"], [26, -1, "flush"], [2, -1, "hedge"]],
        },
    ],
    "obstacles": [{"name": "Pond", "kind": "water", "circle": {"at": [13, 16], "radius": 2}}],
    "features": [
        {"name": "House", "kind": "building", "polygon": [[8, 0], [20, 0], [20, 8.5], [8, 8.5]]}
    ],
    "loops": [
        {
            "name": "main",
            "dock": {"at": [16, 9.5]},
            "crossings": [{"between": ["Rear", "Front"], "via": [[4, 7], [4, 0]]}],
        }
    ],
    "wire": {"conductor_mm2": 0.75, "spools": [150, 150]},
}


def wire_places(plan: Plan) -> tuple[Tapes, list[Point]]:
    lay = lay_plan(plan)
    places = [(p.x, p.y) for loop in lay.loops for p in loop.pegs if p.control]
    places += [(s.x, s.y) for loop in lay.loops for s in loop.splices]
    return tapes_of(plan, lay.lawns), places


def judge(plan: Plan) -> dict[str, int]:
    """Each tape of a plan looked at; how many places are found in which way."""
    tapes, places = wire_places(plan)
    at = {reference.name: reference.at for reference in tapes.references}
    walls = list(faces(plan))
    counts = {"tie": 0, "along": 0, "none": 0}
    for place, way in zip(places, tapes.found(np.array(places)), strict=True):
        if isinstance(way, Tie):
            counts["tie"] += 1
            assert max(way.a_m, way.b_m) <= 20.0
            for name in (way.a, way.b):
                tape = (at[name], place)
                assert not [wall for wall in walls if crosses(tape, wall)], (name, place)
            again = meet(at[way.a], at[way.b], way.a_m, way.b_m, way.side)
            assert math.dist(again, place) < 1e-4
        elif isinstance(way, Along):
            counts["along"] += 1
            assert way.a_m <= 90.0  # three tapes end on end
        else:
            counts["none"] += 1
    return counts


def garden(turn: float, mirror: bool, shift: Point) -> Plan:
    bare = {key: STRIP_HOUSE[key] for key in ("survey", "lawns", "obstacles", "features", "loops")}
    return loads(json.dumps({**STRIP_HOUSE, **moved(bare, turn, mirror, shift)}), "garden.json")


def test_no_tape_of_a_plan_runs_through_anything(any_plan: Path) -> None:
    assert judge(renderer.load(any_plan))["tie"] > 0


@pytest.mark.parametrize(
    ("turn", "mirror", "shift"),
    [
        (0.0, False, (0.0, 0.0)),
        (0.7, False, (3.0, 9.0)),
        (0.0, True, (0.0, 0.0)),
        (0.0, False, (649000.0, 5318000.0)),
    ],
    ids=["as it is", "turned", "mirrored", "on a grid"],
)
def test_tapes_go_round_a_house_however_it_lies(turn: float, mirror: bool, shift: Point) -> None:
    counts = judge(garden(turn, mirror, shift))
    assert counts["tie"] >= 20
    assert counts["none"] == 0


def test_a_garden_in_feet_is_taped_alike() -> None:
    plan = garden(0.0, False, (0.0, 0.0))
    assert judge(plan.model_copy(update={"units": "ft"})) == judge(plan)


def test_a_tape_through_a_house_would_be_noticed() -> None:
    plan = garden(0.0, False, (0.0, 0.0))
    assert any(crosses(((14.0, -2.0), (14.0, 12.0)), wall) for wall in faces(plan))
    assert not any(crosses(((8.0, 8.5), (20.0, 8.5)), wall) for wall in faces(plan))


def test_a_place_out_of_reach_is_taped_from_pegs_that_are_found_or_measured_along_the_wire(
    any_plan: Path,
) -> None:
    plan = renderer.load(any_plan)
    lay = lay_plan(plan)
    tapes = tapes_of(plan, lay.lawns)
    walls = list(faces(plan))
    for loop in lay.loops:
        pegs = [peg for peg in loop.pegs if peg.control]
        places = [(p.at_m, p.x, p.y) for p in pegs] + [(s.at_m, s.x, s.y) for s in loop.splices]
        at = np.array([(x, y) for _, x, y in places])
        ways = found_by_pegs(tapes, loop, at, [at_m for at_m, _, _ in places])
        own = dict(zip((p.id for p in pegs), ways, strict=False))
        where = {p.id: (p.x, p.y) for p in pegs} | {r.name: r.at for r in tapes.references}
        passes = {p.id: {p.at_m, p.also_at_m} for p in pegs}
        for (at_m, x, y), way in zip(places, ways, strict=True):
            assert way is not None
            if isinstance(way, OnWire):
                assert not isinstance(own[way.name], OnWire)
                start = at_m - way.on_m
                assert any(m is not None and abs(m - start) < 1e-6 for m in passes[way.name])
                walked = [np.interp(start + way.on_m, loop.at_m, loop.path[:, k]) for k in (0, 1)]
                assert math.dist(walked, (x, y)) < 0.01
            elif isinstance(way, Tie) and any(way.hops):
                assert (
                    math.dist(meet(where[way.a], where[way.b], way.a_m, way.b_m, way.side), (x, y))
                    < 1e-4
                )
                for name, hops in zip((way.a, way.b), way.hops, strict=True):
                    assert math.dist(where[name], (x, y)) <= 20.0
                    assert not [wall for wall in walls if crosses((where[name], (x, y)), wall)]
                    assert links(own, name) == hops


def links(own: Mapping[str, Found | None], name: str) -> int:
    """How many ties a place is away from fixed points; it ends, since no peg is found by itself."""
    if name not in own:
        return 0
    way = own[name]
    assert way is not None and not isinstance(way, OnWire)
    return 1 + (max(links(own, each) for each in (way.a, way.b)) if isinstance(way, Tie) else 0)


def test_a_chain_of_tapes_is_as_exact_as_it_says() -> None:
    """Each tape off at random by its error, by the many; the chain by the sum of squares."""
    chance = np.random.default_rng(7)
    spread = [Base("A", (0.0, 0.0)), Base("B", (12.0, 0.0))]
    places = np.array([(6.0, 9.0), (14.0, 12.0), (8.0, 20.0), (18.0, 24.0)])
    far = hopped(places, ["1", "2", "3", "4"], spread, None)
    assert max(max(tie.hops) for tie in far.values()) >= 1
    where = {base.name: base.at for base in spread}
    off: dict[str, list[float]] = {name: [] for name in "1234"}
    for _ in range(3000):
        found = dict(where)
        for index, tie in far.items():
            a_m, b_m = (m + chance.normal(0.0, 0.03) for m in (tie.a_m, tie.b_m))
            found["1234"[index]] = meet(found[tie.a], found[tie.b], a_m, b_m, tie.side)
            off["1234"[index]].append(math.dist(found["1234"[index]], places[index]))
    for index, tie in far.items():
        measured = math.sqrt(np.mean(np.square(off["1234"[index]])))
        assert measured <= 1.25 * tie.error_m  # the two tapes from one chain are not quite apart
        assert measured >= 0.6 * tie.error_m
    assert all(tie.error_m <= HOP_ERROR_M for tie in far.values())


def test_nothing_is_measured_on_from_a_peg_of_a_poor_crossing_where_there_is_a_better() -> None:
    poor = Tie("A", "B", 5.0, 5.0, "left", 12.0, 0.2)
    sound = Along("A", 3.0, 0.3)
    marks = marks_of((poor, sound, None), [("1", (0.4,)), ("2", (9.0, 31.0)), ("3", (12.0,))])
    assert [(mark.name, mark.at_m) for mark in marks] == [("2", 9.0), ("2", 31.0)]
    ways = measured_on((poor, None, None), (0.4, 12.0, 30.0), marks)
    assert ways[0] is poor
    assert ways[1:] == (OnWire("2", 3.0), OnWire("2", -1.0))


def test_how_the_control_pegs_of_a_loop_are_found_is_worked_out_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Not anew for each splice and each photograph that is asked for; and for each loop its own."""
    plan = garden(0.0, False, (0.0, 0.0))
    lay = lay_plan(plan)
    tapes = tapes_of(plan, lay.lawns)
    asked: list[int] = []
    whole = Tapes.hopped
    monkeypatch.setattr(Tapes, "hopped", lambda self, *a: asked.append(1) or whole(self, *a))
    (loop,) = lay.loops
    far = np.array([[100.0, 100.0]])  # beyond every tape, so that the pegs are asked
    for _ in range(3):
        assert found_by_pegs(tapes, loop, far, [1.0])[0] is not None
    assert len(asked) == 1
    fewer = replace(loop, pegs=loop.pegs[: len(loop.pegs) // 2])
    assert tapes.pegs_of(fewer).names != tapes.pegs_of(loop).names
