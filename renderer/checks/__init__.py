"""What could go wrong: findings on a laid plan, and the cautions that its facts call for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.checks.caution import Caution
from renderer.checks.finding import Finding

if TYPE_CHECKING:
    from collections.abc import Iterable

    from renderer.checks.past import Past
    from renderer.ground.lay import Lay
    from renderer.ground.setting_out import SettingOut
    from renderer.plan.model import Plan

__all__ = ["Caution", "Finding", "cautions", "check_plan"]


def check_plan(
    plan: Plan,
    lay: Lay,
    setting: SettingOut | None = None,
    only: Iterable[str] | None = None,
    past: Past | None = None,
) -> tuple[Finding, ...]:
    """The findings on a plan and its lay, worst first, in the same order each time.

    Places and lengths are in metres; ``renderer.findings_text`` makes sentences of them. A warning
    that the plan acknowledges stays in the list with the name and the reason. ``setting`` saves
    working out a second time what the wire is taped from; it goes with a plan whose coordinates are
    about an origin near its lawns. ``only`` are the ids of the rules to look at, all when left out.
    ``past`` is what was recorded of wire that lies. Raises nothing for a valid plan.
    """
    from renderer.checks.accept import accepted
    from renderer.checks.case import Case
    from renderer.checks.finding import moved_findings
    from renderer.checks.registry import findings, worst_first
    from renderer.ground.engine import plan_and_lay_near
    from renderer.ground.setting_out import SettingOut

    near, lay = plan_and_lay_near(plan, lay)
    setting = setting if setting and near is plan else SettingOut(near, lay)
    case = Case(near, lay, setting, past)
    found = worst_first(accepted(case, findings(case, only)))
    away = near.origin[0] - plan.origin[0], near.origin[1] - plan.origin[1]
    return moved_findings(found, away)


def cautions(plan: Plan, lay: Lay) -> tuple[Caution, ...]:
    """The cautions for the people at work, most severe first.

    Each names its text in the word catalogue and the facts that fill it. Raises nothing.
    """
    from renderer.checks.case import Case
    from renderer.checks.dangers import dangers
    from renderer.ground.engine import plan_and_lay_near
    from renderer.ground.setting_out import SettingOut

    near, lay = plan_and_lay_near(plan, lay)
    return dangers(Case(near, lay, SettingOut(near, lay)))
