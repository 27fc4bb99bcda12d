"""The plan drawing: everything a crew lays from, true to scale, with nothing touching."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING

import numpy as np

from renderer.drawing import band, dimensions, house, lawns, pegs, stations, surveyed, things, wire
from renderer.drawing.homes import at_home
from renderer.drawing.labels import Placement, drawn, place
from renderer.drawing.pegs import peg_key
from renderer.drawing.pens import HALO
from renderer.drawing.scale import Fit, best_fit, demanded_fit, fits, same_way, scale_text, series
from renderer.drawing.scene import LAYERS, OUTLINE, Part, Pin, Scene, joined
from renderer.drawing.view import View, centred
from renderer.frozen import dataclass
from renderer.geometry.lines import chain
from renderer.geometry.rects import Rect, bounds
from renderer.ground.setting_out import SettingOut
from renderer.primitives import Drawing, Line, Primitive, Text
from renderer.progress import doing

if TYPE_CHECKING:
    from renderer.checks.finding import Finding
    from renderer.geometry.lines import Chain
    from renderer.ground.lay import Lay
    from renderer.language import Words
    from renderer.plan.model import Plan

# Paper kept round the ground for dimensions and labels, and at the very edge for none.
MARGIN_MM = 12.0
EDGE_MM = 0.5


@dataclass(frozen=True, slots=True)
class PlanDrawing:
    """A drawing, its scale and turn, what the legend has to explain, and what found no room.

    ``keyed`` are (key number on the drawing, text); ``unplaced`` are texts that are not on
    the drawing at all and belong in a list beside it.
    """

    drawing: Drawing
    scale: float
    rotation_deg: float
    used: frozenset[str]
    keyed: tuple[tuple[str, str], ...]
    unplaced: tuple[str, ...]


def left_out(lay: Lay, drawn: Iterable[PlanDrawing]) -> tuple[str, ...]:
    """What none of the drawings of a plan has room for: numbers of control pegs, then names."""
    sheets = tuple(drawn)
    texts = [item for sheet in sheets for item in sheet.drawing.items if isinstance(item, Text)]
    roles, named = {text.role for text in texts}, {text.text for text in texts}
    named.update(text for sheet in sheets for _, text in sheet.keyed)
    pegs = (peg.id for loop in lay.loops for peg in loop.pegs if peg.control)
    unnumbered = tuple(number for number in pegs if f"label {peg_key(number)}" not in roles)
    numbers = frozenset(unnumbered)
    missed = (text for sheet in sheets for text in sheet.unplaced)
    return (*unnumbered, *(text for text in missed if text not in named | numbers))


def ground_points(plan: Plan, lay: Lay) -> Chain:
    """Points, in metres, that a drawing of the whole plan has to hold."""
    rows = [np.asarray(lawn.outline.exterior.coords) for lawn in lay.lawns]
    rows += [loop.path for loop in lay.loops]
    points = [loop.supply.at for loop in plan.loops if loop.supply]
    points += [at for loop in plan.loops if loop.supply for at in loop.supply.via]
    points += [loop.generator.at for loop in plan.loops if loop.generator]
    points += [point.at for point in plan.survey.points]
    points += [feature.at for feature in plan.features if feature.at]
    rows.append(chain(points))
    return np.concatenate([row for row in rows if len(row)])


def shown_points(plan: Plan, lay: Lay, fit: Fit, box_mm: tuple[float, float]) -> Chain:
    """What the drawing of a plan as fitted holds, metres: the reach of sprinklers, if it fits too.

    It asks for no other scale, as a garden is laid by its sides, not by how far water flies.
    """
    points = ground_points(plan, lay)
    reach = [
        (at[0] + x * radius, at[1] + y * radius)
        for feature in plan.features
        if feature.kind == "sprinkler"
        for at, radius in ((feature.at, feature.radius),)
        if at and radius
        for x, y in ((1, 0), (-1, 0), (0, 1), (0, -1))
    ]
    if not reach:
        return points
    room = (box_mm[0] - 2 * MARGIN_MM, box_mm[1] - 2 * MARGIN_MM)
    wider = np.concatenate((points, chain(reach)))
    return wider if fits(wider, fit, room) else points


def plan_drawing(
    plan: Plan,
    lay: Lay,
    findings: Sequence[Finding],
    *,
    box_mm: tuple[float, float],
    inch_paper: bool,
    words: Words,
    scale: float | None = None,
    show: frozenset[str] = LAYERS,
    pins: tuple[Pin, ...] = (),
    extra: Callable[[Scene], Iterable[Part]] | None = None,
    turn: float | None = None,
    setting: SettingOut | None = None,
) -> PlanDrawing:
    """The whole plan at the largest scale that fits the box, or at the demanded one.

    The drawing is as wide as the box and as high as it needs, at most the box; ``pins`` are places
    marked besides what the plan itself has, ``extra`` makes parts of the caller's own; ``turn`` in
    degrees is used if the scale suffers little; ``setting`` is what the lay is set out by, where
    it has been worked out. Raises ``DrawError`` where the demanded scale does not fit.
    """
    fit = fit_plan(plan, lay, box_mm, inch_paper=inch_paper, scale=scale, turn=turn)
    points = shown_points(plan, lay, fit, box_mm)
    view = centred(points, fit, Rect(0.0, 0.0, *box_mm))
    view = lowered(view, points, box_mm)
    setting = setting or SettingOut(plan, lay)
    scene = Scene(plan, lay, tuple(findings), view, words, setting, show, pins)
    return view_drawing(scene, extra(scene) if extra else ())


def fit_plan(
    plan: Plan,
    lay: Lay,
    box_mm: tuple[float, float],
    *,
    inch_paper: bool,
    scale: float | None = None,
    turn: float | None = None,
    scales: Sequence[float] | None = None,
) -> Fit:
    """Scale and turn of the whole plan, with its margins, in a box; ``turn`` if it fits as well.

    ``scales`` are the N of 1:N to choose from, where they are not those of a plan to lay from.
    Raises ``DrawError`` where the demanded scale does not fit, or none does.
    """
    points = ground_points(plan, lay)
    room = (box_mm[0] - 2 * MARGIN_MM, box_mm[1] - 2 * MARGIN_MM)
    known = tuple(scales or series(inch_paper=inch_paper, units=plan.units))
    if scale is None:
        fit = best_fit(points, room, known)
    else:
        fit = demanded_fit(points, room, scale, known)
    if turn is None:
        return fit
    if scale is None:
        return same_way(points, room, known, turn, fit)
    return Fit(scale, turn) if fits(points, Fit(scale, turn), room) else fit


def drawn_height(plan: Plan, lay: Lay, fit: Fit, box_mm: tuple[float, float]) -> float:
    """The height in mm of the drawing of a plan as fitted in a box, before it is drawn."""
    points = shown_points(plan, lay, fit, box_mm)
    view = centred(points, fit, Rect(0.0, 0.0, *box_mm))
    return min(box_mm[1], bounds([view.chain(points)]).height + 2 * MARGIN_MM)


def lowered(view: View, points: Chain, box_mm: tuple[float, float]) -> View:
    """The view in a frame no higher than the plan and its margins."""
    span = bounds([view.chain(points)])
    height = min(box_mm[1], span.height + 2 * MARGIN_MM)
    shift = (box_mm[1] - height) / 2
    paper = (view.paper[0], view.paper[1] - shift)
    return View(
        view.scale, view.rotation_deg, view.ground, paper, Rect(0.0, 0.0, box_mm[0], height)
    )


def parts(scene: Scene) -> Iterable[Part]:
    """The parts of the plan that the scene shows."""
    show = scene.show
    if "keep-off" in show:
        yield band.keep_off(scene)
    if "house" in show:
        yield from house.house(scene)
    if "features" in show:
        yield from things.features(scene)
    yield from lawns.lawns(scene)
    if "obstacles" in show:
        yield from things.obstacles(scene)
    if "wire" in show:
        yield wire.wire(scene)
    if "supply" in show:
        yield from stations.supplies(scene)
    if "pegs" in show:
        yield pegs.pegs(scene)
    if "dock" in show:
        yield from stations.docks(scene)
    if "splices" in show:
        yield from stations.splices(scene)
    if "references" in show:
        yield from stations.references(scene)
    if "unsure" in show:
        yield from surveyed.surveyed(scene)
    if "findings" in show:
        yield from stations.findings(scene)
    yield from stations.pins(scene)
    if "dimensions" in show:
        yield dimensions.dimensions(scene)


def view_drawing(scene: Scene, extra: Iterable[Part] = ()) -> PlanDrawing:
    """What the scene's view shows, labelled."""
    whole = joined((*parts(scene), *extra))
    return labelled(scene, whole, whole)


def labelled(scene: Scene, whole: Part, shown: Part) -> PlanDrawing:
    """What ``shown`` draws, with the labels of ``whole`` where they are placed beside its own."""
    return lettered(scene, placed(scene, whole), shown)


def placed(scene: Scene, whole: Part) -> Placement:
    """Places for the labels of all that the scene shows."""
    labels = at_home(whole.labels, whole.areas, whole.grounds, whole.wires)
    with doing(f"drawing 1:{scene.view.scale:g}"):
        return place(labels, whole.obstacles, scene.view.frame.grown(-EDGE_MM), scene.words["key"])


def lettered(scene: Scene, placement: Placement, shown: Part) -> PlanDrawing:
    """What ``shown`` draws, with labels where they were placed."""
    view = scene.view
    layered = sorted(shown.items, key=lambda item: item[0])
    marks = drawn(placement.placed)
    halos = tuple(item for item in marks if _is_halo(item))
    items = (
        *(item for layer, item in layered if layer < OUTLINE),
        *halos,  # they part hatches, and leave what is ground or wire whole
        *(item for layer, item in layered if layer >= OUTLINE),
        *(item for item in marks if not _is_halo(item)),
    )
    drawing = Drawing(
        view.frame.width,
        view.frame.height,
        items,
        scale=view.scale,
        title=scene.words["title.plan"].format(title=scene.plan.job.title or scene.plan.job.number),
        description=_description(scene),
    )
    keyed = tuple((text, label.text) for text, label in placement.keyed)
    unplaced = tuple(label.text for label in placement.unplaced if label.listed)
    return PlanDrawing(drawing, view.scale, view.rotation_deg, shown.used, keyed, unplaced)


def _is_halo(item: Primitive) -> bool:
    return isinstance(item, Line) and item.pen == HALO


def _description(scene: Scene) -> str:
    """The drawing in one sentence, for screen readers."""
    lay = scene.lay
    return scene.words["description.plan"].format(
        scale=scale_text(scene.view.scale),
        lawns=len(lay.lawns),
        loops=len(lay.loops),
        pegs=sum(len(loop.pegs) for loop in lay.loops),
        splices=sum(len(loop.splices) for loop in lay.loops),
    )
