"""A garden lies the same wherever its coordinates start: near zero, or on a national grid."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from renderer.checks import check_plan
from renderer.findings_text import in_words
from renderer.ground import lay_plan
from renderer.plan import about_origin, as_measured, digest, load
from renderer.plan.origin import moved
from tests.ground.gardens import EXAMPLES, laid, some_gardens
from tests.plans import demo_plans, example_plans

if TYPE_CHECKING:
    from pathlib import Path

    from renderer.findings_text import FindingText
    from renderer.ground.lay import Lay
    from renderer.plan import Plan

GRIDS = ((649000.0, 5318000.0), (-6000000.0, 6000000.0), (431000.0, 152000.0))
UNROUND = ((12.34567, -3.21047), (648999.98765, 5412000.12345))
TENTH_MM = 1e-4


@pytest.mark.parametrize("by", GRIDS)
def test_a_garden_on_a_grid_is_laid_and_checked_as_one_near_zero(by: tuple[float, float]) -> None:
    for text in some_gardens()[GRIDS.index(by) :: len(GRIDS)]:
        same_on_the_grid(text, by)


def same_on_the_grid(text: str, by: tuple[float, float]) -> None:
    plan, lay = laid(text)
    far = moved(plan, by)
    there = lay_plan(far)
    for here, gone in zip(lay.loops, there.loops, strict=True):
        assert np.abs(here.path + by - gone.path).max() < TENTH_MM
        assert gone.length_m == here.length_m
        assert [(p.id, p.at_m, p.round) for p in gone.pegs] == [
            (p.id, p.at_m, p.round) for p in here.pegs
        ]
        assert [s.at_m for s in gone.splices] == [s.at_m for s in here.splices]
    assert _told(far, there) == _told(plan, lay)


@pytest.mark.parametrize("by", UNROUND)
def test_a_shift_by_no_round_figure_moves_the_wire_by_its_rounding_only(
    by: tuple[float, float],
) -> None:
    for text in some_gardens()[UNROUND.index(by) : max(2, EXAMPLES // 10) : 2]:
        same_but_for_rounding(text, by)


def same_but_for_rounding(text: str, by: tuple[float, float]) -> None:
    plan, lay = laid(text)
    far = moved(plan, by)
    there = lay_plan(far)
    for here, gone in zip(lay.loops, there.loops, strict=True):
        assert gone.length_m == pytest.approx(here.length_m, abs=1e-3)
        pegs, others = ([(p.id, p.round, p.reason) for p in each.pegs] for each in (here, gone))
        assert pegs == others
        places = [(peg.x + by[0], peg.y + by[1]) for peg in here.pegs]
        off = np.subtract(places, [(peg.x, peg.y) for peg in gone.pegs])
        assert np.hypot(*off.T).max() < 1e-3
    rules = [
        sorted((f.rule, f.level) for f in _told(*each)) for each in ((plan, lay), (far, there))
    ]
    assert rules[0] == rules[1]


def _told(plan: Plan, lay: Lay) -> list[FindingText]:
    """The findings without their places; at a loop's start two running distances are one place."""
    found = in_words(check_plan(plan, lay), plan.units)
    bare = [replace(each, at=None, at_m=None, facts={}) for each in found]
    return sorted(bare, key=lambda found: (found.rule, found.message))


@pytest.mark.parametrize("path", [*demo_plans(), *example_plans()], ids=lambda path: path.name)
@pytest.mark.parametrize("by", [*GRIDS, (123456.7, 5300000.1234), (3000000.123, 0.0)])
def test_a_plan_goes_to_its_origin_and_back_without_loss(
    path: Path, by: tuple[float, float]
) -> None:
    far = moved(load(path), by)
    near = about_origin(far)
    assert as_measured(near) == far
    assert digest(near) == digest(far)
    assert about_origin(near) is near
    corners = np.array([v.at for lawn in near.lawns for v in lawn.outline])
    assert np.abs(corners).max() < 1000 + np.ptp(corners)


def test_findings_lie_where_the_plan_has_them() -> None:
    from tests.checks.jobs import JOB, changed, found, plan_of

    plan = plan_of(changed(JOB, {"loops.0.dock.at": [0.1, 0.1]}))
    by = GRIDS[0]
    for here, there in zip(found(plan), found(moved(plan, by)), strict=True):
        assert here.message == there.message
        if here.at is not None:
            assert there.at == pytest.approx((here.at[0] + by[0], here.at[1] + by[1]), abs=2e-4)
