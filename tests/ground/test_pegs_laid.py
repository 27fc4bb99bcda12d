"""Pegs and splices of whole plans: the rule holds on every loop, numbers run through the plan."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.ground.spools import forbidden_stretches
from renderer.plan import load
from tests.ground.gardens import laid, some_gardens
from tests.ground.test_pegs import assert_rule_kept
from tests.ground.walks import Made
from tests.shared import lay_plan

if TYPE_CHECKING:
    from pathlib import Path

    from renderer.ground.lay import Lay
    from renderer.plan import Plan


def assert_laid_by_the_rule(plan: Plan, lay: Lay) -> None:
    spacing, dock = plan.machine.peg_spacing, plan.machine.dock
    numbers = [int(peg.id) for loop in lay.loops for peg in loop.pegs]
    assert numbers == list(range(1, len(numbers) + 1))
    names = [splice.id for loop in lay.loops for splice in loop.splices]
    assert names == [f"S{n}" for n in range(1, len(names) + 1)]
    docked = {loop.name: loop.dock is not None for loop in plan.loops}
    tight = {(splice.loop, splice.at_m) for splice in lay.spools.tight}
    for loop in lay.loops:
        walk = Made(loop.path, loop.at_m, loop.legs)
        assert_rule_kept(walk, loop.pegs, spacing.first, spacing.final, plan.machine.peg_sag)
        assert loop.pegs[0].reason == "dock"
        stretches = forbidden_stretches(
            loop.path,
            loop.at_m,
            loop.legs,
            clear_m=plan.machine.splice_clear,
            dock_before=dock.straight_before if docked[loop.name] else 0.0,
            dock_after=dock.straight_after if docked[loop.name] else 0.0,
        )
        for splice in loop.splices:
            inside = any(a + 1e-5 < splice.at_m < b - 1e-5 for a, b in stretches)
            assert inside == ((loop.name, splice.at_m) in tight)
            for side in (-1, 1):
                away = [side * (peg.at_m - splice.at_m) for peg in loop.pegs]
                away += [side * (p.also_at_m - splice.at_m) for p in loop.pegs if p.also_at_m]
                assert any(1e-3 < gap <= 0.15 + 1e-6 for gap in away)


def test_every_plan_is_pegged_by_the_rule(any_plan: Path) -> None:
    plan = load(any_plan)
    assert_laid_by_the_rule(plan, lay_plan(plan))


def test_random_gardens_are_pegged_by_the_rule() -> None:
    for text in some_gardens():
        assert_laid_by_the_rule(*laid(text))


def test_no_bend_has_a_peg_in_the_hole_of_another() -> None:
    """A bend that begins within a centimetre of a corner, or of a leg's end, has its peg there."""
    for loop in (loop for text in some_gardens() for loop in laid(text)[1].loops):
        fixed = [peg.at_m for peg in loop.pegs if peg.reason in ("corner", "lead", "dock")]
        curved = [peg.at_m for peg in loop.pegs if peg.reason == "curve"]
        gaps = [min(abs(at - other) for other in fixed) for at in curved]
        assert min(gaps, default=1.0) >= 0.0099
