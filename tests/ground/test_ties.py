"""Reference points are chosen to be found again, tapes so that they cross well and can be held."""

from __future__ import annotations

import math

import numpy as np
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from renderer.ground.references import Reference, references
from renderer.ground.tapes import tapes_of
from renderer.ground.ties import Tie, meet, tie_error_m, ties
from renderer.plan import load
from renderer.trade import REFERENCES_APART_M, REFERENCES_MOST, TAPE_M
from tests.ground.jobs import plan_of
from tests.shared import lay_plan

CORNERS = [
    Reference("A", (0.0, 0.0)),
    Reference("B", (18.0, 0.0)),
    Reference("C", (18.0, 12.0)),
    Reference("D", (0.0, 12.0)),
]
AT = {reference.name: reference.at for reference in CORNERS}
inside = st.tuples(st.floats(0.3, 17.7), st.floats(0.3, 11.7))


def chosen(**changes: object) -> tuple[Reference, ...]:
    plan = plan_of(**changes)
    return references(plan, lay_plan(plan).lawns)


def test_the_corners_of_a_walled_lawn_are_lettered_clockwise_from_the_north_west() -> None:
    found = chosen()
    assert [(r.name, r.at) for r in found] == [
        ("A", (0.0, 12.0)),
        ("B", (20.0, 12.0)),
        ("C", (20.0, 0.0)),
        ("D", (0.0, 0.0)),
    ]
    assert found[0].what == "wall, Rear"


def test_the_points_of_the_survey_come_first() -> None:
    survey = [
        {"name": "House NW", "at": [0, 0], "what": "corner of the house"},
        {"name": "Post", "at": [20, 0]},
        {"name": "Stone", "at": [10, 12]},
        {"name": "Pole", "at": [0, 12]},
    ]
    assert [r.name for r in chosen(survey__points=survey)] == ["House NW", "Post", "Stone", "Pole"]


def test_points_of_the_survey_behind_a_wall_are_joined_by_corners_inside() -> None:
    survey = [{"name": "House NW", "at": [0, -1]}, {"name": "Post", "at": [20, -1]}]
    found = chosen(survey__points=survey)
    assert [r.name for r in found[:2]] == ["House NW", "Post"]
    assert {r.kinds for r in found[2:]} == {("wall",)}
    assert len(found) >= 4


def test_one_point_of_the_survey_is_joined_by_corners_with_other_letters() -> None:
    found = chosen(survey__points=[{"name": "A", "at": [0, -1], "what": "gate post"}])
    assert found[0].what == "gate post"
    names = [r.name for r in found]
    assert len(names) == len(set(names)) > 2


def test_soft_corners_serve_only_where_there_are_no_hard_ones() -> None:
    soft = [[0, 0, "wall"], [20, 0, "wall"], [20, 12, "bed"], [0, 12, "bed"]]
    lawns = [{"name": "Rear", "outline": soft}]
    hard = [r for r in chosen(lawns=lawns) if r.kinds == ("wall",)]
    assert [r.at for r in hard] == [(20.0, 0.0)]
    lawns = [{"name": "Rear", "outline": [[x, y, "bed"] for x, y, _ in soft]}]
    assert len(chosen(lawns=lawns)) == 4


def test_corners_of_a_house_are_taken() -> None:
    house = {"name": "House", "kind": "building", "polygon": [[0, -8], [9, -8], [9, -1], [0, -1]]}
    found = chosen(features=[house])
    assert {r.kinds for r in found} == {("building",), ("wall",)}
    assert len(found) <= REFERENCES_MOST


def test_chosen_points_stand_apart() -> None:
    outline = [[0, 0], [2, 0], [2, 1], [4, 1], [4, 0], [20, 0], [20, 12], [0, 12]]
    lawns = [{"name": "Rear", "outline": [[*point, "wall"] for point in outline]}]
    found = chosen(lawns=lawns)
    apart = [math.dist(a.at, b.at) for a in found for b in found if a.name < b.name]
    assert min(apart) >= REFERENCES_APART_M


def test_every_plan_has_points_to_tape_from(any_plan: object) -> None:
    plan = load(any_plan)  # type: ignore[arg-type]
    lay = lay_plan(plan)
    tapes = tapes_of(plan, lay.lawns)
    places = {reference.name: reference.at for reference in tapes.references}
    assert len(places) == len(tapes.references) >= 2
    for loop in lay.loops:
        pegs = np.array([(peg.x, peg.y) for peg in loop.pegs if peg.control])
        for peg, way in zip(pegs, tapes.found(pegs), strict=True):
            if isinstance(way, Tie):
                again = meet(places[way.a], places[way.b], way.a_m, way.b_m, way.side)
                assert math.dist(again, peg) < 1e-6
            elif way is not None:
                assert math.hypot(way.a_m, way.offset_m) >= math.dist(places[way.a], peg) - 1e-6


@given(inside)
def test_tapes_to_the_centimetre_find_the_point_within_five(
    point: tuple[float, float],
) -> None:
    (tie,) = ties(np.array([point]), CORNERS)
    assert tie is not None
    again = meet(AT[tie.a], AT[tie.b], round(tie.a_m, 2), round(tie.b_m, 2), tie.side)
    assert math.dist(again, point) < 0.05


@given(inside)
def test_no_other_pair_that_can_be_held_crosses_better(point: tuple[float, float]) -> None:
    (tie,) = ties(np.array([point]), CORNERS)
    assert tie is not None
    assert max(tie.a_m, tie.b_m) <= TAPE_M
    assert tie.quality == "good"
    for i, a in enumerate(CORNERS):
        for b in CORNERS[i + 1 :]:
            reach = math.dist(a.at, point), math.dist(b.at, point)
            if max(reach) > TAPE_M:
                continue
            ways = [math.atan2(r.at[1] - point[1], r.at[0] - point[0]) for r in (a, b)]
            angle = math.degrees(abs(math.remainder(ways[0] - ways[1], math.tau)))
            assert abs(tie.angle_deg - 90) <= abs(angle - 90) + 0.05


def test_a_shorter_tape_wins_over_a_better_angle_that_nobody_can_hold() -> None:
    far = [Reference("A", (0, 0)), Reference("B", (10, 0)), Reference("C", (29, 3))]
    (tie,) = ties(np.array([(2.0, 9.0)]), far)
    assert tie is not None
    assert (tie.a, tie.b) == ("A", "B")


def test_a_poor_crossing_is_called_so() -> None:
    (tie,) = ties(np.array([(5.0, 0.2)]), [Reference("A", (0, 0)), Reference("B", (10, 0))])
    assert tie is not None
    assert tie.quality == "poor"


def test_no_tape_is_longer_than_a_person_can_hold() -> None:
    """20 m or 65 ft, as the survey form says: whichever is less."""
    assert min(20.0, 65 * 0.3048) >= TAPE_M
    two = [Reference("A", (0, 0)), Reference("B", (10, 0))]
    assert ties(np.array([(5.0, 19.1), (5.0, 19.2)]), two)[1] is None
    assert ties(np.array([(5.0, 19.1)]), two)[0] is not None


def test_no_tape_runs_through_what_is_in_its_way() -> None:
    wall = shapely.box(3.9, -1.0, 4.1, 3.0)
    three = [Reference("A", (0, 0)), Reference("B", (10, 0)), Reference("C", (10, 8))]
    free, behind = ties(np.array([(6.0, 5.0), (6.0, 2.0)]), three, wall)
    assert free is not None and behind is not None
    assert {free.a, free.b} == {"A", "B"}
    assert {behind.a, behind.b} == {"B", "C"}


def test_one_reference_gives_no_tie() -> None:
    assert ties(np.array([(1.0, 1.0), (2.0, 2.0)]), CORNERS[:1]) == (None, None)


def test_the_error_of_a_point_on_the_line_of_its_references_is_large() -> None:
    assert tie_error_m(90) < tie_error_m(30) < tie_error_m(5)


@given(inside, st.sampled_from(["left", "right"]))
def test_the_side_tells_which_of_two_crossings(point: tuple[float, float], side: str) -> None:
    a, b = (0.0, 0.0), (18.0, 0.0)
    assume(point[1] > 0.01)
    y = point[1] if side == "left" else -point[1]
    at = (point[0], y)
    again = meet(a, b, math.dist(a, at), math.dist(b, at), side)  # type: ignore[arg-type]
    assert math.dist(again, at) < 1e-6
