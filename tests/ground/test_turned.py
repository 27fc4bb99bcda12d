"""A garden is laid the same however it lies on its sheet, and in whatever order it is listed."""

from __future__ import annotations

import copy
import json
import math
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from renderer.checks import check_plan
from renderer.ground import lay_plan
from renderer.plan import loads
from tests.ground.gardens import (
    as_text,
    box,
    figures,
    laid,
    round_bed,
    some_gardens,
    turned_round,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from renderer.ground.lay import Lay
    from renderer.plan import Plan

    Move = Callable[[list[float]], list[float]]
    Listing = Callable[[dict[str, Any]], None]

pytestmark = pytest.mark.own_work


def _turned(degrees: float) -> Move:
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return lambda p: [c * p[0] - s * p[1] + 3.2179, s * p[0] + c * p[1] - 11.4031]


WAYS: dict[str, Move] = {
    "turned left": lambda p: [-p[1], p[0]],
    "turned round": lambda p: [-p[0], -p[1]],
    "mirrored": lambda p: [-p[0], p[1]],
    "turned by 17.3": _turned(17.3),
    "turned by 61.7": _turned(61.7),
    "turned by 133.1": _turned(133.1),
}
OTHER_WAY = {"clockwise": "anticlockwise", "anticlockwise": "clockwise"}
SAME_M = 1e-3
# What is found by points to tape from, which are lettered from the north and chosen in that order.
BY_NORTH = ("poorly-found",)


def moved_by(text: str, move: Move) -> str:
    """The garden with every point moved."""
    plan: dict[str, Any] = json.loads(text)
    for held in _holding_points(plan):
        for key in ("at", "through"):
            if key in held:
                held[key] = move(held[key])
        for key in ("polygon", "via"):
            if key in held:
                held[key] = [move(point) for point in held[key]]
    zero, east, north = (np.array(move(p)) for p in ([0.0, 0.0], [1.0, 0.0], [0.0, 1.0]))
    (a, b), (c, d) = (east - zero).tolist(), (north - zero).tolist()
    if a * d < b * c:
        machine = plan["machine"]
        machine["lay_direction"] = OTHER_WAY[machine.get("lay_direction", "anticlockwise")]
    return json.dumps(plan)


def _holding_points(held: Any) -> list[dict[str, Any]]:
    if isinstance(held, list):
        return [found for each in held for found in _holding_points(each)]
    if not isinstance(held, dict):
        return []
    return [held, *(found for each in held.values() for found in _holding_points(each))]


def _outlines_reversed(plan: dict[str, Any]) -> None:
    for lawn in plan["lawns"]:
        lawn["outline"] = turned_round(lawn["outline"])


def _outlines_begun_elsewhere(plan: dict[str, Any]) -> None:
    for lawn in plan["lawns"]:
        lawn["outline"] = lawn["outline"][2:] + lawn["outline"][:2]


def _obstacles_reversed(plan: dict[str, Any]) -> None:
    plan["obstacles"].reverse()


LISTINGS: dict[str, Listing] = {
    "outlines the other way round": _outlines_reversed,
    "outlines from another corner": _outlines_begun_elsewhere,
    "obstacles in reverse": _obstacles_reversed,
}


def _told(plan: Plan, lay: Lay) -> list[tuple[str, str, str]]:
    """What is found, without the figures in it, which may round to another centimetre."""
    found = check_plan(plan, lay)
    return sorted(
        (f.rule, f.level, " + ".join(sorted(f.about.split(" + "))))
        for f in found
        if f.rule not in BY_NORTH
    )


def _differences(here: Lay, there: Lay, move: Move) -> Iterator[str]:
    """How a lay differs from another, whose places ``move`` puts where its own are."""
    if sorted(cut.kind for cut in here.cuts) != sorted(cut.kind for cut in there.cuts):
        yield "cuts"
    for one, two in zip(here.loops, there.loops, strict=True):
        if abs(one.length_m - two.length_m) > SAME_M:
            yield f"{one.name}: {one.length_m} m and {two.length_m} m"
        if abs(one.working_area_m2 - two.working_area_m2) > 1e-2:
            yield f"{one.name}: {one.working_area_m2} m2 and {two.working_area_m2} m2"
        pegs, others = ([(p.id, p.round, p.reason, p.control) for p in x.pegs] for x in (one, two))
        if pegs != others:
            yield f"{one.name}: {len(pegs)} pegs and {len(others)}"
        else:
            places = np.array([move([peg.x, peg.y]) for peg in one.pegs])
            off = np.hypot(*(places - [(peg.x, peg.y) for peg in two.pegs]).T)
            if off.max() > SAME_M:
                yield f"{one.name}: a peg {off.max()} m off"


def _share(of: str) -> tuple[str, ...]:
    """A few of the gardens that other tests have laid, others for each way and listing."""
    every = (*WAYS, *LISTINGS)
    return some_gardens()[every.index(of) :: len(every)]


@pytest.mark.parametrize("way", WAYS)
def test_a_garden_turned_or_mirrored_is_laid_and_checked_the_same(way: str) -> None:
    for text in _share(way):
        plan, here = laid(text)
        turned = loads(moved_by(text, WAYS[way]), "garden.json")
        there = lay_plan(turned)
        assert list(_differences(here, there, WAYS[way])) == [], text
        assert _told(turned, there) == _told(plan, here), text


@pytest.mark.parametrize("listing", LISTINGS)
def test_a_garden_listed_in_another_order_is_laid_and_checked_the_same(listing: str) -> None:
    for text in _share(listing):
        plan, here = laid(text)
        listed = copy.deepcopy(json.loads(text))
        LISTINGS[listing](listed)
        other = loads(json.dumps(listed), "garden.json")
        there = lay_plan(other)
        assert list(_differences(here, there, lambda p: p)) == [], text
        assert _told(other, there) == _told(plan, here), text


@pytest.mark.parametrize("way", WAYS)
def test_a_garden_that_lies_alike_from_two_sides_is_told_apart_by_its_dock(way: str) -> None:
    """A square with equal beds in all its corners; only the dock says which side is which."""
    beds = [round_bed(x, y, 0.7) for x in (4, 12) for y in (4, 12)]
    lawn = {"name": "Lawn", "outline": _sides(box(16, 16))}
    loop = {"dock": {"at": [7, 0]}}
    text = as_text(figures(passage_min=0.8), [lawn], beds, [loop])
    _, here = laid(text)
    there = lay_plan(loads(moved_by(text, WAYS[way]), "garden.json"))
    assert len(here.loops[0].rings) == 5
    assert list(_differences(here, there, WAYS[way])) == []


def test_a_garden_square_on_its_sheet_keeps_its_round_figures() -> None:
    """The own frame of a garden that lies square on its sheet is as square: nothing is lost."""
    lawn = {"name": "Lawn", "outline": _sides(box(9.7, 16))}
    _, here = laid(as_text(figures(), [lawn], [], [{"dock": {"at": [7, 0]}}]))
    corners = {(peg.x, peg.y) for peg in here.loops[0].pegs if peg.reason == "corner"}
    assert corners == {(0.3, 0.3), (9.4, 0.3), (9.4, 15.7), (0.3, 15.7)}


def _sides(ring: list[tuple[float, float]]) -> list[dict[str, Any]]:
    return [{"at": list(corner), "side": "wall"} for corner in ring]
