"""Walls of a house, told by its corners: points and lawns here are worked out by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest

from renderer.ground.faces import faces, has_house_corners
from renderer.plan import loads
from renderer.plan.model import Plan
from tests.checks.jobs import MACHINE
from tests.plans import moved
from tests.shared import check_plan, lay_plan

A, B, C = [0.0, 0.0], [12.0, 0.0], [12.0, 9.0]


def garden(*points: tuple[str, list[float], str]) -> dict[str, Any]:
    """A lawn of 12 by 10 m, three metres north of the first wall."""
    return {
        "plan": 1,
        "job": {"number": "T-9"},
        "machine": MACHINE,
        "survey": {"points": [{"name": n, "at": at, "what": what} for n, at, what in points]},
        "lawns": [
            {
                "name": "Rear",
                "outline": [[0, 3, "flush"], [12, 3, "fence"], [12, 13, "hedge"], [0, 13, "wall"]],
            }
        ],
        "loops": [{"dock": {"at": [6, 3.2]}}],
        "wire": {"conductor_mm2": 0.75},
    }


def plan_of(data: dict[str, Any]) -> Plan:
    import json

    return loads(json.dumps(data), "t.plan.json")


HOUSE = (("A", A, "left corner of the house"), ("B", B, "right corner of the house"))


@pytest.mark.parametrize("turn", [0.0, 37.0, 180.0, 270.0])
@pytest.mark.parametrize("mirror", [False, True])
def test_a_wall_has_the_lawn_on_its_left_however_the_garden_lies(turn: float, mirror: bool) -> None:
    shift = (5_412_000.0, 300_000.0)
    plan = plan_of(moved(garden(*HOUSE), math.radians(turn), mirror, shift))
    (face,) = faces(plan, lay_plan(plan).lawns)
    assert math.dist(face.a, face.b) == pytest.approx(12.0, abs=1e-6)
    x, y = lay_plan(plan).lawns[0].outline.centroid.coords[0]
    left = (face.b[0] - face.a[0]) * (y - face.a[1]) - (face.b[1] - face.a[1]) * (x - face.a[0])
    assert left > 0
    assert face.of == 0


@pytest.mark.parametrize(
    "words", ["corner of the house", "Hausecke", "esquina de la casa", "angle de la maison"]
)
def test_corners_are_told_in_each_language(words: str) -> None:
    plan = plan_of(garden(("A", A, f"{words}, links"), ("B", B, words)))
    assert len(faces(plan, lay_plan(plan).lawns)) == 1


@pytest.mark.parametrize(
    "points",
    [
        (("A", A, "gate post"), ("B", B, "corner of the house")),
        (("A", A, "left pier of the summer-house steps"), ("B", B, "right pier of the house")),
        (("A", A, "corner of the shed"), ("B", B, "corner of the house")),
        (("A", [0.0, 4.0], "corner of the house"), ("B", [12.0, 4.0], "corner of the house")),
        (("A", [0.0, -9.0], "corner of the house"), ("B", B, "corner of the house")),
    ],
    ids=["no corner", "steps", "two buildings", "over the lawn", "corner to corner"],
)
def test_nothing_else_is_a_wall(points: tuple[tuple[str, list[float], str], ...]) -> None:
    plan = plan_of(garden(*points))
    assert not faces(plan, lay_plan(plan).lawns)


def test_a_building_of_the_plan_is_no_face_and_has_corners_that_last() -> None:
    bare = plan_of(garden())
    assert not has_house_corners(bare)
    corners = [[0, 0], [12, 0], [12, -8], [0, -8]]
    house = {"name": "House", "kind": "building", "polygon": corners}
    plan = plan_of(garden(*HOUSE) | {"features": [house]})
    assert not faces(plan, lay_plan(plan).lawns)
    assert has_house_corners(plan_of(garden() | {"features": [house]}))
    assert has_house_corners(plan_of(garden(*HOUSE)))


def test_a_building_s_corners_are_points_enough() -> None:
    """The finding says so at planning, and no longer once the house is on the plan."""
    house = {"name": "H", "kind": "building", "polygon": [[0, 0], [12, 0], [12, -8], [0, -8]]}
    for features, asks in (([], True), ([house], False)):
        plan = plan_of(garden() | {"features": features})
        rules = {finding.rule for finding in check_plan(plan, lay_plan(plan))}
        assert ("no-reference-points" in rules) is asks
