"""Each rule of the wire tells: a lay is broken on purpose, or judged by a stricter plan."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
import shapely

from renderer.ground.lay import Cut
from renderer.ground.tracks import make_track
from renderer.ground.tree import Link
from renderer.ground.walk import walk
from tests.ground import wire_rules
from tests.ground.gardens import as_text, box, box_bed, figures, laid, plan_of, ring_of, round_bed
from tests.ground.plain import shoelace

if TYPE_CHECKING:
    from collections.abc import Callable

    from renderer.ground.lay import Lay, LoopLay
    from renderer.plan import Plan

BEDS = [round_bed(6, 4, 1.0, "West"), round_bed(14, 4, 1.0, "East")]


def garden(things: list[Any] | None = None, shape: Any = None, **changes: Any) -> str:
    """A lawn with two beds, its dock in the middle of the south side."""
    given = {"dock": {"straight_before": 0.5, "straight_after": 0.5}} | changes
    lawn = {"name": "Lawn", "outline": ring_of(shape or box(20, 12))}
    things = BEDS if things is None else things
    return as_text(figures(**given), [lawn], things, [{"dock": {"at": [10, 0]}}])


def judged(laid_by: str, judged_by: str) -> set[str]:
    """Rules that the lay of one plan breaks when it is judged by another."""
    plan, (_, lay) = plan_of(judged_by), laid(laid_by)
    assert plan is not None
    return broken(plan, lay)


def broken(plan: Plan, lay: Lay) -> set[str]:
    return {name for name, rule in wire_rules.RULES.items() if rule(plan, lay)}


def test_the_garden_itself_breaks_none() -> None:
    assert broken(*laid(garden())) == set()


def with_path(loop: LoopLay, path: np.ndarray, kept: np.ndarray | None = None) -> LoopLay:
    """The loop on another path, measured anew; ``kept`` tells where its old points are now."""
    at = loop.tail_m + np.concatenate([[0], np.cumsum(np.hypot(*np.diff(path, axis=0).T))])
    now = at if kept is None else at[kept]
    ends = dict(zip(loop.at_m.tolist(), now.tolist(), strict=True)) | {0.0: 0.0}
    ends[loop.length_m] = float(at[-1] + loop.tail_m)
    legs = tuple(replace(leg, from_m=ends[leg.from_m], to_m=ends[leg.to_m]) for leg in loop.legs)
    return replace(loop, path=path, at_m=at, length_m=ends[loop.length_m], legs=legs)


def span(loop: LoopLay, part: str, back: bool = False) -> tuple[int, int]:
    """First and last point of the path on the first leg of a ring or pair."""
    leg = next(leg for leg in loop.legs if leg.part == part and leg.back == back)
    first, last = np.searchsorted(loop.at_m, [leg.from_m - 1e-9, leg.to_m - 1e-9])
    return int(first), int(last)


def island(loop: LoopLay) -> str:
    return next(ring.id for ring in loop.rings if ring.kind == "island")


def reversed_island(loop: LoopLay) -> LoopLay:
    first, last = span(loop, island(loop))
    path = loop.path.copy()
    path[first : last + 1] = path[first : last + 1][::-1]
    return with_path(loop, path)


def stretch_walked_twice(loop: LoopLay) -> LoopLay:
    """The first stretch of the edge there, back and there again."""
    path = np.concatenate([loop.path[:2], loop.path[:1], loop.path[1:]])
    kept = np.concatenate([[0], np.arange(1, len(loop.path)) + 2])
    return with_path(loop, path, kept)


def nudged(loop: LoopLay) -> LoopLay:
    """One corner of the edge moved 5 mm outward."""
    path = loop.path.copy()
    corner = int(np.argmax(path.sum(axis=1)))
    path[corner] += 0.005
    return with_path(loop, path)


def wires_apart(loop: LoopLay) -> LoopLay:
    """The way back of the first pair moved aside by 3 cm."""
    first, last = span(loop, loop.leads[0].id, back=True)
    aside = (loop.path[first] + loop.path[last]) / 2 + [0.03, 0]
    path = np.insert(loop.path, last, np.round(aside, 4), axis=0)
    kept = np.arange(len(loop.path)) + (np.arange(len(loop.path)) >= last)
    return with_path(loop, path, kept)


def leg_lost(loop: LoopLay) -> LoopLay:
    return replace(loop, legs=(*loop.legs[:3], *loop.legs[4:]))


def off_the_grid(loop: LoopLay) -> LoopLay:
    return with_path(loop, loop.path + 0.00003)


def told_too_large(loop: LoopLay) -> LoopLay:
    return replace(loop, working_area_m2=loop.working_area_m2 + 0.5)


BREAKS: list[tuple[Callable[[LoopLay], LoopLay], set[str]]] = [
    (reversed_island, {"area_is_signed", "winds_once"}),
    (stretch_walked_twice, {"nothing_crosses"}),
    (nudged, {"keeps_setbacks", "area_is_signed"}),
    (wires_apart, {"legs_follow", "area_is_signed"}),
    (leg_lost, {"legs_follow"}),
    (off_the_grid, {"legs_follow"}),
    (told_too_large, {"area_is_signed"}),
]


@pytest.mark.parametrize(("breaking", "rules"), BREAKS, ids=[b.__name__ for b, _ in BREAKS])
def test_a_broken_walk_is_told(breaking: Callable[[LoopLay], LoopLay], rules: set[str]) -> None:
    plan, lay = laid(garden())
    assert broken(plan, replace(lay, loops=(breaking(lay.loops[0]),))) == rules


def test_a_walk_laid_the_other_way_is_told() -> None:
    found = judged(garden(), garden(lay_direction="clockwise"))
    assert {"area_is_signed", "winds_once"} <= found


WAIST = [
    (0, 0),
    (10, 0),
    (10, 5.1),
    (12, 5.1),
    (12, 0),
    (20, 0),
    (20, 12),
    (12, 12),
    (12, 6.9),
    (10, 6.9),
    (10, 12),
    (0, 12),
]
POCKET = [(0, 0), (20, 0), (20, 5), (22.6, 5), (22.6, 6.4), (20, 6.4), (20, 12), (0, 12)]
POST = round_bed(6, 1.5, 0.2, "Post", kind="firm")

STRICTER = {
    "keeps_setbacks": (garden(), garden(back=0.302)),
    "mows_what_it_may": (garden(back=0.4), garden()),
    "leads_pass_firm": (garden(), garden([*BEDS, POST])),
    "leads_leave_apart": (garden(), garden(dock={"straight_before": 8, "straight_after": 8})),
    "bends_as_asked": (garden(), garden(corner_radius=0.2)),
    "no_necks_left": (garden([], WAIST), garden([], WAIST, passage_min=1.5)),
    "no_deep_dead_ends": (garden([], POCKET, passage_min=1.6), garden([], POCKET, passage_min=1.0)),
}


@pytest.mark.parametrize("rule", [rule for rule in STRICTER if rule != "no_deep_dead_ends"])
def test_a_lay_judged_by_a_stricter_plan_is_told(rule: str) -> None:
    one, two = STRICTER[rule]
    assert rule not in judged(one, one)
    assert rule in judged(one, two)


def test_ground_mown_inside_a_setback_is_told() -> None:
    assert "mows_what_it_may" in judged(garden(), garden(back=0.6))


def test_a_sharp_corner_is_told() -> None:
    wedge = [(0, 0), (20, 0), (0, 14)]
    found = judged(garden([], wedge), garden([], wedge, corner_angle_min=60))
    assert "bends_as_asked" in found


def test_a_dead_end_that_was_kept_too_deep_is_told() -> None:
    """The pocket of 0.8 wire to wire is 2.6 deep: kept at passage 1.5, too deep at 1.0."""
    wide, narrow = garden([], POCKET, passage_min=1.5), garden([], POCKET, passage_min=0.9)
    assert "no_deep_dead_ends" not in judged(wide, wide)
    assert "no_deep_dead_ends" in judged(wide, narrow)


def test_pairs_that_leave_too_near_to_each_other_are_told() -> None:
    plan, lay = laid(garden())
    for gap, rules in ((0.03, {"leads_leave_apart"}), (0.06, set())):
        edge = make_track(
            "edge",
            "outer",
            "Lawn",
            "Lawn",
            0,
            shapely.get_coordinates(shapely.box(0, 0, 20, 12))[:4],
        )
        beds = [
            make_track(
                name, "island", name, "Lawn", 0, shapely.get_coordinates(shapely.box(*sides))[3::-1]
            )
            for name, sides in (("a", (5, 4, 8, 6)), ("b", (9, 4, 12, 6)))
        ]
        assert shoelace(edge.points) > 0 > max(shoelace(bed.points) for bed in beds)
        pairs = [
            Link(0, 1, np.array([[8.5 - gap / 2, 0], [8, 4]])),
            Link(0, 2, np.array([[8.5 + gap / 2, 0], [9, 4]])),
        ]
        walked = walk([edge, *beds], pairs, 0, (0.0, edge.points[0]), lay.loops[0].tail_m)
        loop = replace(
            lay.loops[0],
            path=walked.path,
            at_m=walked.at_m,
            legs=walked.legs,
            rings=walked.rings,
            leads=walked.leads,
        )
        assert set(broken(plan, replace(lay, loops=(loop,)))) & {"leads_leave_apart"} == rules


def test_ground_left_out_for_no_reason_is_told() -> None:
    plan, lay = laid(garden())
    field = shapely.box(2, 2, 5, 5)
    cut = Cut("left_out", "Lawn", (3.5, 3.5), (), None, 9.0, None, field)
    assert broken(plan, replace(lay, cuts=(cut,))) == {"leaves_out_only_small"}


def test_a_neck_that_was_not_cut_between_islands_is_told() -> None:
    """Beds 0.9 apart wire to wire are two islands at passage 0.8 and one at 1.0."""
    beds = [box_bed(5, 4, 8, 7), box_bed(9.5, 4, 12, 7)]
    found = judged(garden(beds, passage_min=0.8), garden(beds, passage_min=1.0))
    assert "no_necks_left" in found
