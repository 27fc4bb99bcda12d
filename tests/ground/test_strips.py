"""No peg stands in the strip of a service but where the wire has its corners and joints."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

import renderer
from renderer.plan.model import Plan
from renderer.trade import SERVICE_STRIP_M
from tests.checks.jobs import JOB, changed, plan_of
from tests.plans import moved
from tests.shared import lay_plan

Point = tuple[float, float]
SQUARE = [[30, -10], [21, -10]]
ASKEW = [[26, -8], [21, -12]]


def away(point: Point, line: list[list[float]]) -> float:
    """From a point to a line of several points, worked out on foot."""
    found = []
    for (ax, ay), (bx, by) in pairwise(line):
        dx, dy = bx - ax, by - ay
        share = ((point[0] - ax) * dx + (point[1] - ay) * dy) / (dx * dx + dy * dy)
        share = min(1.0, max(0.0, share))
        found.append(math.dist(point, (ax + share * dx, ay + share * dy)))
    return min(found)


def turned(line: list[list[float]], degrees: float, shift: Point) -> list[list[float]]:
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return [[x * c - y * s + shift[0], x * s + y * c + shift[1]] for x, y in line]


@pytest.mark.parametrize("line", [SQUARE, ASKEW], ids=["square", "askew"])
def test_pegs_stand_clear_of_a_cable_that_the_wire_crosses(line: list[list[float]]) -> None:
    plan = plan_of(changed(JOB, {"features.4.line": line}))
    (loop,) = lay_plan(plan).loops
    spaced = [away((peg.x, peg.y), line) for peg in loop.pegs]
    assert min(spaced) >= SERVICE_STRIP_M
    assert sum(each < 2 * SERVICE_STRIP_M for each in spaced) >= 2  # on both sides


def test_spacing_holds_where_the_wire_crosses_squarely() -> None:
    plan = plan_of(JOB)
    (loop,) = lay_plan(plan).loops
    run = sorted([p.at_m for p in loop.pegs] + [p.also_at_m for p in loop.pegs if p.also_at_m])
    assert max(b - a for a, b in pairwise(run)) <= plan.machine.peg_spacing.final + 1e-3
    first = [p for p in loop.pegs if p.round == 1]
    run = sorted([p.at_m for p in first] + [p.also_at_m for p in first if p.also_at_m])
    assert max(b - a for a, b in pairwise(run)) <= plan.machine.peg_spacing.first + 1e-3


@pytest.mark.parametrize(("degrees", "shift"), [(0, (0, 0)), (37, (5, 9)), (0, (649e3, 5318e3))])
def test_pegs_on_a_curve_keep_clear_wherever_the_garden_lies(degrees: float, shift: Point) -> None:
    def moved(points: Any) -> Any:
        return turned(points, degrees, shift)

    line = moved([[-3, 0.8], [4, 0.8]])
    corners = [
        {"at": at, "side": "hedge", "through": through}
        for at, through in zip(moved([[0, 0], [14, 0]]), moved([[7, 7], [7, -7]]), strict=True)
    ]
    cable = {"name": "Cable", "kind": "buried cable", "line": line, "located": "2026-05-01"}
    changes = {
        "lawns": [{"name": "Rear", "outline": corners}],
        "survey": None,
        "obstacles": [],
        "features": [cable],
        "loops.0.crossings": None,
        "loops.0.dock.at": moved([[7, -6.7]])[0],
        "loops.0.supply.at": moved([[7, -7.5]])[0],
    }
    (loop,) = lay_plan(plan_of(changed(JOB, changes))).loops
    assert min(away((peg.x, peg.y), line) for peg in loop.pegs) >= SERVICE_STRIP_M


def test_no_peg_of_a_demo_stands_in_a_strip(any_plan: Path) -> None:
    plan = renderer.load(any_plan)
    lines = [
        [list(point) for point in feature.line]
        for feature in plan.features
        if feature.kind.startswith("buried") and feature.line
    ]
    for loop in lay_plan(plan).loops:
        for line in lines:
            assert min(away((peg.x, peg.y), line) for peg in loop.pegs) >= SERVICE_STRIP_M


def where_crossed(plan: Plan, line: list[list[float]]) -> float:
    """The distance along the laid wire at which it comes nearest to a line."""
    (loop,) = lay_plan(plan).loops
    places = zip(loop.at_m.tolist(), loop.path.tolist(), strict=True)
    steps = [
        (a + share * (b - a), (p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])))
        for (a, p), (b, q) in pairwise(places)
        for share in (k / 200 for k in range(201))
    ]
    return min(steps, key=lambda step: away(step[1], line))[0]


@pytest.mark.parametrize("line", [SQUARE, ASKEW], ids=["square", "askew"])
@pytest.mark.parametrize(("degrees", "shift"), [(0, (0, 0)), (37, (5, 9)), (0, (649e3, 5412e3))])
def test_a_splice_comes_back_out_of_the_strip_of_a_cable(
    line: list[list[float]], degrees: float, shift: Point
) -> None:
    job = moved(changed(JOB, {"features.4.line": line}), math.radians(degrees), False, shift)
    line = turned(line, degrees, shift)
    end = round(where_crossed(plan_of(job), line) + 0.2, 4)  # a spool that ends at the cable
    (loop,) = lay_plan(plan_of(changed(job, {"wire.spools": [end] * 9}))).loops
    first = loop.splices[0]
    assert end - 3.0 < first.at_m < end
    for splice in loop.splices:
        assert away((splice.x, splice.y), line) >= SERVICE_STRIP_M
        held = [peg for peg in loop.pegs if abs(peg.at_m - splice.at_m) < 0.16]
        assert len(held) >= 2
        assert all(away((peg.x, peg.y), line) >= SERVICE_STRIP_M for peg in held)
