"""What the legend of a drawing of the whole plan has to explain, before anything is drawn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from renderer.drawing.dimensions import LEAST_MM
from renderer.drawing.scene import LAYERS, Pin
from renderer.drawing.symbols import SYMBOLS
from renderer.drawing.things import legend_key
from renderer.geometry.lines import length
from renderer.ground.faces import faces
from renderer.ground.setting_out import SettingOut
from renderer.units import MM_PER_M

if TYPE_CHECKING:
    from renderer.checks.finding import Finding
    from renderer.ground.lay import Lay
    from renderer.plan.model import Feature, Plan

# The N of 1:N at which a thing counts as large enough to be drawn: no plan is drawn much smaller.
SURE = 1000.0


def legend_keys(
    plan: Plan,
    lay: Lay,
    findings: Sequence[Finding],
    show: frozenset[str] = LAYERS,
    pins: tuple[Pin, ...] = (),
    setting: SettingOut | None = None,
) -> frozenset[str]:
    """The keys of ``legends`` for all that the layers ``show``; an arrow is always among them."""
    found = {"arrow", *(pin.symbol for pin in pins)}
    if "findings" in show:
        found.update("finding" for each in findings if each.at is not None and each.level != "note")
    if "features" in show:
        found.update(_features(plan))
    if "house" in show and faces(plan, lay.lawns):
        found.add("house")
    if "obstacles" in show:
        found.update(f"obstacle.{thing.kind}" for thing in plan.obstacles)
    found.update(_sides(lay, show))
    found.update(_wire(lay, show))
    found.update(_surveyed(plan, show))
    found.update(_stations(plan, lay, show, setting or SettingOut(plan, lay)))
    return frozenset(found)


def _features(plan: Plan) -> Iterator[str]:
    supplies = [loop.supply.at for loop in plan.loops if loop.supply]
    for thing in plan.features:
        if not _is_under(thing, supplies):
            yield legend_key(thing)
        if thing.at is None and thing.line is None and thing.downhill is not None:
            yield "fall"


def _is_under(thing: Feature, supplies: Sequence[tuple[float, float]]) -> bool:
    """Whether the mark of a supply covers all that is drawn of a feature at a point."""
    if thing.at is None or (thing.kind == "sprinkler" and thing.radius):
        return False
    reach_mm = SYMBOLS["supply"].radius_mm + SYMBOLS["socket"].radius_mm
    reach_m = reach_mm * SURE / MM_PER_M
    x, y = thing.at
    return any(abs(a - x) < reach_m and abs(b - y) < reach_m for a, b in supplies)


def _sides(lay: Lay, show: frozenset[str]) -> Iterator[str]:
    sides = [side for lawn in lay.lawns for side in lawn.sides]
    if "sides" in show:
        yield from (f"side.{side.kind}" for side in sides)
    least_m = LEAST_MM * SURE / MM_PER_M
    if "dimensions" in show and any(
        not side.arc and length(side.points[[0, -1]]) >= least_m for side in sides
    ):
        yield "dimension"


def _wire(lay: Lay, show: frozenset[str]) -> Iterator[str]:
    for loop in lay.loops:
        if "keep-off" in show:
            yield "keep-off"
        if "wire" in show:
            yield "wire"
            yield from (lead.kind for lead in loop.leads)
        if "pegs" in show:
            yield from ("control" if peg.control else f"peg{peg.round}" for peg in loop.pegs)
        if "splices" in show and loop.splices:
            yield "splice"


def _surveyed(plan: Plan, show: frozenset[str]) -> Iterator[str]:
    if "unsure" not in show:
        return
    for point in plan.survey.adjusted:
        if point.state != "controlled":
            yield "unsure"
        if "ellipses" in show:
            yield "ellipse"


def _stations(plan: Plan, lay: Lay, show: frozenset[str], setting: SettingOut) -> Iterator[str]:
    if "supply" in show and setting.supply_runs:
        yield from ("supply", "supply-lead")
    if "dock" in show:
        laid = {loop.name for loop in lay.loops}
        found = [loop for loop in plan.loops if loop.name in laid]
        yield from ("dock" if loop.generator is None else "generator" for loop in found)
    if "references" in show and setting.references:
        yield "reference"
